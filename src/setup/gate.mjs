// npm test: everything that must hold, in one command; npm test -- STEP runs one step of it.
import { prepare } from "./prepare.mjs";
import { endWith, Stop } from "./stop.mjs";

/** @typedef {{ passed: number, failures: readonly string[] }} Outcome what a step counted; a failure is text for the developer */

/** @type {readonly { name: string, what: string }[]} */
const steps = [
  { name: "types", what: "types of the library and its tests" },
  { name: "lint", what: "lint: floating promises, truthiness on numbers" },
  { name: "kernel-types", what: "published types under the kernel's own compiler" },
  { name: "docstrings", what: "docstrings of the public face" },
  { name: "examples", what: "docstring examples, run" },
  { name: "unit", what: "unit, published and layer checks" },
  { name: "notebooks", what: "notebooks, run by the kernel" },
];

const say = (/** @type {string} */ line) => void process.stdout.write(`${line}\n`);

/** @param {string} name @returns {Promise<Outcome>} */
async function outcomeOf(name) {
  try {
    const { check } = await import(`./gate/${name}.mjs`);
    return await check();
  } catch (error) {
    return { passed: 0, failures: [error instanceof Error ? (error.stack ?? error.message) : String(error)] };
  }
}

/** @param {readonly string[]} wanted names of steps; none means all */
async function gate(wanted) {
  const unknown = wanted.filter((name) => !steps.some((step) => step.name === name));
  if (unknown.length > 0) throw new Stop(`There is no step "${unknown.join('", "')}". The steps are: ${steps.map(({ name }) => name).join(", ")}`);
  const started = performance.now();
  await prepare({ say });
  let passed = 0;
  let failed = 0;
  /** @type {string[]} */
  const broken = [];
  for (const { name, what } of steps.filter((step) => wanted.length === 0 || wanted.includes(step.name))) {
    const from = performance.now();
    const outcome = await outcomeOf(name);
    const seconds = ((performance.now() - from) / 1000).toFixed(1);
    say(`${outcome.failures.length === 0 ? "ok    " : "FAILED"}  ${what}: ${outcome.passed} passed, ${outcome.failures.length} failed (${seconds} s)`);
    for (const failure of outcome.failures) say(failure.trimEnd().replace(/^/gm, "        "));
    passed += outcome.passed;
    failed += outcome.failures.length;
    if (outcome.failures.length > 0) broken.push(name);
  }
  if (broken.length > 0) say(`\nTo run what failed alone: ${broken.map((name) => `npm test -- ${name}`).join("; ")}`);
  say(`\nAll in ${((performance.now() - started) / 1000).toFixed(0)} s.\n${passed} passed, ${failed} failed`);
  if (failed > 0 || passed === 0) process.exitCode = 1;
}

/** @param {readonly string[]} args */
export const runGate = (args) => gate(args).catch(endWith);
