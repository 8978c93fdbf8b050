// npm start: whatever this machine has, the notebooks open.
import { existsSync, mkdirSync, mkdtempSync, readdirSync, rmSync, statSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { basename, isAbsolute, join, relative, resolve, sep } from "node:path";
import { pathToFileURL } from "node:url";
import { parseArgs } from "node:util";
import { asked } from "./asked.mjs";
import { findOrMakeJupyter, jupyterEnvironment } from "./jupyter.mjs";
import { setFirstLayout } from "./lab-layout.mjs";
import { notebookFiles } from "./notebook-files.mjs";
import { openInBrowser } from "./open.mjs";
import { canWrite, jupyterFolder, root, setupFolder } from "./places.mjs";
import { prepare } from "./prepare.mjs";
import { lastLines, run } from "./run.mjs";
import { freePort, startServer, untilItAnswers } from "./server.mjs";
import { endWith, Stop } from "./stop.mjs";

const usage = "usage: npm start -- [NOTEBOOK.ipynb | NECK | NUMBER] [--no-browser] [--port NUMBER]   (NECK: a folder in my-necks/; NUMBER: as 03)";

const say = (/** @type {string} */ line) => void process.stdout.write(`${line}\n`);

/** @param {readonly string[]} args */
function launchOptions(args) {
  const parsed = (() => {
    try {
      return parseArgs({ args: [...args], allowPositionals: true, options: { "no-browser": { type: "boolean" }, port: { type: "string" }, help: { type: "boolean" } } });
    } catch (error) {
      throw new Stop(`${error instanceof Error ? error.message : String(error)}\n${usage}`);
    }
  })();
  const { values, positionals } = parsed;
  const port = values.port === undefined ? 8888 : Number(values.port);
  if (!/^\d+$/.test(values.port ?? "8888") || port < 1 || port > 65_535) throw new Stop(`Cannot use the port "${values.port}": a port is a whole number from 1 to 65535.\n${usage}`);
  if (positionals.length > 1) throw new Stop(`Can open one notebook at a start, not ${positionals.length}: put a name with blanks in it between quotes.\n${usage}`);
  return { browser: values["no-browser"] !== true, port, help: values.help === true, notebook: positionals[0] === undefined ? undefined : notebookToOpen(positionals[0]) };
}

/** Its path from the project's folder, which is the folder that Jupyter shows. @param {string} named */
function notebookToOpen(named) {
  const from = process.env["npm_lifecycle_event"] === undefined ? process.cwd() : (process.env["INIT_CWD"] ?? process.cwd());
  const path = named.endsWith(".ipynb") ? resolve(from, named) : (notebookOfNeck([resolve(from, named), join(root, "my-necks", named)]) ?? numbered(named));
  if (path === undefined) throw new Stop(`Cannot open ${named}: expected a notebook, whose name ends in .ipynb, a neck's folder in my-necks/, or the number of a notebook, as 03\n${usage}`);
  const within = relative(root, path);
  if (!existsSync(path)) throw new Stop(`Cannot open ${named}: there is no such file.\n${usage}`);
  if (within.startsWith("..") || isAbsolute(within)) throw new Stop(`Cannot open ${named}: it lies outside this project's folder, where the notebooks find neck-survey. Make it with npm run new -- "NAME", or move it into my-necks/`);
  return within;
}

/** @param {readonly string[]} folders @returns {string | undefined} the notebook in the first of them that has one: the one named after it, else the first by name */
function notebookOfNeck(folders) {
  for (const folder of folders) {
    if (!existsSync(folder) || !statSync(folder).isDirectory()) continue;
    const own = readdirSync(folder).filter((name) => name.endsWith(".ipynb")).sort();
    const named = own.find((name) => name === `${basename(folder)}.ipynb`) ?? own[0];
    if (named !== undefined) return join(folder, named);
  }
  return undefined;
}

/** @param {string} named @returns {string | undefined} the notebook that begins with this number */
const numbered = (named) => (/^\d{1,2}$/.test(named) ? notebookFiles().find((path) => basename(path).startsWith(`${named.padStart(2, "0")}-`)) : undefined);

/** Where Jupyter may write: in the project, or in a folder that goes away again when the project cannot be written to. */
function writableFolder() {
  const given = process.env["NECK_SURVEY_JUPYTER_FOLDER"]; // tests start with a Jupyter that nobody has used
  if (given !== undefined) return given;
  if (canWrite(root)) {
    mkdirSync(jupyterFolder, { recursive: true });
    return jupyterFolder;
  }
  say("This folder is read-only for you: the notebooks run, but changes to them cannot be saved here.");
  const folder = mkdtempSync(join(tmpdir(), "neck-survey-"));
  process.on("exit", () => rmSync(folder, { recursive: true, force: true }));
  return folder;
}

/** Without Python: the executed pages. @param {string} folder @param {boolean} browser */
async function openPages(folder, browser) {
  say("Running the notebooks without Jupyter: they can be read, with live figures, but not changed in the browser.");
  const pages = join(folder, "pages");
  mkdirSync(pages, { recursive: true });
  const failed = [];
  const written = [];
  for (const path of notebookFiles()) {
    const page = join(pages, basename(path).replace(/\.ipynb$/, ".html"));
    say(`  running ${basename(path)} ...`);
    const ran = await run(process.execPath, ["--enable-source-maps", join(setupFolder, "run-notebook.mjs"), path, "--html", page, "--timeout", "900"], { say, what: basename(path) });
    if (ran.code !== 0) failed.push(`${basename(path)} did not run to its end:\n${lastLines(ran.output)}`);
    written.push(pathToFileURL(page).href);
  }
  if (written.length === 0) throw new Stop("There is no notebook in the folder notebooks/.");
  if (failed.length > 0) throw new Stop(failed.join("\n"));
  say(`\nThe notebooks, run. Open in a browser:\n${written.map((address) => `\n    ${address}`).join("")}\n`);
  if (browser && written[0] !== undefined) openInBrowser(written[0]);
}

/** @param {import("./jupyter.mjs").Jupyter} jupyter @param {NodeJS.ProcessEnv} env */
async function signNotebooks(jupyter, env) {
  // Jupyter runs the scripts of stored figures only in notebooks that were signed on this machine
  const [command, args] = jupyter.python === undefined ? [jupyter.command, ["trust"]] : [jupyter.python[0] ?? "", [...jupyter.python.slice(1), "-m", "nbformat.sign"]];
  const ran = await run(command, [...args, ...notebookFiles()], { env });
  if (ran.code !== 0) say("The notebooks could not be signed: their stored figures stand still until the notebook is run.");
}

/** @param {import("./jupyter.mjs").Jupyter} jupyter @param {string | undefined} notebook the one to open, from the project's folder; else the first */
function pageOfNotebook(jupyter, notebook) {
  const file = notebook ?? notebookFiles().map((path) => relative(root, path))[0];
  const views = jupyter.kind === "lab" ? "/lab/tree" : file === undefined ? "/tree" : "/notebooks";
  return [views, ...(file ?? "notebooks").split(sep).map(encodeURIComponent)].join("/");
}

/**
 * The browser is given a file that only this user may read: an address with the token among a program's arguments can be read by every user of the machine.
 * @param {string} address @param {string} folder
 */
function openAtAddress(address, folder) {
  const page = join(folder, "open.html");
  rmSync(page, { force: true }); // the mode below holds for a file that is made, not for one that is there
  writeFileSync(page, `<!doctype html><meta charset="utf-8"><meta http-equiv="refresh" content="0;url=${address}"><title>neck-survey</title><p><a href="${address}">Open the notebooks</a></p>\n`, { mode: 0o600 });
  process.on("exit", () => rmSync(page, { force: true }));
  openInBrowser(pathToFileURL(page).href);
}

/** @param {readonly string[]} args */
async function start(args) {
  const options = launchOptions(args);
  if (options.help) return say(usage);
  const whenAsked = asked().then(() => "asked");
  /** A step that a Ctrl-C may cut short. @template T @param {Promise<T>} step @returns {Promise<T>} */
  const unlessAsked = async (step) => {
    const first = await Promise.race([step.then(() => "done"), whenAsked]);
    if (first === "asked") process.exit(130); // what the step has running ends with us
    return step;
  };
  await unlessAsked(prepare({ say }));
  const jupyter = await unlessAsked(findOrMakeJupyter(say));
  const folder = writableFolder();
  if (jupyter === undefined) return await unlessAsked(openPages(folder, options.browser));
  const env = jupyterEnvironment(folder);
  await unlessAsked(signNotebooks(jupyter, env));
  setFirstLayout(folder);
  const port = await freePort(options.port, say);
  const firstPage = pageOfNotebook(jupyter, options.notebook);
  say(`Starting ${jupyter.name} ...`);
  const server = startServer({ jupyter, env, port, firstPage, folder });
  try {
    const ready = await Promise.race([untilItAnswers(server, folder, say).then(() => true), whenAsked]);
    if (ready !== true) return;
    const address = `http://127.0.0.1:${port}${firstPage}?token=${server.token}`;
    say(`\nReady. Open this address in a browser:\n\n    ${address}\n\nCtrl-C here ends it.`);
    if (options.browser) openAtAddress(address, folder);
    if ((await Promise.race([server.ended.then(() => "ended"), whenAsked])) === "ended") throw new Stop(`Jupyter has ended. Its own words are in ${join(folder, "jupyter.log")}`);
  } finally {
    await server.stop();
  }
  say("\nStopped.");
}

/** @param {readonly string[]} args */
export async function launch(args) {
  await start(args).catch(endWith);
  process.exit();
}
