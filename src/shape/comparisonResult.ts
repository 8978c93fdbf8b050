import type { FretChange } from "../survey/movedFrets.js";
import type { Survey } from "../survey/survey.js";
import type { Measured } from "../units/measured.js";
import type { UnitOrder } from "../units/words.js";
import type { BowOver } from "./commonStretch.js";
import type { LineChange } from "./lineChange.js";
import type { StatesCompared } from "./unlikeStates.js";

export type { FretChange } from "../survey/movedFrets.js";

/** Stage and date of a survey, as given. */
export type SurveyName = { readonly stage: string; readonly date: string };

/**
 * What changed between two surveys of one neck.
 * `moved`: readings of a neck at rest seldom differ so. `fret moved`: the neck line did not move by anything worth the name, a fret did. `settled`: the surveys agree, and rule out
 * any movement worth the name. `open`: no movement of the neck line is seen, but one might hide.
 */
export type Comparison =
  | {
      readonly status: "moved" | "fret moved" | "settled" | "open";
      readonly neck: string;
      readonly earlier: SurveyName;
      readonly later: SurveyName;
      /** The two surveys as adjusted together. */
      readonly surveys: readonly [Survey, Survey];
      /** Change of relief by an even bow, mean of the lines named in `bowOver` over the stretch that they have in common, mm at its middle; positive is toward forward bow (middle low). */
      readonly bow: Measured;
      readonly bowOver: BowOver;
      /** The even bow alone says so where the neck moved; otherwise what changed beside it does. */
      readonly byBow: boolean;
      /** No place of any line compared moved by more than this, 19 times in 20, mm either way over the chord of its line. */
      readonly mostMm: number;
      /** Chance that readings of an unmoved neck differ at least this much, by draws of what would be read again. */
      readonly chanceUnmoved: number;
      readonly lines: readonly LineChange[];
      /** Frets whose own height changed, most surely first. */
      readonly frets: readonly FretChange[];
      readonly states: StatesCompared;
      readonly describe: (order?: UnitOrder) => string;
    }
  | { readonly status: "undetermined"; readonly neck: string; readonly earlier: SurveyName; readonly later: SurveyName; readonly surveys: readonly [Survey, Survey]; readonly need: string; readonly states: StatesCompared; readonly describe: (order?: UnitOrder) => string };
