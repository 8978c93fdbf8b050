import { mkdirSync, readFileSync, rmSync } from "node:fs";
import { join } from "node:path";
import { root } from "../places.mjs";
import { run } from "../run.mjs";

/** A test that ran out of time has no message of its own in vitest's report. @param {any} test */
const told = (test) => test.failureMessages.map((/** @type {string} */ message) => (message.includes("STACK_TRACE_ERROR") ? `not finished after ${Math.round(test.duration)} ms, its time limit` : message)).join("\n");

/** @returns {Promise<import("../gate.mjs").Outcome>} vitest's own count */
export async function check() {
  const folder = join(root, "node_modules", ".cache", "neck-survey");
  const results = join(folder, "unit.json");
  mkdirSync(folder, { recursive: true });
  rmSync(results, { force: true });
  const ran = await run(process.execPath, [join(root, "node_modules", "vitest", "vitest.mjs"), "run", "--config", join("tests", "vitest.config.ts"), "--reporter=dot", "--reporter=json", `--outputFile.json=${results}`]);
  const text = (() => {
    try {
      return readFileSync(results, "utf8");
    } catch {
      return undefined;
    }
  })();
  if (text === undefined) return { passed: 0, failures: [ran.output] };
  const report = JSON.parse(text);
  /** @type {string[]} */
  const failures = report.testResults.flatMap((/** @type {any} */ file) => {
    const name = file.name.replace(`${root}/`, "");
    const tests = file.assertionResults.filter((/** @type {any} */ test) => test.status === "failed").map((/** @type {any} */ test) => `${name}: ${test.fullName}\n${told(test)}`);
    return tests.length > 0 || file.status !== "failed" ? tests : [`${name}\n${file.message}`];
  });
  const skipped = report.numPendingTests + report.numTodoTests;
  if (skipped > 0) failures.push(`${skipped} tests are skipped: run them or remove them`);
  return { passed: report.numPassedTests, failures: failures.length === 0 && ran.code !== 0 ? [ran.output] : failures };
}
