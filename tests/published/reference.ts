import { readFileSync } from "node:fs";

/** The text of a file of reference values kept beside these tests. */
export function referenceText(name: string): string {
  return readFileSync(new URL(`./data/${name}`, import.meta.url), "utf8");
}

/** A JSON file of reference values; its shape is the caller's word, and a wrong word fails the test that reads it. */
export function reference<T>(name: string): T {
  const value: T = JSON.parse(referenceText(name));
  return value;
}
