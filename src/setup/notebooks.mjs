// Runs the notebooks and stores their outputs in them (npm run notebooks), or, with --check, says whether the stored ones are today's.
import { availableParallelism } from "node:os";
import { basename, join, resolve } from "node:path";
import { pathToFileURL } from "node:url";
import { notebookFiles } from "./notebook-files.mjs";
import { root, setupFolder } from "./places.mjs";
import { prepare } from "./prepare.mjs";
import { run } from "./run.mjs";
import { endWith } from "./stop.mjs";

/**
 * @param {readonly string[]} paths
 * @param {readonly string[]} options of run-notebook.mjs
 * @returns {Promise<readonly { path: string, ok: boolean, output: string }[]>} each run in a process of its own
 */
export async function runNotebooks(paths, options) {
  const results = paths.map((path) => ({ path, ok: false, output: "" }));
  const waiting = [...results];
  const worker = async () => {
    for (let next = waiting.shift(); next !== undefined; next = waiting.shift()) {
      const { code, output } = await run(process.execPath, ["--enable-source-maps", join(setupFolder, "run-notebook.mjs"), next.path, ...options], { timeoutMs: 300_000 });
      Object.assign(next, { ok: code === 0, output: code === null ? `${output}${basename(next.path)} did not end by itself\n` : output });
    }
  };
  await Promise.all(Array.from({ length: Math.min(availableParallelism(), 4) }, worker));
  return results;
}

/** @param {readonly string[]} args */
async function storeOutputs(args) {
  await prepare({ say: console.log });
  const check = args.includes("--check");
  const named = args.filter((arg) => !arg.startsWith("--")).map((path) => resolve(root, path));
  const results = await runNotebooks(named.length > 0 ? named : notebookFiles(), [check ? "--check" : "--write"]);
  for (const { output } of results) process.stdout.write(output);
  if (results.length === 0) console.log("There is no notebook in notebooks/.");
  if (results.some(({ ok }) => !ok)) process.exitCode = 1;
}

if (process.argv[1] !== undefined && import.meta.url === pathToFileURL(process.argv[1]).href) await storeOutputs(process.argv.slice(2)).catch(endWith);
