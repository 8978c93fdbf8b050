import { readFileSync } from "node:fs";

/** The text of a file of reference values kept beside these tests. */
export function referenceText(name: string): string {
  return readFileSync(new URL(`./data/${name}`, import.meta.url), "utf8");
}
