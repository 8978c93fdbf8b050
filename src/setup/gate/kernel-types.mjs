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

/** What the kernel's compiler need not read, since it reads it anew at its start and looks through it at every cell. */
const heavy = /lib\.dom|node_modules\/(@types\/jsdom|jsdom|plotly|parse5|ml-matrix|highs)/;
/** Files that a notebook's first import may bring: what was there when this was written, and a third more. */
const mostFiles = 470;

/** @param {string} folder @returns {Promise<readonly string[]>} what is too much of what the kernel's compiler reads in a notebook that uses both entries */
async function tooMuch(folder) {
  const cell = join(folder, "cell.ts");
  writeFileSync(cell, `import { surveyNeck } from "${join(root, "dist", "notebook", "index.js")}";\nimport { adjust } from "${join(root, "dist", "index.js")}";\nexport { surveyNeck, adjust };\n`);
  const tsc = join(root, "node_modules", "@tslab", "typescript-for-tslab", "bin", "tsc");
  const { output } = await run(process.execPath, [tsc, ..."--listFilesOnly --moduleResolution node --module esnext --target es2022 --lib es2022 --esModuleInterop --typeRoots".split(" "), join(root, "node_modules", "@types"), cell]);
  const files = output.split("\n").filter((line) => line.endsWith(".d.ts"));
  const found = files.filter((file) => heavy.test(file.replaceAll("\\", "/")));
  return [
    ...(files.length < 200 ? [`only ${files.length} files are read: this check sees nothing\n${output}`] : []),
    ...(files.length > mostFiles ? [`the kernel's compiler reads ${files.length} files at the first import; ${mostFiles} at most, since every cell pays for them`] : []),
    ...(found.length > 0 ? [`the kernel's compiler reads types that no notebook needs: ${found.slice(0, 5).join(", ")}`] : []),
  ];
}

/** @returns {Promise<import("../gate.mjs").Outcome>} one check for each entry, one of what is read, and one that must fail */
export async function check() {
  const folder = mkdtempSync(join(tmpdir(), "kernel-types-"));
  const control = join(folder, "control.d.ts");
  writeFileSync(control, "export declare function first<T>(of: T, or: NoInfer<T>): Float64Array<ArrayBuffer>;\n");
  const entries = ["index.d.ts", join("notebook", "index.d.ts")];
  const [mustFail, ...results] = await Promise.all([control, ...entries.map((entry) => join(root, "dist", entry))].map(compiled));
  const much = await tooMuch(folder);
  rmSync(folder, { recursive: true, force: true });
  const failures = results.flatMap(({ code, output }) => (code === null ? [output] : [ours(output)].filter((faults) => faults !== "")));
  const blind = mustFail === undefined || !ours(mustFail.output).includes("NoInfer") ? ["the kernel's compiler takes types that are newer than it; this check sees nothing"] : [];
  return { passed: entries.length + 2 - failures.length - blind.length - Math.min(1, much.length), failures: [...failures, ...blind, ...much] };
}
