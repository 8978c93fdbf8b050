import type { Survey } from "../survey/survey.js";
import type { Measured } from "../units/measured.js";
import type { UnitOrder } from "../units/words.js";
import type { LineChange } from "./lineChange.js";
import type { StatesCompared } from "./unlikeStates.js";

/** A fret that stands otherwise over the neck line than it did: mm, positive is up. */
export type FretChange = { readonly line: string; readonly fret: number; readonly up: Measured };

/** Stage and date of a survey, as given. */
export type SurveyName = { readonly stage: string; readonly date: string };

/**
 * What changed between two surveys of one neck.
 * `moved`: the readings cannot do that by luck. `settled`: they agree, and rule out any movement worth the name. `open`: no movement is seen, but one might hide.
 */
export type Comparison =
  | {
      readonly status: "moved" | "settled" | "open";
      readonly neck: string;
      readonly earlier: SurveyName;
      readonly later: SurveyName;
      /** The two surveys as adjusted together. */
      readonly surveys: readonly [Survey, Survey];
      /** Change of relief by an even bow, mean of the lines compared, mm; positive is toward forward bow (middle low). */
      readonly bow: Measured;
      /** Chance that readings of an unmoved neck differ at least this much, by the joint draws. */
      readonly chanceUnmoved: number;
      readonly lines: readonly LineChange[];
      /** Frets whose own height changed, most surely first. */
      readonly frets: readonly FretChange[];
      readonly states: StatesCompared;
      readonly describe: (order?: UnitOrder) => string;
    }
  | { readonly status: "undetermined"; readonly neck: string; readonly earlier: SurveyName; readonly later: SurveyName; readonly surveys: readonly [Survey, Survey]; readonly need: string; readonly states: StatesCompared; readonly describe: (order?: UnitOrder) => string };
