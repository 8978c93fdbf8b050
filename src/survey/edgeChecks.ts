import { NORMAL_95 } from "../units/measured.js";
import type { Measured } from "../units/measured.js";

/** A gap with its standard uncertainty, mm. */
export type CheckedGap = { readonly mm: number; readonly uMm: number };

/** The bow of one edge, mm in the middle over its length, hollow positive; `written` is what to write after the edge's length. */
export type EdgeBow = { readonly bow: Measured; readonly written: string };

/**
 * Three edges of one length held face to face in pairs, touching at both ends, and the gap read in the middle: each sum of two bows is seen, so that each bow is found,
 * A = (AB + AC - BC) / 2. A pair that rocks on its middles has a negative gap: hold the middles together and read the mean gap of the two ends.
 * What all three have in common of an S-shape is not seen, and each must be as long as the others.
 * @param ab gap in the middle between A and B, mm; `bc` and `ac` likewise
 * @throws {RangeError} a number that is not finite, or an uncertainty that is not positive
 * @source the three-plate method of making straight edges, as equations
 * @example near(threeEdgeCheck({ mm: 0.01, uMm: 0.002 }, { mm: 0.014, uMm: 0.002 }, { mm: 0.012, uMm: 0.002 }).a.bow.value, 0.004, { abs: 1e-12 });
 */
export function threeEdgeCheck(ab: CheckedGap, bc: CheckedGap, ac: CheckedGap): { readonly a: EdgeBow; readonly b: EdgeBow; readonly c: EdgeBow } {
  for (const { mm, uMm } of [ab, bc, ac]) {
    if (!Number.isFinite(mm) || !(uMm > 0 && Number.isFinite(uMm))) throw new RangeError(`Cannot check the edges: expected a gap and a positive uncertainty in mm, got ${mm} and ${uMm}`);
  }
  const u = Math.hypot(ab.uMm, bc.uMm, ac.uMm) / 2;
  const bowOf = (mm: number): EdgeBow => edgeBow(mm, u);
  return { a: bowOf((ab.mm + ac.mm - bc.mm) / 2), b: bowOf((ab.mm + bc.mm - ac.mm) / 2), c: bowOf((ac.mm + bc.mm - ab.mm) / 2) };
}

/**
 * The bow of an edge held under a taut string, touching it at both ends, from the gap in the middle: hollow is the gap and the string's sag.
 * @param gap between string and edge in the middle, mm; 0 and less where the edge touches the string before its ends do
 * @param sagMm how far the string hangs through, `tautStringSagMm`
 * @throws {RangeError} as `threeEdgeCheck`
 * @example near(stringCheck({ mm: 0.01, uMm: 0.003 }, 0.005).bow.value, 0.015, { abs: 1e-12 });
 */
export function stringCheck(gap: CheckedGap, sagMm: number): EdgeBow {
  if (!Number.isFinite(gap.mm + sagMm) || !(gap.uMm > 0)) throw new RangeError(`Cannot check the edge: expected a gap, a positive uncertainty and a sag in mm, got ${gap.mm}, ${gap.uMm} and ${sagMm}`);
  return edgeBow(gap.mm + sagMm, gap.uMm);
}

/**
 * Sag of a taut string in its middle, q L^2 / (8 T), mm.
 * @param gramsPerMetre weight of the string; plain steel of 0.25 mm has 0.385
 * @throws {RangeError} a length, weight or tension that is not positive
 * @source parabola of a flat cable under its own weight
 * @example near(tautStringSagMm(700, 0.385, 50), 0.00463, { abs: 1e-5 });
 */
export function tautStringSagMm(lengthMm: number, gramsPerMetre: number, tensionN: number): number {
  if (!(lengthMm > 0 && gramsPerMetre > 0 && tensionN > 0)) throw new RangeError(`Cannot give the sag of a string: expected a positive length, weight and tension, got ${lengthMm} mm, ${gramsPerMetre} g/m and ${tensionN} N`);
  return (gramsPerMetre * 1e-6 * GRAVITY * lengthMm ** 2) / (8 * tensionN);
}

/** m/s2; g/m times 1e-6 is kg/mm. */
const GRAVITY = 9.81;

function edgeBow(mm: number, uMm: number): EdgeBow {
  const digits = Math.min(6, Math.max(3, 2 - Math.floor(Math.log10(uMm))));
  return {
    bow: { value: mm, u: uMm, unit: "mm", low95: mm - NORMAL_95 * uMm, high95: mm + NORMAL_95 * uMm },
    written: `${mm < 0 ? "crowned" : "hollow"} ${Math.abs(mm).toFixed(digits)}±${uMm.toFixed(digits)} mm`,
  };
}
