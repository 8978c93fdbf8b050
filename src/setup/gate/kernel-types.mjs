// The kernel's compiler is older than ours, and what it cannot read it silently takes for any.
import { mkdtempSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { root } from "../places.mjs";
import { run } from "../run.mjs";

/** @param {string} file */
const compiled = (file) =>
  run(process.execPath, [
    join(root, "node_modules", "@tslab", "typescript-for-tslab", "bin", "tsc"),
    ..."--noEmit --strict --moduleResolution node --module esnext --target es2022 --lib es2022 --types node --esModuleInterop".split(" "),
    "--typeRoots",
    join(root, "node_modules", "@types"),
    file,
  ]);

/** Its faults in our own files; what other packages publish is theirs. @param {string} output */
const ours = (output) => output.split("\n").filter((line) => /^\S.*error TS\d+/.test(line) && !line.startsWith("node_modules")).join("\n");

/** @returns {Promise<import("../gate.mjs").Outcome>} one check for each entry, and one that must fail */
export async function check() {
  const folder = mkdtempSync(join(tmpdir(), "kernel-types-"));
  const control = join(folder, "control.d.ts");
  writeFileSync(control, "export declare function first<T>(of: T, or: NoInfer<T>): Float64Array<ArrayBuffer>;\n");
  const entries = ["index.d.ts", join("notebook", "index.d.ts")];
  const [mustFail, ...results] = await Promise.all([control, ...entries.map((entry) => join(root, "dist", entry))].map(compiled));
  rmSync(folder, { recursive: true, force: true });
  const failures = results.flatMap(({ code, output }) => (code === null ? [output] : [ours(output)].filter((faults) => faults !== "")));
  const blind = mustFail === undefined || !ours(mustFail.output).includes("NoInfer") ? ["the kernel's compiler takes types that are newer than it; this check sees nothing"] : [];
  return { passed: entries.length + 1 - failures.length - blind.length, failures: [...failures, ...blind] };
}
