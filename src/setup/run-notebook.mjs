// Runs one notebook with the kernel's own converter and executor, in this process: no Python, no sockets.
// One process a notebook, since a cell may leave anything behind.
import { readFileSync, writeFileSync, renameSync } from "node:fs";
import { createRequire } from "node:module";
import { basename, dirname, resolve } from "node:path";
import { parseArgs } from "node:util";
import { measured, timesTable } from "./cell-times.mjs";
import { executedPage } from "./page.mjs";

const usage = "usage: node src/setup/run-notebook.mjs NOTEBOOK.ipynb [--write] [--out FILE.ipynb] [--html FILE.html] [--check] [--times] [--timeout SECONDS]";

/**
 * @typedef {{ cell_type: string, source: string | string[], outputs?: Output[], execution_count?: number | null }} Cell
 * @typedef {{ output_type: "stream", name: string, text: string }
 *   | { output_type: "display_data", data: Record<string, unknown>, metadata: Record<string, unknown> }} Output
 * @typedef {{ cells: Cell[], nbformat: number, metadata: Record<string, unknown> }} Notebook
 */

const writeOut = process.stdout.write.bind(process.stdout);
const writeErr = process.stderr.write.bind(process.stderr);

/** @param {string} message @returns {never} */
function refuse(message) {
  writeErr(`${message}\n`);
  process.exit(1);
}

/** @param {string | readonly string[]} text */
const joined = (text) => (typeof text === "string" ? text : text.join(""));

/** @param {string} text */
const lines = (text) => text.match(/[^\n]*\n|[^\n]+$/g) ?? [];

/** @param {unknown} value @returns {unknown} */
function sorted(value) {
  if (Array.isArray(value)) return value.map(sorted);
  if (value === null || typeof value !== "object") return value;
  return Object.fromEntries(Object.entries(value).sort(([a], [b]) => (a < b ? -1 : 1)).map(([key, inner]) => [key, sorted(inner)]));
}

/** As Jupyter itself writes it, so that a save by hand and a run by this program differ only where the outputs differ. @param {Notebook} notebook */
function notebookText(notebook) {
  const splitMime = (/** @type {string} */ mime) => mime.startsWith("text/") || mime === "image/svg+xml" || mime === "application/javascript";
  const cells = notebook.cells.map((cell) => ({
    ...cell,
    source: lines(joined(cell.source)),
    ...(cell.outputs && {
      outputs: cell.outputs.map((output) =>
        output.output_type === "stream"
          ? { ...output, text: lines(joined(output.text)) }
          : { ...output, ...("data" in output && { data: Object.fromEntries(Object.entries(output.data).map(([mime, data]) => [mime, typeof data === "string" && splitMime(mime) ? lines(data) : data])) }) }),
    }),
  }));
  return `${JSON.stringify(sorted({ ...notebook, cells }), null, 1)}\n`;
}

/** @param {string} path @param {string} text */
function writeWhole(path, text) {
  const part = `${path}.${process.pid}.part`;
  writeFileSync(part, text);
  renameSync(part, path);
}

/** @param {string} path @returns {Notebook} */
function readNotebook(path) {
  let text = "";
  try {
    text = readFileSync(path, "utf8");
  } catch (error) {
    refuse(`Cannot read the notebook ${path}: ${error instanceof Error && "code" in error && error.code === "ENOENT" ? "there is no such file" : String(error)}`);
  }
  try {
    const notebook = JSON.parse(text);
    if (notebook.nbformat === 4 && Array.isArray(notebook.cells)) return notebook;
  } catch {
    // said below
  }
  return refuse(`Cannot run ${path}: it is not a Jupyter notebook of format 4`);
}

function readOptions() {
  try {
    const { values, positionals } = parseArgs({
      allowPositionals: true,
      options: {
        write: { type: "boolean" }, out: { type: "string" }, html: { type: "string" }, check: { type: "boolean" }, times: { type: "boolean" }, timeout: { type: "string", default: "120" },
      },
    });
    const [path, ...more] = positionals;
    const seconds = Number(values.timeout);
    if (path !== undefined && more.length === 0 && seconds > 0) return { ...values, path: resolve(path), seconds, out: values.out && resolve(values.out), html: values.html && resolve(values.html) };
  } catch (error) {
    refuse(`${error instanceof Error ? error.message : String(error)}\n${usage}`);
  }
  return refuse(usage);
}

const options = readOptions();
const name = basename(options.path);
const notebook = readNotebook(options.path);
const stored = notebookText(notebook);

// What is stored holds still pictures: small, and the same bytes on every machine. A page on its own is live.
if (options.write === true || options.check === true) process.env["NECK_SURVEY_FIGURES"] ??= "still";

process.chdir(dirname(options.path)); // before the kernel loads: it resolves imports from here
const require = createRequire(import.meta.url);
const jupyter = require("tslab/dist/jupyter.js");
const { createConverter } = require("tslab/dist/converter.js");
const { createExecutor } = require("tslab/dist/executor.js");

/** @type {Map<string, Extract<Output, { output_type: "display_data" }>>} */
const displays = new Map();
/** What a browser ran before a display was overwritten: its scripts stay in force, so a page needs them. @type {Map<Output, string[]>} */
const overwritten = new Map();
/** @type {Output[]} */
let outputs = [];
/** @type {string[]} */
let late = [];
/** @type {{ cell: Cell, number: number } | undefined} */
let running;
let finished = false;

/** @param {string} stream */
const capture = (stream) => (/** @type {string | Uint8Array} */ chunk) => {
  const text = typeof chunk === "string" ? chunk : Buffer.from(chunk).toString("utf8");
  const last = outputs.at(-1);
  if (last?.output_type === "stream" && last.name === stream) last.text += text;
  else outputs.push({ output_type: "stream", name: stream, text });
  return true;
};

/** @param {{ data: Record<string, unknown>, metadata: Record<string, unknown>, transient?: { display_id?: string } }} shown @param {boolean | undefined} update */
function show({ data, metadata, transient }, update) {
  const id = transient?.display_id;
  const before = id === undefined ? undefined : displays.get(id);
  if (update === true && before !== undefined) {
    overwritten.set(before, [...(overwritten.get(before) ?? []), typeof before.data["text/html"] === "string" ? before.data["text/html"] : ""]);
    Object.assign(before, { data, metadata });
    return;
  }
  const output = /** @type {const} */ ({ output_type: "display_data", data, metadata });
  outputs.push(output);
  if (id !== undefined) displays.set(id, output);
}

/** @param {unknown} error */
const told = (error) => (error instanceof Error ? (error.stack ?? error.message) : String(error));

process.on("uncaughtException", (error) => late.push(`An error that no line of the notebook waited for: ${told(error)}`));
process.on("unhandledRejection", (reason) => late.push(`A promise that nobody awaited failed: ${told(reason)}`));
process.on("exit", () => {
  if (finished) return;
  writeErr(`${name}: cell ${running?.number ?? "?"} ended the kernel\n`);
  process.exitCode = 1;
});

const stderrOf = (/** @type {Output[]} */ all) => all.filter((o) => o.output_type === "stream" && o.name === "stderr").map((o) => ("text" in o ? o.text : "")).join("");

/** @param {string} message */
function fail(message) {
  finished = true;
  if (options.html !== undefined) writeWhole(options.html, executedPage(notebook, name, overwritten));
  const source = running === undefined ? "" : joined(running.cell.source).trimEnd().replace(/^/gm, "    ");
  writeErr(`${name}: cell ${running?.number ?? "?"} failed\n\n${source}\n\n${message.trimEnd()}\n`);
  process.exit(1);
}

const hang = setTimeout(() => fail(`Not finished after ${options.seconds} s`), options.seconds * 1000);
hang.unref();

const times = measured(createConverter({ isJS: false, isBrowser: false }));
const converter = times.converter;
const executor = createExecutor(process.cwd(), { node: converter, browser: converter, close: () => converter.close() }, { log: console.log, error: console.error });
process.stdout.write = capture("stdout");
process.stderr.write = capture("stderr");

const started = performance.now();
let count = 0;
for (const cell of notebook.cells) {
  if (cell.cell_type !== "code") continue;
  outputs = [];
  cell.outputs = outputs;
  cell.execution_count = null;
  if (joined(cell.source).trim() === "") continue;
  jupyter.lastWriteDisplayData = (/** @type {Parameters<typeof show>} */ ...shown) => show(...shown); // another for every cell, as the kernel does
  running = { cell, number: ++count };
  cell.execution_count = count;
  times.begin();
  const ok = await executor.execute(joined(cell.source));
  times.end(count, outputs);
  await new Promise((next) => setImmediate(next));
  if (!ok) fail(stderrOf(outputs));
  if (late.length > 0) fail(late.join("\n"));
}

// With the compiler's watchers closed, Node comes to rest when nothing is pending: only then is it known that no promise failed unseen.
const resting = Promise.race([
  new Promise((rest) => process.once("beforeExit", rest)),
  new Promise((rest) => setTimeout(rest, 10_000).unref()),
]);
executor.close();
await resting;
if (late.length > 0) fail(late.join("\n"));

finished = true;
const text = notebookText(notebook);
if (options.html !== undefined) writeWhole(options.html, executedPage(notebook, name, overwritten));
if (options.out !== undefined) writeWhole(options.out, text);
if (options.write === true && text !== stored) writeWhole(options.path, text);
if (options.check === true && text !== stored) {
  writeErr(`${name}: the outputs stored in it are not those of today's run. Store them with: npm run notebooks\n`);
  process.exit(1);
}
writeOut(`${name}: ${count} cells ran in ${((performance.now() - started) / 1000).toFixed(1)} s\n`);
if (options.times === true) writeOut(timesTable(times.cells()));
process.exit(0);
