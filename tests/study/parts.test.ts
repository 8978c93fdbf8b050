import { describe, expect, test } from "vitest";
import { printedTolerance } from "../published/printed.js";
import { CHANGE_NAMES, changeNamed } from "./changes.mjs";
import { madeNeck } from "./one-neck.mjs";
import { workedOut } from "./pool.mjs";
import { plantedSlip } from "./slips.mjs";
import { errorsOf, median, shareOf } from "./statistics.mjs";
import { inventedStream } from "../../dist/invented/stream.js";

describe("shareOf", () => {
  // R. G. Newcombe, Statistics in Medicine 17 (1998) 857-872, table I, method 3 (score interval); printed digits from memory
  test.each([[81, 263, "0.2553", "0.3662"], [15, 148, "0.0624", "0.1605"], [1, 29, "0.0061", "0.1718"], [0, 20, "0.0000", "0.1611"]])("%i of %i counts of one a neck has Wilson's limits", (hits, of, low, high) => {
    const found = shareOf(Array.from({ length: of }, (_, k) => ({ hits: k < hits ? 1 : 0, of: 1 })));
    expect(found.share).toBe(hits / of);
    for (const [value, text] of [[found.low, low], [found.high, high]] as const) expect(Math.abs((value ?? NaN) - Number(text))).toBeLessThanOrEqual(printedTolerance(text) * 1.0001);
    expect(Math.abs((found.high ?? NaN) * 1.01 - Number(high))).toBeGreaterThan(printedTolerance(high));
  });

  test("counts that hang together within a neck count as fewer, never as more", () => {
    const alone = shareOf(Array.from({ length: 40 }, (_, k) => ({ hits: k % 2, of: 1 })));
    const together = shareOf(Array.from({ length: 40 }, (_, k) => ({ hits: 10 * (k % 2), of: 10 })));
    expect([together.share, together.low]).toEqual([alone.share, expect.closeTo(alone.low ?? NaN, 2)]);
    const none = shareOf(Array.from({ length: 10 }, () => ({ hits: 0, of: 50 })));
    expect(none.high).toBeCloseTo(shareOf(Array.from({ length: 10 }, () => ({ hits: 0, of: 1 }))).high ?? NaN, 12);
    expect(shareOf([]).share).toBeNull();
  });
});

test("errors in sum: mean with its standard error, root mean square, median", () => {
  expect(errorsOf([1, 3])).toEqual({ count: 2, biasMm: 2, biasSeMm: 1, rmseMm: Math.sqrt(5) });
  expect(errorsOf([])).toEqual({ count: 0, biasMm: null, biasSeMm: null, rmseMm: null });
  expect([median([3, 1, 2]), median([])]).toEqual([2, null]);
});

test("a study is the same however many work at it", async () => {
  const pieces = Array.from({ length: 6 }, (_, number) => ({ job: "neck", seed: 5, family: "smooth", number, change: "few readings", options: { withRelief: false, withTold: false } }));
  const found = async (workers: number): Promise<unknown[]> => ((await workedOut(pieces, workers)) as object[]).map((neck) => ({ ...neck, adjustMs: 0 }));
  const alone = await found(1);
  expect(await found(3)).toEqual(alone);
  expect(new Set(alone.map((neck) => JSON.stringify(neck))).size).toBe(6);
}, 120_000);

test("every change is one, and a name that is none is refused", () => {
  for (const name of CHANGE_NAMES) expect(typeof changeNamed(name)).toBe("object");
  expect(() => changeNamed("nothing of the kind")).toThrow("There is no change");
});

test("a planted slip changes one reading, by 0.10 to 0.50 mm against the truth, and leaves the rest", () => {
  let planted = 0;
  const kinds = new Set<string>();
  for (let number = 0; number < 30; number += 1) {
    const made = madeNeck(8, "smooth", number);
    const slip = plantedSlip(made, inventedStream(8, "slips", number));
    if (slip === undefined) continue;
    planted += 1;
    kinds.add(slip.kind);
    const readings = (sheet: typeof made.sheet) => sheet.settings.flatMap((setting) => setting.readings);
    const changed = readings(slip.sheet).filter((reading, k) => reading !== readings(made.sheet)[k]);
    expect(changed.map(({ line, place }) => [line, place.label])).toEqual([[slip.line, slip.at]]);
    expect(slip.sheet.rockers).toBe(made.sheet.rockers);
    expect(Math.abs(slip.sizeMm)).toBeGreaterThanOrEqual(0.1);
    expect(Math.abs(slip.sizeMm)).toBeLessThanOrEqual(0.5);
  }
  expect(planted).toBeGreaterThan(25);
  expect(kinds).toEqual(new Set(["gap", "row", "leaf"]));
});
