/** The top of a crown: distance from the nut and height over the datum, mm. */
export type CrownTop = { readonly fret: number; readonly xMm: number; readonly heightMm: number };

/** A point the string lies on, mm: for a saddle its underside there. */
export type StringPoint = { readonly xMm: number; readonly heightMm: number };

/** The string pressed at one fret: least distance to a crown beyond it, and the fret that makes it. */
export type PressedClearance = { readonly pressedAt: number; readonly leastMm: number; readonly at: number };

/**
 * Distance of a crown's top from the straight string between two points, at right angles to the string, mm; negative where the crown stands in its way.
 * Both points may be any on the string's underside; the string runs toward larger x.
 * @throws {RangeError} two points at the same place along the neck
 * @example near(underStringMm({ xMm: 0, heightMm: 0 }, { xMm: 4, heightMm: 3 }, { xMm: 4, heightMm: 0 }), 2.4, { abs: 1e-12 });
 */
export function underStringMm(from: StringPoint, to: StringPoint, crown: StringPoint): number {
  const [dx, dy] = [to.xMm - from.xMm, to.heightMm - from.heightMm];
  if (!(dx > 0)) throw new RangeError(`Cannot stretch a string: expected a saddle beyond the fret at ${from.xMm} mm from the nut, got one at ${to.xMm} mm`);
  return (dy * (crown.xMm - from.xMm) - dx * (crown.heightMm - from.heightMm)) / Math.hypot(dx, dy);
}

/**
 * String pressed at each fret in turn, straight from the top of that crown to the saddle: least clearance over the frets beyond.
 * The last fret has none beyond it and is left out.
 * @param tops in order along the neck
 * @param saddle underside of the string at the saddle
 * @source plane geometry
 */
export function pressedClearances(tops: readonly CrownTop[], saddle: StringPoint): readonly PressedClearance[] {
  return tops.slice(0, -1).map((pressed, index): PressedClearance => {
    const beyond = tops.slice(index + 1).map((crown) => ({ at: crown.fret, leastMm: underStringMm(pressed, saddle, crown) }));
    return { pressedAt: pressed.fret, ...beyond.reduce((least, one) => (one.leastMm < least.leastMm ? one : least), { at: pressed.fret, leastMm: Infinity }) };
  });
}

/**
 * The least of all clearances, wherever the string is pressed.
 * @throws {RangeError} fewer than two frets
 */
export function leastClearance(tops: readonly CrownTop[], saddle: StringPoint): PressedClearance {
  const [first, ...others] = pressedClearances(tops, saddle);
  if (first === undefined) throw new RangeError(`Cannot tell what a pressed string clears: expected two frets or more, got ${tops.length}`);
  return others.reduce((least, one) => (one.leastMm < least.leastMm ? one : least), first);
}
