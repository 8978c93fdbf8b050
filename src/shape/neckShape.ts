import type { Survey } from "../survey/survey.js";
import type { UnitOrder } from "../units/words.js";
import { jointHumps } from "./jointHump.js";
import type { JointHump } from "./jointHump.js";
import { kinks } from "./kink.js";
import type { Kink } from "./kink.js";
import { allReliefs } from "./relief.js";
import type { Relief } from "./relief.js";
import { tongues, zeroFrets } from "./tongue.js";
import type { Tongue, ZeroFret } from "./tongue.js";
import { twistOfNeck } from "./twist.js";
import type { Twist } from "./twist.js";

/** All that a survey says of the shape of a neck. */
export type NeckShape = {
  /** Line by line, by the four definitions in their order. */
  readonly reliefs: readonly Relief[];
  readonly jointHumps: readonly JointHump[];
  readonly tongues: readonly Tongue[];
  readonly zeroFrets: readonly ZeroFret[];
  readonly kinks: readonly Kink[];
  readonly twist: Twist;
  /** One sentence a line of text; what is not determined is said once for each line of the neck. */
  readonly describe: (order?: UnitOrder) => string;
};

/** The shape of a neck in numbers and words: reliefs, joint hump, tongue, zero fret, kink, twist; each with its interval, or the reading that would fix it. */
export function neckShape(survey: Survey): NeckShape {
  const parts = { reliefs: allReliefs(survey), jointHumps: jointHumps(survey), tongues: tongues(survey), zeroFrets: zeroFrets(survey), kinks: kinks(survey), twist: twistOfNeck(survey) };
  const told = [...parts.reliefs, ...parts.jointHumps, ...parts.tongues, ...parts.zeroFrets, ...parts.kinks, parts.twist];
  return { ...parts, describe: (order: UnitOrder = "mm first") => [...new Set(told.map((one) => one.describe(order)))].join("\n") };
}
