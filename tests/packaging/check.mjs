// npm run packaging: is the package sound for those who install it, and do its docstrings make API pages without a warning (docs/api/)?
import { existsSync } from "node:fs";
import { join } from "node:path";
import { npmCommand } from "../../src/setup/npm.mjs";
import { root } from "../../src/setup/places.mjs";
import { prepare } from "../../src/setup/prepare.mjs";
import { run } from "../../src/setup/run.mjs";
import { endWith, Stop } from "../../src/setup/stop.mjs";

const folder = join(root, "tests", "packaging");
const tool = (/** @type {string[]} */ ...path) => join(folder, "node_modules", ...path);

const checks = [
  { what: "publint", args: [tool("publint", "src", "cli.js"), "--strict"] },
  // the package is ESM only, on purpose: Node 20.19 and later load it with require as well
  { what: "are the types wrong", args: [tool("@arethetypeswrong", "cli", "dist", "index.js"), "--pack", ".", "--ignore-rules", "cjs-resolves-to-esm", "--no-color"] },
  { what: "API pages from docstrings, warnings as errors", args: [tool("typedoc", "bin", "typedoc"), "--options", join(folder, "typedoc.json")] },
];

async function install() {
  if (existsSync(tool("typedoc"))) return;
  const { command, args } = npmCommand();
  const ran = await run(command, [...args, "ci", "--loglevel=error", "--no-audit", "--no-fund"], { cwd: folder, say: console.log, what: "installing the checking tools" });
  if (ran.code !== 0) throw new Stop(`Cannot install what checks the package:\n${ran.output}`);
}

try {
  await prepare({ say: console.log });
  await install();
  for (const { what, args } of checks) {
    const { code, output } = await run(process.execPath, args);
    console.log(code === 0 ? `ok      ${what}` : `FAILED  ${what}\n${output}`);
    if (code !== 0) process.exitCode = 1;
  }
} catch (error) {
  endWith(error);
}
