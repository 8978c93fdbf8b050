import { twistOfNeck } from "../shape/twist.js";
import type { Survey } from "../survey/survey.js";

/** Whether a neck is surely twisted beyond the limit. Such a twist is planed out with the frets pulled: work on frets before that is lost, and the neck is not strung before it. */
export function isTwisted(survey: Survey): boolean {
  const twist = twistOfNeck(survey);
  return twist.status === "determined" && twist.within === "no";
}
