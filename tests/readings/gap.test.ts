import fc from "fast-check";
import { describe, expect, test } from "vitest";
import { readGap, type GapContext, type WrittenReading } from "../../src/readings/gap.js";
import { METRIC_LEAVES, THOU_LEAVES, readLeafSet, stackOf } from "../../src/readings/leafSet.js";
import type { Gap } from "../../src/readings/reading.js";
import { MM_PER_THOU } from "../../src/units/length.js";

const SEED = 20_260_502;
const thou: GapContext = { unit: "thou" };
const ONE_LEAF_U = 0.004 / Math.sqrt(3);

function gapOf(written: string, context: GapContext = thou): Gap {
  const reading = readGap(written, context);
  if (reading.kind !== "gap") throw new Error(`${written} is no gap but ${JSON.stringify(reading)}`);
  return reading.gap;
}

function bounds(written: string, context: GapContext = thou): readonly [number, number] {
  const gap = gapOf(written, context);
  if (gap.kind !== "interval") throw new Error(`${written} is no interval`);
  return [gap.lowMm, gap.highMm];
}

function refusal(written: string, context: GapContext = thou): WrittenReading {
  const reading = readGap(written, context);
  expect(reading.kind).toBe("refused");
  return reading;
}

describe("readGap: every written form", () => {
  test.each<readonly [string, number, number]>([
    ["4", 4, 5], ["2.5", 2.5, 3], ["2,5", 2.5, 3], ["40", 40, Infinity], ["4..5", 4, 5], ["4…6", 4, 6], ["<1.5", 0, 1.5], [">40", 40, Infinity], ["0", 0, 1.5],
    ["10+6", 16, 17], ["9+8", 17, 19], ["10 + 6", 16, 17], ["35+32+2", 69, 69.5], ["40+35+1.5", 76.5, 77], ["4thou", 4, 5], ["4 thou", 4, 5], ["0.004in", 4, 5], ["16thou", 16, 18],
    // Not a leaf: the stack of fewest leaves, then largest first.
    ["17", 17, 17.5], ["50", 50, 51],
    // Two thickest leaves: none is left to exchange, and the thinnest is laid on top; nothing lies on three.
    ["40+35", 75, 76.5], ["75", 75, 76.5], ["40+35+32", 107, Infinity],
  ])("%s is from %d to %d thou", (written, low, high) => {
    const [lowMm, highMm] = bounds(written);
    expect(lowMm).toBeCloseTo(low * MM_PER_THOU, 12);
    if (high === Infinity) expect(highMm).toBe(Infinity);
    else expect(highMm).toBeCloseTo(high * MM_PER_THOU, 12);
  });

  test("the ends carry the tolerance of each leaf, as a rectangular distribution", () => {
    expect(gapOf("4")).toMatchObject({ endsUMm: ONE_LEAF_U });
    expect(gapOf("10+6")).toMatchObject({ endsUMm: ONE_LEAF_U * Math.sqrt(2) });
    expect(gapOf("35+32+2")).toMatchObject({ endsUMm: ONE_LEAF_U * Math.sqrt(3) });
  });

  test("light, touch and a dial", () => {
    expect(bounds("light")).toEqual([0.002, 1.5 * MM_PER_THOU]);
    expect(gapOf("touch")).toEqual({ kind: "exact", gapMm: 0, uMm: 0.003 });
    expect(gapOf("4.2±0.3")).toEqual({ kind: "exact", gapMm: 4.2 * MM_PER_THOU, uMm: 0.3 * MM_PER_THOU });
    expect(gapOf("0.20+-0.01mm")).toEqual({ kind: "exact", gapMm: 0.2, uMm: 0.01 });
    expect(gapOf("-0,20±0,01mm")).toEqual({ kind: "exact", gapMm: -0.2, uMm: 0.01 });
  });

  test("mm leaves have the metric set, by the unit of the number or of the table", () => {
    expect(bounds("0.10mm")).toEqual([0.1, 0.15]);
    expect(bounds("0,10 mm")).toEqual([0.1, 0.15]);
    expect(bounds("0.1", { unit: "mm" })).toEqual([0.1, 0.15]);
    expect(bounds("0", { unit: "mm" })).toEqual([0, 0.03]);
  });

  test("a set of the user's own decides which leaf is next, also for a leaf marked in the other unit", () => {
    const own = readLeafSet("2 4 7 thou, tolerance 0.003 mm", "thou");
    if ("expected" in own) throw new Error(own.expected);
    const [low, high] = bounds("0.10mm", { unit: "thou", leaves: own.set });
    expect([low / MM_PER_THOU, high / MM_PER_THOU]).toEqual([expect.closeTo(4, 9), expect.closeTo(7, 9)]);
    expect(gapOf("4", { unit: "thou", leaves: own.set })).toMatchObject({ endsUMm: 0.003 / Math.sqrt(3) });
  });

  test("marks of the rocker", () => {
    expect(readGap("still", thou)).toMatchObject({ kind: "mark", mark: { rocks: false }, written: "still" });
    expect(readGap("rocks", thou)).toMatchObject({ kind: "mark", mark: { rocks: true } });
    for (const written of ["rocks=2", "rocks 2", "rocks = 2"]) {
      expect(readGap(written, thou)).toMatchObject({ kind: "mark", written: "rocks 2 thou", mark: { rocks: true, gap: { lowMm: 2 * MM_PER_THOU, highMm: 2.5 * MM_PER_THOU } } });
    }
  });

  test.each(["", "-", "–", "na", "NA", "n/a", "  "])("%j is not measured", (written) => {
    expect(readGap(written, thou).kind).toBe("notMeasured");
  });

  test("what was typed is kept, with the unit of the table where none was typed", () => {
    expect(readGap("4", thou)).toMatchObject({ written: "4 thou" });
    expect(readGap("0.10 mm", thou)).toMatchObject({ written: "0.10mm" });
    expect(readGap("touch", thou)).toMatchObject({ written: "touch" });
  });

  test.each<readonly [string, RegExp, RegExp]>([
    ["4.7", /^a leaf of the thou set or a stack of up to three of them \(nearest leaves 4thou and 5thou\)$/, /write an interval as 4\.\.5, or 4\.2±0\.3/],
    ["0.1", /^0\.1mm if mm was meant: 0\.1thou is no leaf of the thou set \(1\.5thou to 40thou\) nor a stack of up to three of them$/, /^write the unit after it, or once for all, unit: mm above a table or in the column unit of a CSV$/],
    ["2.2", /\(nearest leaves 2thou and 2\.5thou\)$/, /write an interval/],
    ["900", /\(leaves from 1\.5thou to 40thou\)$/, /write an interval/],
    ["touches", /a leaf \(4\)/, /^write touch$/],
    ["no light", /a leaf \(4\)/, /^write touch where the edge rests and no light shows$/],
    ["Touching", /a leaf \(4\)/, /^write touch$/],
    ["rocking", /rocks=2/, /^write rocks$/],
    ["-4", /^a gap of 0 or more$/, /do not just drop it/],
    ["3-4", /a leaf \(4\)/, /write 3\.\.4 for an interval/],
    ["3-Apr", /a leaf \(4\)/, /a spreadsheet may have made a date of it/],
    ["2026-04-03", /a leaf \(4\)/, /a spreadsheet may have made a date of it/],
    ["4+4", /^different leaves: a set has one of each$/, /write the leaves/],
    ["4+4.7", /^leaves of the thou set, which has no 4\.7$/, /state your leaves/],
    ["1.5+2+3+4", /^a stack of up to three leaves$/, /thicker/],
    ["5..4", /from the lower to the higher/, /swap/],
    ["<0", /^a leaf after < or >/, /write 0/],
    ["rocks=0", /the leaf that goes under the raised end/, /write still/],
    ["rocks=touch", /the leaf that goes under the raised end/, /write still/],
    ["rocks2", /rocks=2/, /write rocks=2/],
    ["4.2±0", /^a standard uncertainty above 0 after ±, as 4\.2±0\.3: no reading is exact$/, /^leave out ± and what follows/],
    ["0.10±0.00mm", /^a standard uncertainty above 0 after ±/, /^leave out ±/],
    ["4 th", /a leaf \(4\)/, /units are mm, um, thou and in: write 4thou or 4mm/],
  ])("%s is refused with what was expected and a repair", (written, expected, repair) => {
    expect(refusal(written)).toMatchObject({ expected: expect.stringMatching(expected), repair: expect.stringMatching(repair) });
  });

  test("a number far beyond mm leaves says first what was likely meant; own leaves allow what they have", () => {
    const own = readLeafSet("0.05 0.10 0.20 mm", "mm");
    if ("expected" in own) throw new Error(own.expected);
    expect(refusal("9", { unit: "mm" })).toEqual({ kind: "refused", expected: "9thou if thou were meant, or 0.09mm if hundredths of a mm were meant: 9mm is no leaf of the metric set (0.03mm to 1mm) nor a stack of up to three of them", repair: "write the unit after it, or once for all, unit: thou above a table or in the column unit of a CSV" });
    expect(refusal("10", { unit: "mm", leaves: own.set })).toMatchObject({ expected: expect.stringMatching(/^0\.1mm if hundredths of a mm were meant: 10mm is no leaf of the own set of leaves \(0\.05mm to 0\.2mm\)/) });
    expect(refusal("9", { unit: "mm", leaves: own.set })).toMatchObject({ expected: expect.stringMatching(/\(leaves from 0\.05mm to 0\.2mm\)$/) });
    expect(refusal("0.973", { unit: "mm" })).toMatchObject({ expected: expect.stringMatching(/\(nearest leaves 0\.95mm and 1mm\)$/) });
  });

  test.each(["=4", "four", "1e3", "4.2±0", "±1", "NaN", "Infinity", "4;5", "<", "..", "a".repeat(500)])("%j is refused", (written) => {
    refusal(written);
  });
});

function near(a: number, b: number): boolean {
  return Math.abs(a - b) < 1e-6;
}

describe("leaf sets", () => {
  test("a stack never uses a leaf twice and makes the thickness", () => {
    fc.assert(
      fc.property(fc.constantFrom(THOU_LEAVES, METRIC_LEAVES), fc.integer({ min: 1, max: 300 }), (set, hundredths) => {
        const valueMm = hundredths / 100;
        const stack = stackOf(set, valueMm);
        if (stack === undefined) return;
        expect(new Set(stack).size).toBe(stack.length);
        expect(stack.length).toBeLessThanOrEqual(3);
        expect(stack.reduce((sum, leaf) => sum + leaf, 0)).toBeCloseTo(valueMm, 6);
      }),
      { seed: SEED },
    );
  });

  test("the stack found is one of fewest leaves and, among those, the one with the largest leaf: by trying all", () => {
    const leaves = METRIC_LEAVES.leavesMm;
    for (let hundredths = 3; hundredths <= 200; hundredths += 1) {
      const mm = hundredths / 100;
      const single = leaves.filter((leaf) => near(leaf, mm));
      const pairs = leaves.flatMap((a) => leaves.filter((b) => b < a && near(a + b, mm)).map(() => a));
      const triples = leaves.flatMap((a) => leaves.flatMap((b) => (b < a ? leaves.filter((c) => c < b && near(a + b + c, mm)).map(() => a) : [])));
      const best = [single, pairs, triples].find((list) => list.length > 0);
      expect(stackOf(METRIC_LEAVES, mm)?.[0]).toBe(best === undefined ? undefined : Math.max(...best));
    }
  });

  test.each<readonly [string, number, string]>([["thou", 27, "thou"], ["metric", 26, "mm"], ["1.5 2 3", 3, "thou"], ["0,05 0,10 mm", 2, "mm"], ["0.05; 0.10 mm, tolerance 0.003 mm", 2, "mm"]])("%s is read", (written, count, unit) => {
    const read = readLeafSet(written, "thou");
    if ("expected" in read) throw new Error(read.expected);
    expect(read.set.leavesMm).toHaveLength(count);
    expect(read.unit).toBe(unit);
  });

  test.each(["", "4 4", "a b", "0 1", "1 2 thou, tolerance 2 mm", Array.from({ length: 61 }, (_, i) => i + 1).join(" ")])("%j is refused", (written) => {
    expect(readLeafSet(written, "thou")).toHaveProperty("expected");
  });
});

describe("properties", () => {
  test(`a wider unit changes nothing: thou and inches say the same (seed ${SEED})`, () => {
    fc.assert(
      fc.property(fc.constantFrom(...THOU_LEAVES.leavesMm), (leafMm) => {
        const mark = Number((leafMm / MM_PER_THOU).toFixed(2));
        const inThou = bounds(`${mark}thou`);
        const inInches = bounds(`${(mark / 1000).toFixed(5)}in`);
        expect(inInches[0]).toBeCloseTo(inThou[0], 9);
        expect(bounds(String(mark))).toEqual(inThou);
      }),
      { seed: SEED },
    );
  });

  test(`any text is a reading, not measured, or refused; never NaN (seed ${SEED})`, () => {
    const letters = fc.constantFrom(..."0123456789.,+-±<>=mthouinrcksltg …".split(""));
    fc.assert(
      fc.property(fc.oneof(fc.string(), fc.string({ unit: letters, maxLength: 20 })), fc.constantFrom<GapContext>(thou, { unit: "mm" }), (written, context) => {
        const reading = readGap(written, context);
        const gap = reading.kind === "gap" ? reading.gap : reading.kind === "mark" && reading.mark.rocks ? reading.mark.gap : undefined;
        if (gap?.kind === "interval") {
          expect(gap.lowMm).toBeGreaterThanOrEqual(0);
          expect(gap.highMm).toBeGreaterThan(gap.lowMm);
          expect(gap.endsUMm).toBeGreaterThan(0);
        }
        if (gap?.kind === "exact") expect(gap.uMm).toBeGreaterThan(0);
      }),
      { seed: SEED, numRuns: 5000 },
    );
  });
});

test.each<readonly [string, RegExp]>([
  ["0.009", /^0\.009in, or 9, if thousandths of an inch were meant: 0\.009thou is no leaf .*; write 9, or 0\.009in$/],
  [".009", /; write 9, or 0\.009in$/],
  ["0.03", /^0\.03mm if mm was meant, or 0\.03in, or 30, if thousandths of an inch were meant: .*; write the unit after it, or once for all, unit: mm above /],
  ["0.02±0.01", /^a unit after 0\.02±0\.01: 0\.02±0\.01mm if mm was meant/],
  ["9.8±0.02", /^a unit after 9\.8±0\.02: /],
  ["-0.02±0.01", /^a unit after -0\.02±0\.01: -0\.02±0\.01mm if mm was meant/],
  ["0.1..0.15", /^a unit after 0\.1\.\.0\.15: /],
  [">0.5", /^a unit after >0\.5: /],
  ["rocks -2", /^the leaf that goes under the raised end, as rocks=2; write still/],
])("%s in thou is asked about", (written, told) => {
  const read = readGap(written, { unit: "thou" });
  expect(read.kind === "refused" ? `${read.expected}; ${read.repair ?? ""}` : read.kind).toMatch(told);
});

test.each(["4.2±0.3", "0.5±0.3", "0±0.1", "0.02±0.01mm", "1..1.5", "<0.5"])("%s in thou is not", (written) => {
  expect(readGap(written, { unit: "thou" }).kind).toBe("gap");
});

test("what is advised for a fraction of an inch can be read", () => {
  const read = readGap('1/64"', { unit: "thou" });
  const advised = /: (\S+)$/.exec(read.kind === "refused" ? read.repair ?? "" : "")?.[1] ?? "";
  expect(readGap(advised, { unit: "thou" })).toMatchObject({ kind: "gap", gap: { kind: "exact", gapMm: 0.0156 * 25.4 } });
  expect(readGap('1 1/64 in', { unit: "thou" })).toMatchObject({ repair: expect.stringContaining("1.0156±0.001in") });
});
