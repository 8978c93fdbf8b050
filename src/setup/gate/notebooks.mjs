import { readFileSync } from "node:fs";
import { basename, join } from "node:path";
import { notebookFiles } from "../notebook-files.mjs";
import { runNotebooks } from "../notebooks.mjs";
import { root } from "../places.mjs";

const mustFail = join(root, "tests", "notebooks", "fixtures", "throws.ipynb");

/** A notebook is for a reader at the bench: short cells, and not many. @param {string} path @returns {readonly string[]} */
function tooLong(path) {
  const cells = JSON.parse(readFileSync(path, "utf8")).cells.filter((/** @type {any} */ cell) => cell.cell_type === "code");
  return cells.flatMap((/** @type {any} */ cell, /** @type {number} */ index) => {
    const lines = [cell.source].flat().join("").split("\n").length;
    return lines > 15 ? [`${basename(path)}: cell ${index + 1} has ${lines} lines; 15 at most`] : [];
  });
}

/** @returns {Promise<import("../gate.mjs").Outcome>} each notebook run with its stored outputs compared, and one that must fail */
export async function check() {
  const paths = notebookFiles();
  const [control, ...results] = await runNotebooks([mustFail, ...paths], ["--check"]);
  const failures = results.filter(({ ok }) => !ok).map(({ output }) => output);
  const blind = control !== undefined && !control.ok && control.output.includes("the neck is too long") ? [] : ["a notebook that throws is taken for one that passes"];
  const none = paths.length === 0 ? ["there is no notebook in notebooks/"] : [];
  return { passed: paths.length + 1 - failures.length - blind.length, failures: [...failures, ...blind, ...none, ...paths.flatMap(tooLong)] };
}
