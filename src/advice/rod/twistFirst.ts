import { isTwisted } from "../../frets/twisted.js";
import type { Survey } from "../../survey/survey.js";

/** What comes before the rod of a neck that is surely twisted beyond the limit; nothing of any other. */
export function twistFirst(survey: Survey): readonly string[] {
  return isTwisted(survey) ? ["The neck is twisted beyond the limit, and the rod cannot cure twist: settle that first, as the verdict says, and do not string it before."] : [];
}
