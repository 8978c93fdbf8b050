import type { Survey } from "../survey/survey.js";
import type { UnitOrder } from "../units/words.js";
import { surveyCard } from "./card.js";
import { whileSaying } from "./outlet.js";
import { plainly } from "./plainly.js";
import { saveHtml } from "./saveHtml.js";

/**
 * Save the card of a neck as one HTML file that opens anywhere, prints on A4 or Letter, and needs no network.
 *
 *     saveCard(survey, "my-necks/number-12.html");
 *
 * @param surveys one survey, or several of the same neck in order of time
 * @param file name of the file, beside the notebook unless it has a folder in it; a missing folder is made, a file of that name is replaced
 * @throws {Error} in one sentence where the file cannot be written
 */
export function saveCard(surveys: Survey | readonly Survey[], file: string, order: UnitOrder = "mm first"): void {
  saveHtml(plainly(() => whileSaying("Drawing the card", () => surveyCard(surveys, order))), "Card", file);
}
