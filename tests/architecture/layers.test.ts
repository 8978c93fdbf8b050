import { readdirSync, readFileSync } from "node:fs";
import { builtinModules } from "node:module";
import { dirname, join, relative, resolve, sep } from "node:path";
import { fileURLToPath } from "node:url";
import { describe, expect, test } from "vitest";

/** The rows of the house: a folder may use those before it. */
const rows = ["units", "neck", "readings", "survey", "shape", "bow", "frets", "advice", "batch", "invented", "figures", "notebook", "setup"] as const;
const outsideTheCore = new Set(["notebook", "setup"]);
/** Slow to load, so only when used. */
const lazy = ["danfojs", "highs", "jsdom", "plotly.js-cartesian-dist-min"];

const sources = fileURLToPath(new URL("../../src", import.meta.url));

interface Import {
  readonly from: string;
  readonly to: string;
  readonly how: "static" | "type" | "dynamic";
}

function filesIn(folder: string): readonly string[] {
  return readdirSync(folder, { withFileTypes: true }).flatMap((entry) => {
    const path = join(folder, entry.name);
    if (entry.isDirectory()) return entry.name === "setup" ? [] : filesIn(path);
    return entry.name.endsWith(".ts") ? [path] : [];
  });
}

function importsOf(from: string, text: string): readonly Import[] {
  const code = text.replace(/\/\*[\s\S]*?\*\//g, "").replace(/^\s*\/\/.*$/gm, "");
  const statements = [...code.matchAll(/\b(?:import|export)\s+(type\s+)?(?:[\w*{}\s,$]+?\s+from\s+)?["']([^"'\n]+)["']/g)];
  const calls = [...code.matchAll(/\b(?:import|require)\s*\(\s*["']([^"'\n]+)["']/g)];
  return [
    ...statements.map(([, type, to = ""]) => ({ from, to, how: type === undefined ? ("static" as const) : ("type" as const) })),
    ...calls.map(([, to = ""]) => ({ from, to, how: "dynamic" as const })),
  ];
}

const rowOf = (path: string): string => (relative(sources, path).includes(sep) ? (relative(sources, path).split(sep)[0] ?? "") : "");
const rank = (row: string): number => rows.findIndex((name) => name === row);
const isLocal = ({ to }: Import): boolean => to.startsWith(".");
/** The kernels' compiler wants no extension. */
const target = ({ from, to }: Import): string => resolve(dirname(from), `${to.replace(/\.js$/, "")}.ts`);
const shown = (one: Import): string => `${relative(sources, one.from)} imports ${one.to}`;

function againstTheRows(imports: readonly Import[]): readonly string[] {
  return imports.filter(isLocal).filter((one) => {
    const [here, there] = [rowOf(one.from), rowOf(target(one))];
    if (here === "") return outsideTheCore.has(there); // src/index.ts, the public face of the core and the figures
    return there === "" || rank(there) === -1 || rank(there) > rank(here);
  }).map(shown);
}

function cycleIn(imports: readonly Import[]): readonly string[] {
  const next = new Map<string, string[]>();
  for (const one of imports.filter(isLocal)) next.set(one.from, [...(next.get(one.from) ?? []), target(one)]);
  const done = new Set<string>();
  const walk = (at: string, path: readonly string[]): readonly string[] => {
    if (path.includes(at)) return [...path.slice(path.indexOf(at)), at];
    if (done.has(at)) return [];
    for (const to of next.get(at) ?? []) {
      const found = walk(to, [...path, at]);
      if (found.length > 0) return found;
    }
    done.add(at);
    return [];
  };
  for (const from of next.keys()) {
    const found = walk(from, []);
    if (found.length > 0) return found.map((path) => relative(sources, path));
  }
  return [];
}

const isOfNodeOrJupyter = ({ to }: Import): boolean => to.startsWith("node:") || builtinModules.includes(to.split("/")[0] ?? "") || to.split("/")[0] === "tslab" || lazy.includes(to);

const files = filesIn(sources);
const imports = files.flatMap((path) => importsOf(path, readFileSync(path, "utf8")));

describe("the layers of src/", () => {
  test("every folder is a row of the house", () => {
    const folders = readdirSync(sources, { withFileTypes: true }).filter((entry) => entry.isDirectory()).map(({ name }) => name);
    expect(folders.filter((name) => rank(name) === -1)).toEqual([]);
  });

  test("imports go to earlier rows only", () => {
    expect(imports.length).toBeGreaterThan(20);
    expect(againstTheRows(imports)).toEqual([]);
  });

  test("there is no cycle", () => {
    expect(cycleIn(imports)).toEqual([]);
  });

  test("every local import names a file that is there", () => {
    expect(imports.filter(isLocal).filter((one) => !files.includes(target(one))).map(shown)).toEqual([]);
  });

  test("the core and the figures import nothing of Node and nothing of Jupyter", () => {
    expect(imports.filter((one) => !outsideTheCore.has(rowOf(one.from)) && isOfNodeOrJupyter(one)).map(shown)).toEqual([]);
  });

  test("tables, page and plotly are loaded only when used", () => {
    expect(imports.filter((one) => one.how === "static" && lazy.some((name) => one.to === name || one.to.startsWith(`${name}/`))).map(shown)).toEqual([]);
  });

  test("nothing above them imports the invented necks", () => {
    expect(imports.filter((one) => rank(rowOf(one.from)) < rank("invented") && rowOf(one.from) !== "" && target(one).includes(`${sep}invented${sep}`)).map(shown)).toEqual([]);
  });
});

describe("these checks can fail", () => {
  const at = (path: string, text: string): readonly Import[] => importsOf(join(sources, path), text);

  test("a later row, the public face and an unknown folder are seen", () => {
    const bad = [
      ...at("neck/a.ts", 'import { b } from "../survey/b.js";'),
      ...at("neck/b.ts", 'export type {\n  C,\n} from "../invented/c.js";'),
      ...at("neck/c.ts", 'import { d } from "../index.js";'),
      ...at("neck/d.ts", 'const e = await import("../elsewhere/e.js");'),
      ...at("index.ts", 'export * from "./notebook/index.js";'),
    ];
    expect(againstTheRows(bad)).toHaveLength(5);
    expect(againstTheRows(at("survey/a.ts", 'import { b } from "../neck/b.js";\nimport type { c } from "./c.js";'))).toEqual([]);
  });

  test("a cycle is seen", () => {
    expect(cycleIn([...at("neck/a.ts", 'import "./b.js";'), ...at("neck/b.ts", 'import type { A } from "./a.js";')])).toEqual(["neck/a.ts", "neck/b.ts", "neck/a.ts"]);
  });

  test("Node and the kernel are seen, words in comments are not", () => {
    const text = '// import "node:fs"\nimport { readFile } from "fs/promises";\nimport { display } from "tslab";\nconst path = require("node:path");\n';
    expect(at("neck/a.ts", text).filter(isOfNodeOrJupyter)).toHaveLength(3);
  });
});
