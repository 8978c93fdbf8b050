import { readdirSync } from "node:fs";
import { createRequire } from "node:module";
import { join } from "node:path";
import { root, setupFolder } from "../places.mjs";

/** The kernel's compiler: the newest one has no programming interface in JavaScript. @type {any} */
export const ts = createRequire(import.meta.url)("@tslab/typescript-for-tslab");

/** @param {string} [folder] @returns {string[]} every TypeScript source of the library */
export const sourceFiles = (folder = join(root, "src")) =>
  readdirSync(folder, { withFileTypes: true }).flatMap((entry) => {
    const path = join(folder, entry.name);
    if (path === setupFolder) return [];
    return entry.isDirectory() ? sourceFiles(path) : path.endsWith(".ts") ? [path] : [];
  });
