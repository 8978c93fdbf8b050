// An example in a docstring is run against the built library, and must assert something.
import { readFileSync } from "node:fs";
import { join, relative } from "node:path";
import { pathToFileURL } from "node:url";
import { isDeepStrictEqual, inspect } from "node:util";
import { root } from "../places.mjs";
import { sourceFiles, ts } from "./sources.mjs";

/** @typedef {{ where: string, code: string, module: string }} Example `module`: the built file of the source it stands in */

/** @param {string} text a source @returns {{ line: number, code: string }[]} */
function examplesIn(text) {
  return [...text.matchAll(/\/\*\*[\s\S]*?\*\//g)].flatMap((comment) => {
    const lines = comment[0].replace(/^\/\*\*|\*\/$/g, "").split("\n").map((line) => line.replace(/^\s*\* ?/, ""));
    const firstLine = text.slice(0, comment.index).split("\n").length;
    return lines.flatMap((line, index) => {
      const start = /^\s*@example\b/.exec(line);
      if (start === null) return [];
      const end = lines.findIndex((later, at) => at > index && /^\s*@\w/.test(later));
      const code = [line.slice(start[0].length), ...lines.slice(index + 1, end === -1 ? undefined : end)].join("\n").replace(/^\s*```\w*\s*$/gm, "").trim();
      return [{ line: firstLine + index, code }];
    });
  });
}

/** @returns {Example[]} */
const everyExample = () =>
  sourceFiles().flatMap((path) =>
    examplesIn(readFileSync(path, "utf8")).map(({ line, code }) => ({ where: `${relative(root, path)}:${line}`, code, module: join(root, "dist", relative(join(root, "src"), path).replace(/\.ts$/, ".js")) })),
  );

/** Counts what it asserts. */
function asserter() {
  let count = 0;
  /** @param {unknown} actual @param {number} expected @param {{ abs?: number, rel?: number }} tolerance */
  const near = (actual, expected, tolerance) => {
    count++;
    const { abs, rel } = tolerance ?? {};
    const bound = abs ?? (rel === undefined ? undefined : rel * Math.abs(expected));
    if (bound === undefined || !(bound >= 0) || bound === Infinity) throw new Error("near needs a finite tolerance: { abs } or { rel }");
    if (typeof actual !== "number" || !(Math.abs(actual - expected) <= bound)) throw new Error(`got ${inspect(actual)}, expected ${expected} within ${bound}`);
  };
  /** @param {unknown} actual @param {unknown} expected */
  const equal = (actual, expected) => {
    count++;
    if (!isDeepStrictEqual(actual, expected)) throw new Error(`got ${inspect(actual)}, expected ${inspect(expected)}`);
  };
  return { near, equal, count: () => count };
}

/** @type {any} */
const AsyncFunction = (async () => undefined).constructor;

/** @param {Example} example @param {Record<string, unknown>} scope @returns {Promise<string>} "" or why it fails */
async function whyItFails({ where, code }, scope) {
  const { near, equal, count } = asserter();
  const names = Object.keys(scope).filter((name) => name !== "default");
  try {
    const script = ts.transpileModule(code, { compilerOptions: { target: ts.ScriptTarget.ES2022, module: ts.ModuleKind.ESNext } }).outputText;
    await new AsyncFunction("near", "equal", ...names, script)(near, equal, ...names.map((name) => scope[name]));
  } catch (error) {
    return `${where}: ${error instanceof Error ? error.message : String(error)}\n    ${code}`;
  }
  return count() > 0 ? "" : `${where}: the example asserts nothing: end it with near(...) or equal(...)\n    ${code}`;
}

const controls = ["near(1.2, 1, { abs: 0.1 });", "near(NaN, NaN, { abs: 1 });", "near(1, 1);", 'equal({ a: 1 }, { a: 2 });', "1 + 1;", "noSuchFunction();", "near(1, 1, { abs: Infinity });", "equal(0, -0);"];

/** @returns {Promise<import("../gate.mjs").Outcome>} every example, and controls that must fail */
export async function check() {
  const library = await import(pathToFileURL(join(root, "dist", "index.js")).href);
  const examples = everyExample();
  const results = [];
  for (const example of examples) results.push(await whyItFails(example, { ...library, ...(await import(pathToFileURL(example.module).href)) }));
  const blind = [];
  for (const code of controls) if ((await whyItFails({ where: "control", code, module: "" }, library)) === "") blind.push(`an example that must fail passes: ${code}`);
  const parsed = examplesIn("/**\n * One.\n * @example near(a(1), 1, {\n *   abs: 1 });\n * @source none\n */\nx\n/** Two. @see y */").map(({ line, code }) => `${line} ${code}`);
  if (!isDeepStrictEqual(parsed, ["3 near(a(1), 1, {\n  abs: 1 });"])) blind.push(`an example is not read as written: ${inspect(parsed)}`);
  const failures = [...results.filter((why) => why !== ""), ...blind, ...(examples.length === 0 ? ["no docstring has an example"] : [])];
  return { passed: examples.length + controls.length + 1 - results.filter((why) => why !== "").length - blind.length, failures };
}
