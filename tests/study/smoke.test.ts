import { execFileSync } from "node:child_process";
import { fileURLToPath } from "node:url";
import { expect, test } from "vitest";
import { binomialAtLeast, binomialAtMost } from "./binomial.js";

const SEED = 20_261_125;
const NECKS = 200;
/** An honest tool at the claimed rate fails any one of the seven counts with at most this probability, all of them together under 1e-4. */
const CHANCE = 1e-5;

type Count = { readonly hits: number; readonly of: number };
type Counts = { readonly refused: number } & Readonly<Record<"heights" | "reliefs" | "highs" | "heightsOfHalfU" | "found" | "falselyCalled" | "named", Count>>;

test("binomial tails are those of a table", () => {
  // n = 10, p = 0.5: 56 / 1024 at most 2, 386 / 1024 at most 4 (counted by hand from Pascal's triangle)
  expect(binomialAtMost(2, 10, 0.5)).toBeCloseTo(56 / 1024, 12);
  expect(binomialAtMost(4, 10, 0.5)).toBeCloseTo(386 / 1024, 12);
  expect(binomialAtLeast(3, 10, 0.5) + binomialAtMost(2, 10, 0.5)).toBeCloseTo(1, 12);
});

test(`${NECKS} invented necks are surveyed as well as claimed, by binomial bounds (seed ${SEED})`, { timeout: 600_000 }, () => {
  const counts = JSON.parse(execFileSync(process.execPath, [fileURLToPath(new URL("./smoke.mjs", import.meta.url)), String(SEED), String(NECKS)], { encoding: "utf8" })) as Counts;
  const told = JSON.stringify(counts);
  const tooFew = ({ hits, of }: Count, claimed: number): boolean => binomialAtMost(hits, of, claimed) < CHANCE;
  const tooMany = ({ hits, of }: Count, claimed: number): boolean => binomialAtLeast(hits, of, claimed) < CHANCE;
  expect(counts.refused, told).toBe(0);
  expect(counts.heights.of, told).toBe(NECKS);
  for (const covered of ["heights", "reliefs", "highs"] as const) expect(tooFew(counts[covered], 0.93), `${covered} covered: ${told}`).toBe(false);
  expect(tooFew(counts.found, 0.97), `frets of 0.05 mm or more found: ${told}`).toBe(false);
  expect(tooMany(counts.falselyCalled, 0.005), `frets under 0.015 mm called high: ${told}`).toBe(false);
  expect(tooMany(counts.named, 0.01), `sound surveys with a reading named: ${told}`).toBe(false);
  // the control: with its uncertainties halved the tool would have failed
  expect(tooFew(counts.heightsOfHalfU, 0.93), `half the uncertainty: ${told}`).toBe(true);
});
