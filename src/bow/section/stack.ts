/** One bonded part of a section: its stiffness along the grain, area, centroid and second moment about its own centroid. */
export type SectionPart = {
  readonly modulusMPa: number;
  readonly areaMm2: number;
  /** Centroid above the glue line; below it negative. */
  readonly centroidMm: number;
  readonly ownMm4: number;
};

/** Stiffnesses of a bonded section, moduli already inside: EA in N, EI in N mm² about the section's own elastic axis. */
export type SectionStiffness = { readonly eaN: number; readonly zbarMm: number; readonly eiNmm2: number };

/**
 * Transformed section: EA, elastic axis and EI of parts bonded without slip. A void is a part of negative area and own moment.
 * @param parts 1..n in any order; E in MPa, sizes in mm, centroids above a common line
 * @returns EA in N, zbar in mm above the same line, EI in N mm²; E is inside, do not multiply by it again
 * @throws {RangeError} parts whose stiffness does not add up to more than nothing
 * @source modulus-weighted centroid and parallel-axis sum; checked in tests/published/composite-section.test.ts
 * @example near(stackStiffness([{ modulusMPa: 10_000, areaMm2: 1000, centroidMm: 10, ownMm4: 1e5 / 3 }]).eiNmm2, 1e9 / 3, { rel: 1e-12 });
 */
export function stackStiffness(parts: readonly SectionPart[]): SectionStiffness {
  const eaN = parts.reduce((sum, { modulusMPa, areaMm2 }) => sum + modulusMPa * areaMm2, 0);
  if (!(eaN > 0)) throw new RangeError(`Cannot add up a section: expected parts with stiffness and area above 0, got EA = ${eaN} N from ${parts.length} parts`);
  const zbarMm = parts.reduce((sum, { modulusMPa, areaMm2, centroidMm }) => sum + modulusMPa * areaMm2 * centroidMm, 0) / eaN;
  const eiNmm2 = parts.reduce((sum, { modulusMPa, areaMm2, centroidMm, ownMm4 }) => sum + modulusMPa * (ownMm4 + areaMm2 * (centroidMm - zbarMm) ** 2), 0);
  return { eaN, zbarMm, eiNmm2 };
}
