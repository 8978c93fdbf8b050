// Where the parts of the project lie on this machine.
import { accessSync, constants } from "node:fs";
import { join } from "node:path";
import { fileURLToPath } from "node:url";

export const root = fileURLToPath(new URL("../..", import.meta.url)).replace(/[\\/]$/, "");
export const setupFolder = join(root, "src", "setup");
export const notebookFolder = join(root, "notebooks");
export const venvFolder = join(root, ".venv");
export const jupyterFolder = join(root, ".jupyter");

/** @param {string} folder */
export function canWrite(folder) {
  try {
    accessSync(folder, constants.W_OK);
    return true;
  } catch {
    return false;
  }
}
