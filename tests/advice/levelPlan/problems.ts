import fc from "fast-check";
import { fretDistanceMm } from "../../../src/neck/frets.js";
import type { LevelProblem, LevelTop } from "../../../src/advice/levelPlan/problem.js";

/** An invented levelling: tops scattered about a bowed line, some high, some low; a drawn rod range, crowns, fall-away. */
export const drawnProblem: fc.Arbitrary<LevelProblem> = fc.record({
  lines: fc.integer({ min: 1, max: 3 }), frets: fc.integer({ min: 4, max: 7 }), reseatMax: fc.integer({ min: 0, max: 2 }),
  bowMm: double(-0.2, 0.2), rodDown: double(0, 0.25), rodUp: double(0, 0.25), isRodFree: fc.boolean(), onePlane: fc.boolean(),
  crownMm: double(0.05, 0.3), fallAwayMm: double(0, 0.1), toleranceMm: fc.constantFrom(0.005, 0.015, 0.03),
  scatter: fc.array(double(-1, 1), { minLength: 27, maxLength: 27 }), up: fc.array(fc.constantFrom(0, 0, 0, 0.06, 0.11, -0.04), { minLength: 9, maxLength: 9 }),
}).map((drawn): LevelProblem => {
  const first = 24 - drawn.frets;
  const [near, far] = [fretDistanceMm(648, first), fretDistanceMm(648, 23)];
  const share = (xMm: number): number => (4 * (xMm - near) * (far - xMm)) / (far - near) ** 2;
  const tops = Array.from({ length: drawn.lines }, (_, line) => Array.from({ length: drawn.frets }, (_unused, index): LevelTop => {
    const xMm = fretDistanceMm(648, first + index);
    const upMm = drawn.up[index] ?? 0;
    const scatterMm = 0.012 * (drawn.scatter[line * 9 + index] ?? 0);
    return {
      fret: first + index, line: ["bass", "centre", "treble"][line] ?? "", xMm, yMm: 18 * (line - 1), heightMm: scatterMm + upMm - drawn.bowMm * share(xMm) + 0.0003 * xMm,
      ...(upMm > 0 ? { dropMm: Math.max(0, upMm + 0.3 * scatterMm) } : {}), spareMm: drawn.crownMm + scatterMm, reliefShare: share(xMm), fallAwayMm: drawn.fallAwayMm * Math.max(0, index - drawn.frets + 3) / 2,
    };
  })).flat();
  return { tops, datum: drawn.onePlane ? "one plane" : "each line its own", toleranceMm: drawn.toleranceMm, reseatMax: drawn.reseatMax, rod: drawn.isRodFree ? { lowMm: -drawn.rodDown, highMm: drawn.rodUp } : { lowMm: 0, highMm: 0 } };
});

function double(min: number, max: number): fc.Arbitrary<number> {
  return fc.double({ min, max, noNaN: true });
}
