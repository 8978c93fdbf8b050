/** Writes the invented demonstration again: npm run build, then node data-demo/make.mjs */
import { mkdir, rename, writeFile } from "node:fs/promises";
import { dirname, join } from "node:path";
import { fileURLToPath } from "node:url";
import { demoFiles } from "../dist/invented/demo.js";

const folder = dirname(fileURLToPath(import.meta.url));

for (const { path, text } of demoFiles()) {
  const target = join(folder, path);
  await mkdir(dirname(target), { recursive: true });
  await writeFile(`${target}.part`, text);
  await rename(`${target}.part`, target);
  console.log(`written: data-demo/${path}`);
}
