/**
 * The two tops on which a straight beam comes to rest: one on each side of `middleMm`, the pair whose line is highest there; all others lie under that line.
 * @param xMm places, increasing
 * @param middleMm where the beam is heaviest; half-way along if absent
 * @returns their positions in the list
 * @example equal(restingPair([0, 10, 20, 30, 40], [0, 0.1, 0, 0.2, 0]), [1, 3]);
 */
export function restingPair(xMm: ArrayLike<number>, heightMm: ArrayLike<number>, middleMm: number = ((xMm[0] ?? 0) + (xMm[xMm.length - 1] ?? 0)) / 2): readonly [number, number] {
  let best: readonly [number, number] = [0, xMm.length - 1];
  let bestMm = -Infinity;
  for (let a = 0; (xMm[a] ?? Infinity) <= middleMm; a++) {
    for (let b = xMm.length - 1; b > a && (xMm[b] ?? -Infinity) >= middleMm; b--) {
      const t = (middleMm - (xMm[a] ?? 0)) / ((xMm[b] ?? 1) - (xMm[a] ?? 0));
      const atMiddle = (1 - t) * (heightMm[a] ?? 0) + t * (heightMm[b] ?? 0);
      if (atMiddle > bestMm + 1e-12) [best, bestMm] = [[a, b], atMiddle];
    }
  }
  return best;
}
