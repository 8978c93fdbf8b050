/**
 * One way in which a whole neck bends, all its lines alike. What else a line does is the random walk's: alone it would have to be as rough as such a
 * bend is high, and would not be believed, since a long bend is smooth from fret to fret.
 */
export type Bend = {
  readonly name: "bow" | "S-shape" | "one and a half waves" | "hinge at the body joint" | "tongue";
  /** Height at x for a bend of 1 mm, no height at both ends of the surveyed length. */
  readonly heightAt: (xMm: number) => number;
  /** How far necks have it, standard deviation, mm (common practice, no source). */
  readonly sdMm: number;
};

/** Bow: wide, a free fretted board goes 3 mm into back bow. */
const BOW_MM = 2;
/** The others as a neck of this length has them. */
const WHOLE_NECK_MM = 420;
const S_SHAPE_MM = 0.05;
const WAVES_MM = 0.02;
/** Corner of the line at the body joint, over the chord from this far before it to this far after it. */
const HINGE_MM = 0.02;
const HINGE_REACH_MM = 100;
/** The last place read of the tongue under, or over, the course of the line up to the body joint. */
const TONGUE_MM = 0.1;
/** A bend that begins at the body joint is an unknown only where so much was surveyed on each side of it. */
const LEAST_BESIDE_MM = 50;

/**
 * The bends of a surveyed stretch, the bow first (1 mm is forward bow, middle low). An S-shape on a shorter stretch of a neck is less by the third power of the length, waves by the fourth.
 * @param jointMm place of the body joint from the nut, if known
 */
export function bendsOf(firstMm: number, lastMm: number, jointMm?: number): readonly [Bend, ...Bend[]] {
  const share = (xMm: number): number => (xMm - firstMm) / (lastMm - firstMm);
  const shorter = Math.min(1, (lastMm - firstMm) / WHOLE_NECK_MM);
  return [
    { name: "bow", sdMm: BOW_MM, heightAt: (xMm) => -4 * share(xMm) * (1 - share(xMm)) },
    { name: "S-shape", sdMm: S_SHAPE_MM * shorter ** 3, heightAt: (xMm) => -6 * Math.sqrt(3) * share(xMm) * (1 - share(xMm)) * (1 - 2 * share(xMm)) },
    { name: "one and a half waves", sdMm: WAVES_MM * shorter ** 4, heightAt: (xMm) => Math.sin(3 * Math.PI * share(xMm)) },
    ...(jointMm === undefined || jointMm - firstMm < LEAST_BESIDE_MM || lastMm - jointMm < LEAST_BESIDE_MM ? [] : jointBends(firstMm, lastMm, jointMm)),
  ];
}

function jointBends(firstMm: number, lastMm: number, jointMm: number): readonly Bend[] {
  const past = (xMm: number): number => Math.max(0, xMm - jointMm);
  const overChord = (heightAt: (xMm: number) => number) => (xMm: number): number => heightAt(xMm) - (heightAt(lastMm) * (xMm - firstMm)) / (lastMm - firstMm);
  return [
    { name: "hinge at the body joint", sdMm: HINGE_MM, heightAt: overChord((xMm) => (-2 * past(xMm)) / HINGE_REACH_MM) },
    { name: "tongue", sdMm: TONGUE_MM, heightAt: overChord((xMm) => -((past(xMm) / (lastMm - jointMm)) ** 2)) },
  ];
}
