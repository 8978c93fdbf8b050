import { mkdirSync, mkdtempSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { root, setupFolder } from "../places.mjs";
import { run } from "../run.mjs";

/** @param {string} tsconfig @param {readonly string[]} paths @param {string} [cwd] */
const oxlint = (tsconfig, paths, cwd = root) =>
  run(process.execPath, [join(root, "node_modules", "oxlint", "bin", "oxlint"), "-c", join(setupFolder, "gate", "lint.json"), "--disable-nested-config", "--type-aware", "--tsconfig", tsconfig, "-f", "unix", ...paths], { cwd });

/** What the lint must find, or it is not at work. */
const faults = [
  { rule: "no-floating-promises", source: "export function late(): void { Promise.resolve(1); }\n" },
  { rule: "strict-boolean-expressions", source: "export function touched(gapMm: number): string { return gapMm ? 'apart' : 'touching'; }\n" },
  { rule: "strict-boolean-expressions", source: "export function known(gapMm: number | undefined): number { return gapMm || 1; }\n" },
  { rule: "no-explicit-any", source: "export function anything(given: any): string { return String(given); }\n" },
  { rule: "no-non-null-assertion", source: "export function first(gapsMm: readonly number[]): number { return gapsMm[0]!; }\n" },
];

/** @returns {Promise<readonly string[]>} the faults that were not found */
async function missedFaults() {
  const folder = mkdtempSync(join(tmpdir(), "lint-control-"));
  try {
    mkdirSync(join(folder, "src"));
    writeFileSync(join(folder, "tsconfig.json"), '{ "compilerOptions": { "strict": true, "target": "es2022", "module": "nodenext", "noUncheckedIndexedAccess": true, "types": [] }, "include": ["src"] }');
    faults.forEach(({ source }, index) => writeFileSync(join(folder, "src", `fault${index}.mts`), source));
    const { output } = await oxlint(join(folder, "tsconfig.json"), ["src"], folder);
    return faults.flatMap(({ rule, source }, index) => (output.split("\n").some((line) => line.includes(`fault${index}.mts`) && line.includes(rule)) ? [] : [`the lint does not find ${rule} in: ${source}`]));
  } finally {
    rmSync(folder, { recursive: true, force: true });
  }
}

/** @returns {Promise<import("../gate.mjs").Outcome>} */
export async function check() {
  // the kernels are in a language of their own, whose compiler judges them
  const { code, output } = await oxlint(join(root, "tests", "tsconfig.json"), ["--ignore-pattern", "src/survey/linear/assembly/**", "--ignore-pattern", "src/setup/assembler/**", "src", "tests"]);
  const missed = await missedFaults();
  const found = code === 0 ? [] : output.split("\n").filter((line) => /:\d+:\d+: /.test(line));
  return { passed: (code === 0 ? 1 : 0) + faults.length - missed.length, failures: [...(code !== 0 && found.length === 0 ? [output] : found), ...missed] };
}
