/**
 * The strings as one pull: their total tension, and where it runs. Since each string is straight from nut slot to saddle, the
 * tension-weighted mean of their heights is all that bending needs.
 * Heights are above the glue line (underside of the board), mm: board thickness + crown + string height at the nut; at the saddle the straight
 * line through the string over nut and last fret, produced to the saddle.
 */
export type StringPull = {
  readonly tensionN: number;
  readonly zNutMm: number;
  readonly zSaddleMm: number;
  /** Nut to saddle along the string, mm. */
  readonly saddleMm: number;
};

/** How strings are given in a neck file. */
export const STRINGS_EXAMPLE = '"strings": { "each": [{ "gauge": "0.105 in", "wound": true, "note": "E1" }, ...] }';

/**
 * What is said where strings are asked about that nobody gave and for which no usual set may be taken.
 * @example equal(stringsNotKnown("Basso").startsWith('Cannot tell what strings do to "Basso": not known: give the strings in the neck file'), true);
 */
export function stringsNotKnown(name: string): string {
  return `Cannot tell what strings do to "${name}": not known: give the strings in the neck file, as ${STRINGS_EXAMPLE} (no usual set is taken on a scale over 30 in)`;
}

/**
 * Several strings as one pull: tensions add, heights are weighted by tension.
 * @throws {RangeError} no strings, a tension that is not above 0, or strings that end at different saddles
 * @example equal(onePull([{ tensionN: 60, zNutMm: 8, zSaddleMm: 20, saddleMm: 648 }, { tensionN: 60, zNutMm: 9, zSaddleMm: 18, saddleMm: 648 }]), { tensionN: 120, zNutMm: 8.5, zSaddleMm: 19, saddleMm: 648 });
 */
export function onePull(strings: readonly StringPull[]): StringPull {
  const [first] = strings;
  if (first === undefined || strings.some(({ tensionN, saddleMm }) => !(tensionN > 0) || saddleMm !== first.saddleMm)) {
    throw new RangeError(`Cannot add up ${strings.length} strings: expected one or more, each with a tension above 0 N and all with the same saddle`);
  }
  const tensionN = strings.reduce((sum, each) => sum + each.tensionN, 0);
  const weighted = (pick: (one: StringPull) => number): number => strings.reduce((sum, each) => sum + each.tensionN * pick(each), 0) / tensionN;
  return { tensionN, zNutMm: weighted((one) => one.zNutMm), zSaddleMm: weighted((one) => one.zSaddleMm), saddleMm: first.saddleMm };
}
