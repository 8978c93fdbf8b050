import { existsSync, readdirSync } from "node:fs";
import { join } from "node:path";
import { notebookFolder } from "./places.mjs";

/** @returns {string[]} the project's notebooks, in the order in which they are read */
export const notebookFiles = () =>
  existsSync(notebookFolder)
    ? readdirSync(notebookFolder).filter((name) => name.endsWith(".ipynb")).sort().map((name) => join(notebookFolder, name))
    : [];
