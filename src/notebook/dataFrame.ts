import { createRequire } from "node:module";
import type { DataFrame } from "danfojs";

/** Columns of a table by heading, all of one length. */
export type Columns = Readonly<Record<string, readonly (string | number)[]>>;

/**
 * A danfo.js DataFrame; the package is loaded at the first call.
 * @throws {RangeError} a package that is not what was expected
 */
export function dataFrame(columns: Columns): DataFrame {
  const danfo: unknown = createRequire(import.meta.url)("danfojs");
  if (!isDanfo(danfo)) throw new RangeError("Cannot make a table: the package danfojs is not what was expected (run npm ci)");
  return new danfo.DataFrame(columns);
}

function isDanfo(loaded: unknown): loaded is { readonly DataFrame: new (columns: Columns) => DataFrame } {
  return typeof loaded === "object" && loaded !== null && "DataFrame" in loaded;
}
