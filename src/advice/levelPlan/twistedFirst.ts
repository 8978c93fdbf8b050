import { twistOfNeck } from "../../shape/twist.js";
import type { Survey } from "../../survey/survey.js";
import type { UnitOrder } from "../../units/words.js";
import { twistAdvice } from "../twistAdvice.js";

/** A neck that is twisted beyond the shop's limit: nothing is levelled before that is settled. */
export type TwistedFirst = {
  readonly status: "twisted";
  readonly survey: Survey;
  /** What not to do, and what comes first. */
  readonly headline: string;
  /** How far it is twisted and what to do about it, as the verdict says. */
  readonly why: (order?: UnitOrder) => readonly string[];
  readonly describe: (order?: UnitOrder) => string;
};

const HEADLINE = "Do not level: the neck is twisted beyond the limit. Settle the twist first.";
/** A beam along one line leaves a twist as it is; a block takes it off, as far as the crowns allow, on purpose or not. */
const ACCEPTED = "If you settle for a twist over this limit, state the one that you accept in the neck's limits, as twistMax, and ask again.";

/** The refusal of a neck that is surely twisted beyond the limit; undefined for any other. */
export function twistedFirst(survey: Survey): TwistedFirst | undefined {
  const twist = twistOfNeck(survey);
  if (twist.status !== "determined" || twist.within !== "no") return undefined;
  const why = (order: UnitOrder = "mm first"): readonly string[] => [...twistAdvice(twist, order), ACCEPTED];
  return { status: "twisted", survey, headline: HEADLINE, why, describe: (order) => [HEADLINE, ...why(order)].join("\n") };
}

/** Twist that may be over the limit, which is sighted again before anything is filed. */
export function twistOpenNotes(survey: Survey): readonly string[] {
  const twist = twistOfNeck(survey);
  return twist.status === "determined" && twist.within === "open" ? ["The twist is perhaps over the limit: exchange the two bars and sight it again before you level. If it is over, it comes first."] : [];
}
