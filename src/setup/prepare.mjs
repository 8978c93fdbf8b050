// What must be there before anything of the project runs: its packages, and the library built from its sources.
import { existsSync, mkdirSync, readdirSync, rmSync, statSync, utimesSync, writeFileSync } from "node:fs";
import { join, relative } from "node:path";
import { npmCommand } from "./npm.mjs";
import { canWrite, root, setupFolder } from "./places.mjs";
import { lastLines, run, soundsOffline } from "./run.mjs";
import { Stop } from "./stop.mjs";

const modules = join(root, "node_modules");
const sources = join(root, "src");
const built = join(root, "dist");
const builtStamp = join(built, ".built");

/** @param {string} path @returns {number} -Infinity when it is not there */
const changedMs = (path) => (existsSync(path) ? statSync(path).mtimeMs : -Infinity);

/** npm writes node_modules/.package-lock.json last, so an install that was broken off has none. */
export const packagesAreOld = () => changedMs(join(modules, ".package-lock.json")) < changedMs(join(root, "package-lock.json"));

/** @param {string} folder @returns {string[]} its files and folders, at any depth, and itself (a folder changes when a file in it goes) */
const everythingIn = (folder) => [
  folder,
  ...readdirSync(folder, { withFileTypes: true }).flatMap((entry) => {
    const path = join(folder, entry.name);
    if (path === setupFolder) return [];
    return entry.isDirectory() ? everythingIn(path) : [path];
  }),
];

/** True when a source, the compiler's settings or the packages are newer than what was last built from them. */
export function libraryIsOld() {
  const stamp = changedMs(builtStamp);
  const newest = Math.max(...[...everythingIn(sources), join(root, "tsconfig.json"), join(modules, ".package-lock.json")].map(changedMs));
  return !existsSync(join(built, "index.js")) || stamp < newest;
}

/** @param {string} why */
function mustWrite(why) {
  if (!canWrite(root)) throw new Stop(`Cannot ${why}: the folder ${root} is read-only for you. Copy it to a folder of your own, and start again there.`);
}

/** @param {(line: string) => void} say */
async function installPackages(say) {
  mustWrite("install the packages");
  say("Installing the packages (once; about a minute) ...");
  const { command, args } = npmCommand();
  // loglevel: the project's own setting is silent, so that a report printed as JSON stays JSON; an install must tell its errors
  const ran = await run(command, [...args, "ci", "--loglevel=error", "--include=dev", "--no-audit", "--no-fund"], { say, what: "installing the packages" });
  if (ran.code === 0 && !packagesAreOld()) return;
  if (ran.code === 0) throw new Stop("The packages are installed, but node_modules/.package-lock.json is older than package-lock.json: is this machine's clock right?");
  const hint = soundsOffline(ran.output)
    ? "The packages come from the npm registry: connect this machine to the internet once, then start again. After that no network is needed."
    : "Mend what npm says, then start again.";
  throw new Stop(`Cannot install the packages. npm said:\n${lastLines(ran.output)}\n${hint}`);
}

/** Leaves of sources that are gone: they would still be found by an import. */
function removeOrphans() {
  for (const path of everythingIn(built)) {
    const source = join(sources, relative(built, path).replace(/(\.d)?\.(js|ts)(\.map)?$/, ".ts"));
    if (path !== builtStamp && /\.(js|ts)(\.map)?$/.test(path) && !existsSync(source)) rmSync(path);
  }
}

/** @param {(line: string) => void} say */
async function buildLibrary(say) {
  mustWrite("build the library");
  say("Building the library ...");
  const startedS = Date.now() / 1000;
  const ran = await run(process.execPath, [join(modules, "typescript", "bin", "tsc"), "-p", root]);
  if (ran.code !== 0) throw new Stop(`Cannot build the library from src/. The compiler said:\n${lastLines(ran.output, 20)}`);
  mkdirSync(built, { recursive: true });
  removeOrphans();
  writeFileSync(builtStamp, "");
  utimesSync(builtStamp, startedS, startedS); // an edit made while it was building counts as newer
}

/**
 * Installs and builds what is missing or old; at rest it only compares times.
 * @param {{ say: (line: string) => void }} how `say` takes a line of progress
 * @throws {Stop} it cannot be done, and why
 */
export async function prepare({ say }) {
  if (packagesAreOld()) await installPackages(say);
  if (libraryIsOld()) await buildLibrary(say);
}
