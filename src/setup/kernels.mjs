// Compiles src/survey/linear/assembly into src/survey/linear/kernelCode.ts (npm run kernels), or, with --check, says whether what stands there is what its sources come to.
import { existsSync, mkdtempSync, readFileSync, readdirSync, rmSync, writeFileSync } from "node:fs";
import { createHash } from "node:crypto";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { npmCommand } from "./npm.mjs";
import { root, setupFolder } from "./places.mjs";
import { run } from "./run.mjs";
import { endWith, Stop } from "./stop.mjs";

const folder = join(root, "src", "survey", "linear", "assembly");
/** A folder of its own, so that only who changes the kernels has to have their compiler. */
const assembler = join(setupFolder, "assembler");
const into = join(root, "src", "survey", "linear", "kernelCode.ts");
const compiler = join(assembler, "node_modules", "assemblyscript", "bin", "asc.js");
/** Two numbers at a time, no bounds checked, nothing collected: the kernels lay out no memory of their own. */
const HOW = ["--optimizeLevel", "3", "--shrinkLevel", "0", "--runtime", "stub", "--enable", "simd", "--noAssert"];

/** @returns {string} a mark of all sources, whichever way a checkout ends its lines */
export function sourcesMark() {
  const sources = readdirSync(folder).filter((name) => name.endsWith(".ts")).sort();
  const hash = createHash("sha256");
  for (const name of sources) hash.update(`${name}\n${readFileSync(join(folder, name), "utf8").replaceAll("\r\n", "\n")}`);
  return hash.digest("hex");
}

async function install() {
  if (existsSync(compiler)) return;
  const { command, args } = npmCommand();
  const ran = await run(command, [...args, "ci", "--loglevel=error", "--no-audit", "--no-fund"], { cwd: assembler, say: console.log, what: "installing the kernels' compiler" });
  if (ran.code !== 0) throw new Stop(`Cannot install what compiles the kernels:\n${ran.output}`);
}

/** @returns {Promise<string>} the text of kernelCode.ts that the sources come to */
async function compiled() {
  const made = mkdtempSync(join(tmpdir(), "kernels-"));
  try {
    const file = join(made, "kernels.wasm");
    const { code, output } = await run(process.execPath, [compiler, "index.ts", "--outFile", file, ...HOW], { cwd: folder });
    if (code !== 0) throw new Stop(`Cannot compile the kernels:\n${output}`);
    return [
      "// Written by npm run kernels: do not edit. WebAssembly in base64, and a mark of the sources that it was compiled from.",
      `export const KERNEL_CODE = "${readFileSync(file).toString("base64")}";`,
      `export const KERNEL_SOURCES = "${sourcesMark()}";`,
      "",
    ].join("\n");
  } finally {
    rmSync(made, { recursive: true, force: true });
  }
}

/** @param {boolean} check */
async function kernels(check) {
  await install();
  const text = await compiled();
  if (!check) return writeFileSync(into, text);
  const same = readFileSync(into, "utf8").replaceAll("\r\n", "\n") === text;
  console.log(same ? "1 passed, 0 failed" : "kernelCode.ts is not what its sources come to: run npm run kernels\n0 passed, 1 failed");
  if (!same) process.exitCode = 1;
}

if (process.argv[1]?.endsWith("kernels.mjs")) kernels(process.argv.includes("--check")).catch(endWith);
