// npm run published: what the tests compare with published values, as one table in docs/published-checks.md.
import { mkdirSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { root } from "../../src/setup/places.mjs";
import { prepare } from "../../src/setup/prepare.mjs";
import { run } from "../../src/setup/run.mjs";
import { endWith, Stop } from "../../src/setup/stop.mjs";

/** @typedef {{ file: string, test: string, published: string, ours: number, allowed: number | null }} Comparison what is not finite is written as null */

/** Rows shown of a test that compares many values: the first, and those nearest to their limit. */
const shownRows = 4;

/** @returns {Promise<readonly Comparison[]>} */
async function comparisons() {
  const folder = mkdtempSync(join(tmpdir(), "neck-survey-published-"));
  const log = join(folder, "log");
  try {
    const ran = await run(process.execPath, [join(root, "node_modules", "vitest", "vitest.mjs"), "run", "--config", join(root, "tests", "vitest.config.ts"), "tests/published"], { env: { ...process.env, PUBLISHED_LOG: log } });
    if (ran.code !== 0) throw new Stop(`The published checks do not pass, so there is no table to make:\n${ran.output}`);
    return readFileSync(log, "utf8").trimEnd().split("\n").map((line) => JSON.parse(line));
  } finally {
    rmSync(folder, { recursive: true, force: true });
  }
}

/** A passed run: what lies beyond its limit, or in a control, was meant to be refused. @param {Comparison} row */
const isCheck = ({ test, published, ours, allowed }) => ours !== null && !/\bcontrol\b/i.test(test) && (allowed === null || Math.abs(ours - Number(published)) <= allowed);

/** @param {number} value */
const shown = (value) => (value === 0 ? "0" : Math.abs(value) < 1e-3 || Math.abs(value) >= 1e7 ? value.toExponential(1) : String(Number(value.toPrecision(2))));

/** @param {number} value @param {string} published */
const like = (value, published) => String(Number(value.toPrecision(Math.min(15, Math.max(6, published.replace(/^[-+0.]+|e.*$/gi, "").replace(".", "").length + 2)))));

/** @param {string} text */
const cell = (text) => text.replaceAll("|", "\\|").replaceAll("<", "&lt;");

/** @param {Comparison} row */
const nearness = ({ published, ours, allowed }) => {
  const difference = Math.abs(ours - Number(published));
  return allowed === null ? difference / Math.max(Math.abs(Number(published)), Number.MIN_VALUE) : difference / allowed;
};

/** @param {string} test @param {readonly Comparison[]} rows @returns {readonly string[]} the rows of one test; its title, which names quantity and source, stands in the first */
function testRows(test, rows) {
  const distinct = [...new Map(rows.map((row) => [`${row.published} ${like(row.ours, row.published)}`, row])).values()];
  const [first, ...others] = distinct;
  const nearest = [...others].sort((a, b) => nearness(b) - nearness(a)).slice(0, shownRows - 1);
  const title = `${cell(test.split(" > ").join(": "))}${rows.length > 1 ? ` (${rows.length} values)` : ""}`;
  return [first, ...nearest].flatMap((row, index) => (row === undefined ? [] : [`| ${index === 0 ? title : ""} | ${cell(row.published)} | ${like(row.ours, row.published)} | ${shown(row.ours - Number(row.published))} | ${row.allowed === null ? "by digits" : shown(row.allowed)} |`]));
}

/** @param {readonly Comparison[]} all */
function page(all) {
  const checks = all.filter(isCheck);
  const keys = [...new Set(checks.map(({ file, test }) => `${file}\n${test}`))].sort();
  return [
    "# Checks against published values", "",
    `Made by \`npm run published\`: ${checks.length} values, all within what is allowed. The first column names quantity and source, as the test in \`tests/published/\` does. Allowed is half a unit of the last printed digit unless the test says`,
    `otherwise; "by digits" means that the test counts digits of agreement. Of a test with many values the first is shown, and the ${shownRows - 1} nearest to their limit.`, "",
    "| quantity and source | published | ours | difference | allowed |", "| --- | --- | --- | --- | --- |",
    ...keys.flatMap((key) => testRows(key.split("\n")[1] ?? "", checks.filter(({ file, test }) => `${file}\n${test}` === key))),
  ].join("\n");
}

try {
  await prepare({ say: console.log });
  const all = await comparisons();
  mkdirSync(join(root, "docs"), { recursive: true });
  writeFileSync(join(root, "docs", "published-checks.md"), `${page(all).trimEnd()}\n`);
  console.log(`docs/published-checks.md: ${all.filter(isCheck).length} values compared.`);
} catch (error) {
  endWith(error);
}
