import { isTwisted } from "../../frets/twisted.js";
import type { Survey } from "../../survey/survey.js";
import type { RodReason } from "./rodReason.js";

/** What comes before the rod of a neck that is surely twisted beyond the limit; nothing of any other. */
export function twistFirst(survey: Survey): readonly RodReason[] {
  return isTwisted(survey) ? [{ kind: "twist first", hasRod: survey.neck.rod?.works !== "none" }] : [];
}
