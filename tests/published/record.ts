import { appendFileSync } from "node:fs";
import { basename } from "node:path";
import { expect } from "vitest";

/** Where comparisons are written down, one JSON line each; unset unless the table is being made. */
const log = process.env["PUBLISHED_LOG"];

/**
 * Writes a comparison with a published value down for the table of `npm run published`.
 * @param allowed largest difference that passes; NaN where digits of agreement are counted instead
 */
export function recordComparison(ours: number, published: string, allowed: number): void {
  if (log === undefined) return;
  const { testPath = "", currentTestName = "" } = expect.getState();
  appendFileSync(log, `${JSON.stringify({ file: basename(testPath), test: currentTestName, published, ours, allowed: Number.isNaN(allowed) ? null : allowed })}\n`);
}
