import { twistOfNeck } from "../../shape/twist.js";
import type { Survey } from "../../survey/survey.js";

/** Whether a neck is surely twisted beyond the limit: then it is not to be strung before that is settled, whatever its rod is to do. */
export function isTwisted(survey: Survey): boolean {
  const twist = twistOfNeck(survey);
  return twist.status === "determined" && twist.within === "no";
}

/** What comes before the rod of such a neck; nothing of any other. */
export function twistFirst(survey: Survey): readonly string[] {
  return isTwisted(survey) ? ["The neck is twisted beyond the limit, and the rod cannot cure twist: settle that first, as the verdict says, and do not string it before."] : [];
}
