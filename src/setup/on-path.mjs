import { accessSync, constants, realpathSync, statSync } from "node:fs";
import { delimiter, join } from "node:path";

/** @param {string} path */
function isProgram(path) {
  try {
    accessSync(path, constants.X_OK);
    return statSync(path).isFile();
  } catch {
    return false;
  }
}

/**
 * @param {string} command a bare name
 * @returns {string | undefined} where this machine finds it
 */
export function onPath(command) {
  const endings = process.platform === "win32" ? [".exe", ""] : [""];
  const folders = (process.env["PATH"] ?? "").split(delimiter).filter((folder) => folder !== "");
  return folders.flatMap((folder) => endings.map((ending) => join(folder, `${command}${ending}`))).find(isProgram);
}

/** Whether the "node" of this machine is the one that runs us. */
export function nodeOnPathIsOurs() {
  const found = onPath("node");
  return found !== undefined && realpathSync(found) === realpathSync(process.execPath);
}
