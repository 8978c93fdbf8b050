// npm run new: a folder for a new neck, with neck file, readings sheet, notebook and bench sheet.
import { existsSync, mkdirSync, mkdtempSync, renameSync, rmSync, writeFileSync } from "node:fs";
import { join, relative } from "node:path";
import { createInterface } from "node:readline/promises";
import { pathToFileURL } from "node:url";
import { parseArgs } from "node:util";
import { launch } from "./launch.mjs";
import { root } from "./places.mjs";
import { prepare } from "./prepare.mjs";
import { endWith, Stop } from "./stop.mjs";

const usage = 'usage: npm run new -- "NAME" [--scale "25.5 in"] [--frets 22] [--joint 16] [--radius "12 in"] [--zero-fret] [--no-open]';

const options = /** @type {const} */ ({
  scale: { type: "string" }, frets: { type: "string" }, joint: { type: "string" }, radius: { type: "string" }, "zero-fret": { type: "boolean" },
  open: { type: "boolean" }, "no-open": { type: "boolean" }, "no-browser": { type: "boolean" }, port: { type: "string" }, help: { type: "boolean" },
});

/** What is asked where it was not given; an empty answer leaves out what may be left out. */
const questions = /** @type {const} */ ([
  { key: "scale", ask: "Scale length, nut to saddle (25.5 in, or 648 mm): ", needed: true },
  { key: "frets", ask: "Number of frets, a zero fret not counted: ", needed: true },
  { key: "joint", ask: "Fret at the body joint (Enter if not known): ", needed: false },
  { key: "radius", ask: "Radius of the board (12 in; Enter if not known): ", needed: false },
]);

/** @param {readonly string[]} args */
function asTyped(args) {
  try {
    return parseArgs({ args: [...args], allowPositionals: true, options });
  } catch (error) {
    throw new Stop(`${error instanceof Error ? error.message.split(". ")[0] : String(error)}\n${usage}`);
  }
}

/** @param {string | undefined} text @param {string} what @returns {number | undefined} */
function whole(text, what) {
  if (text === undefined) return undefined;
  if (!/^\d{1,3}$/.test(text.trim())) throw new Stop(`Cannot use "${text}" as the ${what}: expected a whole number, as 22.\n${usage}`);
  return Number(text);
}

/** @param {string | boolean | undefined} value */
const givenText = (value) => (typeof value === "string" ? value : undefined);

/** @param {Record<string, string | boolean | undefined>} given @returns {Promise<Record<string, string | undefined>>} */
async function answered(given) {
  /** @type {Record<string, string | undefined>} */
  const answers = Object.fromEntries(questions.map(({ key }) => [key, givenText(given[key])]));
  const missing = questions.filter(({ key, needed }) => needed && answers[key] === undefined);
  if (missing.length === 0) return answers;
  if (!process.stdin.isTTY) throw new Stop(`A new neck needs its scale length and its number of frets.\n${usage}`);
  const terminal = createInterface({ input: process.stdin, output: process.stdout });
  try {
    for (const { key, ask, needed } of questions) {
      if (answers[key] !== undefined) continue;
      const answer = (await terminal.question(ask)).trim();
      if (answer === "" && needed) throw new Stop(`This is needed; nothing was made.\n${usage}`);
      answers[key] = answer === "" ? undefined : answer;
    }
  } finally {
    terminal.close();
  }
  return answers;
}

/** All of the folder or nothing of it: written beside its place, then renamed. @param {string} folder @param {readonly { name: string, text: string }[]} files */
function writeFolder(folder, files) {
  const home = join(root, "my-necks");
  const path = join(home, folder);
  const there = () => new Stop(`There is a folder my-necks/${folder} already, and nothing in it was touched. Give the new neck another name.`);
  if (existsSync(path)) throw there();
  mkdirSync(home, { recursive: true });
  const part = mkdtempSync(join(home, ".making-"));
  try {
    for (const { name, text } of files) writeFileSync(join(part, name), text);
    renameSync(part, path);
  } catch (error) {
    rmSync(part, { recursive: true, force: true });
    if (existsSync(path)) throw there();
    throw new Stop(`Cannot make my-necks/${folder}: ${error instanceof Error ? error.message : String(error)}`);
  }
  return path;
}

/** The day here, as ISO 8601. */
function today() {
  const now = new Date();
  return `${now.getFullYear()}-${String(now.getMonth() + 1).padStart(2, "0")}-${String(now.getDate()).padStart(2, "0")}`;
}

/** @param {readonly string[]} args @returns {Promise<{ text: string, start?: readonly string[] }>} what to print, and how to go on: what npm start is given */
async function made(args) {
  const { values, positionals } = asTyped(args);
  if (values.help === true) return { text: usage };
  const [name, ...rest] = positionals;
  if (name === undefined) throw new Stop(`A new neck needs a name.\n${usage}`);
  if (rest.length > 0) throw new Stop(`Give one name, between quotes if it has a blank in it: "${positionals.join(" ")}"?\n${usage}`);
  const { scale, frets, joint, radius } = await answered(values);
  const [fretCount, bodyJoint] = [whole(frets, "number of frets"), whole(joint, "fret at the body joint")];
  await prepare({ say: (line) => void process.stderr.write(`${line}\n`) });
  const { newNeck } = await import(pathToFileURL(join(root, "dist", "notebook", "newNeck.js")).href);
  const request = {
    name, scaleLength: scale, frets: fretCount,
    ...(values["zero-fret"] === true ? { zeroFret: true } : {}), ...(bodyJoint === undefined ? {} : { bodyJoint }), ...(radius === undefined ? {} : { fingerboardRadius: radius }),
  };
  const neck = newNeck(request, today());
  if (neck.status === "refused") throw new Stop(`Nothing was made.\n${neck.message}`);
  const path = writeFolder(neck.folder, neck.files);
  const shown = (/** @type {string} */ file) => relative(root, join(path, file)).replaceAll("\\", "/");
  // somebody at a terminal goes on to the notebook; a program that calls this does not
  const opens = values.open === true || (values["no-open"] !== true && process.stdout.isTTY && process.stdin.isTTY);
  const start = [join(path, neck.notebook), ...(values["no-browser"] === true ? ["--no-browser"] : []), ...(values.port === undefined ? [] : ["--port", values.port])];
  const text = [
    `Made for ${name}, in ${shown("")}/:`,
    "  neck.json         what the neck is; add what you know",
    "  bench-sheet.html  to print and write on at the bench (A4 or Letter)",
    "  readings.csv      to type the readings into, in a spreadsheet",
    `  ${neck.notebook}`,
    "                    the notebook that works them out",
    ...(neck.assumed.length === 0 ? [] : [`Assumed until neck.json says otherwise: ${neck.assumed.join("; ")}.`]),
    opens ? `\nOpening it now; another time with:  npm start -- "${neck.folder}"\n` : `\nOpen it with:  npm start -- "${neck.folder}"`,
  ].join("\n");
  return opens ? { text, start } : { text };
}

/** @param {readonly string[]} args */
export async function newNeckCommand(args) {
  const done = await made(args).catch(endWith);
  if (done === undefined) return;
  process.stdout.write(`${done.text}\n`);
  if (done.start !== undefined) await launch(done.start);
}
