// Finds a Jupyter on this machine, or makes one in the project's own folder.
import { existsSync, mkdirSync, readFileSync, rmSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { nodeOnPathIsOurs, onPath } from "./on-path.mjs";
import { canWrite, root, setupFolder, venvFolder } from "./places.mjs";
import { lastLines, run, soundsOffline } from "./run.mjs";

/**
 * @typedef {{ kind: "lab" | "classic", command: string, args: readonly string[], name: string, python: readonly string[] | undefined }} Jupyter
 *   `command` with `args` starts its server; `python`, where known, is the Python it lives in
 * @typedef {{ command: string, args: readonly string[], version: string }} Python
 */

const windows = process.platform === "win32";
const requirements = join(setupFolder, "requirements.txt");
const venvPython = join(venvFolder, windows ? "Scripts" : "bin", windows ? "python.exe" : "python");
const venvStamp = join(venvFolder, ".ready");
const oldestPython = "3.10"; // what the pinned JupyterLab asks

/** @param {string} version @param {string} oldest */
function atLeast(version, oldest) {
  const [major = 0, minor = 0] = version.split(".").map(Number);
  const [oldestMajor = 0, oldestMinor = 0] = oldest.split(".").map(Number);
  return major > oldestMajor || (major === oldestMajor && minor >= oldestMinor);
}

/** @param {string} command @param {readonly string[]} args @returns {Promise<string>} the version it prints, or "" */
async function versionOf(command, args) {
  const ran = await run(command, [...args, "--version"], { timeoutMs: 30_000 });
  return ran.code === 0 ? (/\d+\.\d+(\.\w+)*/.exec(ran.output)?.[0] ?? "") : "";
}

/** @returns {Promise<readonly Python[]>} every Python that answers, the usual one first */
async function pythons() {
  const names = windows ? [["py", "-3"], ["python"], ["python3"]] : [["python3"], ["python"], ...["14", "13", "12", "11", "10"].map((minor) => [`python3.${minor}`])];
  // by full path: the PATH that Jupyter gets may find another
  const there = names.flatMap(([name = "", ...args]) => [onPath(name)].flatMap((command) => (command === undefined ? [] : [{ command, args }])));
  const found = await Promise.all(there.map(async ({ command, args }) => ({ command, args, version: await versionOf(command, args) })));
  return found.filter((python) => atLeast(python.version, "3.0"));
}

const venvIsReady = () => existsSync(venvPython) && existsSync(venvStamp) && readFileSync(venvStamp, "utf8") === readFileSync(requirements, "utf8");

/** @type {(name: string) => Jupyter} */
const venvLab = (name) => ({ kind: "lab", command: venvPython, args: ["-m", "jupyterlab"], name, python: [venvPython] });

/** @param {"lab" | "classic"} kind @param {readonly Python[]} found @returns {Promise<Jupyter | undefined>} one that is installed on this machine */
async function installed(kind, found) {
  const [module, subcommand, oldest, title] = kind === "lab" ? ["jupyterlab", "lab", "3.0", "JupyterLab"] : ["notebook", "notebook", "6.0", "Jupyter Notebook"];
  const jupyter = onPath("jupyter");
  const ways = [
    ...found.map(({ command, args }) => ({ command, args: [...args, "-m", module], python: [command, ...args] })),
    ...(jupyter === undefined ? [] : [{ command: jupyter, args: [subcommand], python: undefined }]),
  ];
  for (const way of ways) {
    const version = await versionOf(way.command, way.args);
    // Notebook 7 is JupyterLab in other clothes and takes the same options
    if (version !== "" && atLeast(version, oldest)) return { ...way, kind: kind === "classic" && !atLeast(version, "7.0") ? "classic" : "lab", name: `${title} ${version}` };
  }
  return undefined;
}

/**
 * @param {readonly Python[]} found @param {(line: string) => void} say
 * @returns {Promise<Jupyter | undefined>} JupyterLab in .venv; undefined, with the reason said, when it cannot be made
 */
async function made(found, say) {
  const python = found.find(({ version }) => atLeast(version, oldestPython));
  if (python === undefined) {
    if (found[0] !== undefined) say(`Python ${found[0].version} is too old for JupyterLab, which needs Python ${oldestPython} or newer: install a newer one from python.org and start again.`);
    return undefined;
  }
  if (!canWrite(root)) {
    say(`JupyterLab cannot be installed into the folder ${root}, which is read-only for you: copy it to a folder of your own, and start again there.`);
    return undefined;
  }
  say("Installing JupyterLab into .venv (once; a minute or two) ...");
  rmSync(venvStamp, { force: true });
  const venv = await run(python.command, [...python.args, "-m", "venv", "--clear", venvFolder], { say, what: "making .venv" });
  if (venv.code !== 0) {
    rmSync(venvFolder, { recursive: true, force: true });
    say(`Python ${python.version} cannot make an environment of its own (on Debian and Ubuntu: sudo apt install python3-venv). It said:\n${lastLines(venv.output, 4)}`);
    return undefined;
  }
  writeFileSync(join(venvFolder, "package.json"), "{}\n"); // else the project's own "type": "module" reaches into JupyterLab's scripts
  const pip = await run(venvPython, ["-m", "pip", "install", "--quiet", "--disable-pip-version-check", "--retries", "2", "--requirement", requirements], { say, what: "installing JupyterLab" });
  if (pip.code !== 0) {
    rmSync(venvFolder, { recursive: true, force: true });
    say(soundsOffline(pip.output) ? "JupyterLab could not be fetched: connect this machine to the internet once, then start again." : `JupyterLab could not be installed. pip said:\n${lastLines(pip.output, 6)}`);
    return undefined;
  }
  writeFileSync(venvStamp, readFileSync(requirements, "utf8"));
  return venvLab("JupyterLab");
}

/**
 * @param {(line: string) => void} say
 * @returns {Promise<Jupyter | undefined>} JupyterLab if there is any, else one made here, else the classic notebook; undefined, with the reason said, when there is none
 */
export async function findOrMakeJupyter(say) {
  if (venvIsReady()) return venvLab("JupyterLab");
  const found = await pythons();
  if (found.length === 0) say("There is no Python on this machine, which JupyterLab needs: install Python 3 from python.org (on Debian and Ubuntu: sudo apt install python3-venv) and start again to get it.");
  return (await installed("lab", found)) ?? (found.length > 0 ? await made(found, say) : undefined) ?? (await installed("classic", found));
}

/**
 * The surroundings in which every part of Jupyter runs: our kernel is found, and nothing of the user's own Jupyter is read or written.
 * @param {string} folder where Jupyter may write
 * @returns {NodeJS.ProcessEnv}
 */
export function jupyterEnvironment(folder) {
  const ours = join(setupFolder, "jupyter");
  const inFolder = (/** @type {string} */ part) => {
    const path = join(folder, part);
    mkdirSync(path, { recursive: true });
    return path;
  };
  const before = (/** @type {string} */ first, /** @type {string | undefined} */ rest) => (rest ? `${first}${windows ? ";" : ":"}${rest}` : first);
  const pathName = Object.keys(process.env).find((key) => key.toUpperCase() === "PATH") ?? "PATH";
  return {
    ...process.env,
    ...(!nodeOnPathIsOurs() && { [pathName]: before(join(process.execPath, ".."), process.env[pathName]) }), // the kernel is started as "node"
    JUPYTER_PATH: before(ours, process.env["JUPYTER_PATH"]),
    JUPYTER_CONFIG_PATH: before(ours, process.env["JUPYTER_CONFIG_PATH"]),
    JUPYTER_CONFIG_DIR: inFolder("config"),
    JUPYTER_DATA_DIR: inFolder("data"),
    JUPYTER_RUNTIME_DIR: inFolder("runtime"),
  };
}
