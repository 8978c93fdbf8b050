import type { Profile } from "../../shape/profile.js";
import type { Measured } from "../../units/measured.js";
import type { UnitOrder } from "../../units/words.js";
import type { RodTest } from "./rodTest.js";

/** What the advice works from, beside the survey. */
export type RodQuestion = {
  /** Relief that strings will add to what was surveyed, mm, predicted; absent where they were on, or where the neck goes out bare. */
  readonly strings?: Measured;
  /** Draws of that same addition, where its distribution is skew: probabilities are then taken over them. */
  readonly stringsDrawsMm?: readonly number[];
  /** Shape of what strings add; a parabola where absent. */
  readonly stringsShape?: Profile;
  /** Relief wanted, mm; the shop's limits where absent. */
  readonly target?: { readonly minMm: number; readonly maxMm: number };
  /** What a rod test of this neck showed. */
  readonly test?: RodTest;
  /** Relief that one turn moves, mm, above 0, where no test was made: from the bow model, calibrated or not. */
  readonly perTurn?: Measured;
  /** Shape of what the rod does, as a profile of any height; a parabola over the read lines where absent. */
  readonly shape?: Profile;
  readonly order?: UnitOrder;
};
