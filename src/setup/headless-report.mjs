// npm run report: the job without a notebook. Files in; verdict, JSON and card out.
import { mkdirSync, readFileSync, realpathSync, renameSync, rmSync, statSync, writeFileSync } from "node:fs";
import { dirname, join, resolve } from "node:path";
import { pathToFileURL } from "node:url";
import { parseArgs } from "node:util";
import { root } from "./places.mjs";
import { prepare } from "./prepare.mjs";
import { Stop } from "./stop.mjs";

const usage = "usage: npm run report -- NECK.json READINGS.csv [READINGS.csv ...] [--out CARD.html] [--json]";
const largestBytes = 16 * 1024 * 1024;

/** npm runs us in the project's folder; the user's file names count from where he stands. @param {string} path */
const fromUser = (path) => resolve(process.env["npm_lifecycle_event"] === undefined ? process.cwd() : (process.env["INIT_CWD"] ?? process.cwd()), path);

/** @param {unknown} error @returns {string} */
const codeOf = (error) => (error instanceof Error && "code" in error ? String(error.code) : "");

/** @param {readonly string[]} args */
function reportOptions(args) {
  const { values, positionals } = (() => {
    try {
      return parseArgs({ args: [...args], allowPositionals: true, options: { out: { type: "string" }, json: { type: "boolean" }, help: { type: "boolean" } } });
    } catch (error) {
      throw new Stop(`${error instanceof Error ? error.message.split(". ")[0] : String(error)}\n${usage}`);
    }
  })();
  const kept = process.env["npm_config_out"];
  if (values.out === undefined && kept !== undefined && kept !== "") throw new Stop(`npm took --out for an option of its own: put -- before the file names.\n${usage}`);
  const json = values.json === true || process.env["npm_config_json"] === "true"; // the second when the -- was forgotten
  const [neck, ...readings] = positionals;
  if (values.help === true) return { help: true, neck: "", readings, json, out: undefined };
  if (neck === undefined) throw new Stop(`A report needs a neck file and at least one file of readings.\n${usage}`);
  if (readings.length === 0) throw new Stop(`A report needs at least one file of readings after the neck file ${neck}.\n${usage}`);
  if (values.out === "") throw new Stop(`--out needs the name of the card to write.\n${usage}`);
  return { help: false, neck, readings, json, out: values.out };
}

/** @param {string} source as the user wrote it @param {string} what */
function fileText(source, what) {
  const path = fromUser(source);
  const refuse = (/** @type {string} */ why) => new Stop(`Cannot read ${what} ${source}: ${why}\n${usage}`);
  try {
    const stat = statSync(path);
    if (stat.isDirectory()) throw refuse("it is a folder; give the file itself");
    if (stat.size > largestBytes) throw refuse(`it is larger than ${largestBytes / 1024 / 1024} MB, far more than any neck's readings`);
    return { source, text: new TextDecoder("utf-8", { fatal: true }).decode(readFileSync(path)) };
  } catch (error) {
    if (error instanceof Stop) throw error;
    if (codeOf(error) === "ENOENT" || codeOf(error) === "ENOTDIR") throw refuse("there is no such file");
    if (codeOf(error) === "EACCES" || codeOf(error) === "EPERM") throw refuse("it may not be read by you");
    if (codeOf(error) === "ERR_ENCODING_INVALID_ENCODED_DATA") throw refuse("it is not UTF-8 text; in a spreadsheet, save it as CSV UTF-8");
    throw refuse(error instanceof Error ? error.message : String(error));
  }
}

/** @param {string} path */
function removeIfThere(path) {
  try {
    rmSync(path, { force: true });
  } catch {
    // its folder is not there, or is no folder: nothing was written
  }
}

/** @param {string} path */
const realPath = (path) => {
  try {
    return realpathSync(path);
  } catch {
    return path;
  }
};

/** @param {string | undefined} out @param {readonly string[]} inputs */
function mustNotBeInput(out, inputs) {
  if (out !== undefined && inputs.some((input) => realPath(fromUser(input)) === realPath(fromUser(out)))) throw new Stop(`Will not write the card over ${out}, which is one of the files it is made from: give another name after --out.`);
}

/** @param {string | undefined} out */
function isFolder(out) {
  try {
    return out !== undefined && statSync(fromUser(out)).isDirectory();
  } catch {
    return false; // what stands in the way otherwise is told when the card is written
  }
}

/** A card that is there is replaced whole or not at all. @param {string} out @param {string} html */
function writeCard(out, html) {
  const path = fromUser(out);
  const part = join(dirname(path), `.${process.pid}.card-part`);
  try {
    mkdirSync(dirname(path), { recursive: true });
    writeFileSync(part, html);
    renameSync(part, path);
  } catch (error) {
    removeIfThere(part);
    const code = codeOf(error);
    const why =
      code === "EISDIR" || code === "ENOTEMPTY" || code === "EEXIST" ? "there is a folder of that name"
      : code === "EACCES" || code === "EROFS" || code === "EPERM" ? "that folder is read-only for you"
      : code === "ENOSPC" ? "the disk is full"
      : code === "ENOTDIR" ? "a part of that path is a file, not a folder"
      : error instanceof Error ? error.message : String(error);
    throw new Stop(`Cannot write the card ${out}: ${why}`);
  }
}

/** Resolves when all of it is with the reader: an exit before that would cut it. @param {NodeJS.WriteStream} stream @param {string} text @returns {Promise<void>} */
const written = (stream, text) => new Promise((done) => stream.write(text, () => done()));

/** @param {readonly string[]} args @returns {Promise<string>} what to print */
async function reported(args) {
  const options = reportOptions(args);
  if (options.help) return usage;
  const request = { neck: fileText(options.neck, "the neck file"), readings: options.readings.map((source) => fileText(source, "the readings")) };
  mustNotBeInput(options.out, [options.neck, ...options.readings]);
  if (isFolder(options.out)) throw new Stop(`Cannot write the card ${options.out}: there is a folder of that name`);
  await prepare({ say: (line) => void process.stderr.write(`${line}\n`) });
  const { report } = await import(pathToFileURL(join(root, "dist", "notebook", "index.js")).href);
  const outcome = await report({ ...request, plan: options.json });
  if (outcome.status === "refused") throw new Stop(outcome.message);
  if (options.out !== undefined) writeCard(options.out, outcome.html);
  if (options.json) return JSON.stringify(outcome.json, null, 2);
  return options.out === undefined ? outcome.text : `${outcome.text}\n\nCard written: ${options.out}`;
}

/** @param {readonly string[]} args */
export async function reportCommand(args) {
  process.stdout.on("error", () => process.exit(0)); // a reader such as head that has seen enough
  try {
    await written(process.stdout, `${(await reported(args)).trimEnd()}\n`);
    process.exit(0);
  } catch (error) {
    const message = error instanceof Stop ? error.message : `This is a fault of neck-survey, not of your files: ${error instanceof Error ? error.message : String(error)}`;
    await written(process.stderr, `${message.trimEnd()}\n`);
    process.exit(1);
  }
}
