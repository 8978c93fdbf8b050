import type { ShipAbout } from "../advice/ship/ship.js";
import type { Survey } from "../survey/survey.js";
import type { UnitOrder } from "../units/words.js";
import { neckCard } from "./neckCard.js";
import { whileSaying } from "./outlet.js";
import { plainly } from "./plainly.js";
import { saveHtml } from "./saveHtml.js";

/**
 * Save the card that goes out with a neck as one HTML file that prints on one sheet of A4 or Letter and needs no network.
 *
 *     saveNeckCard(survey, "my-necks/number-12-card.html", { done: ["seated and checked"], stringsAssumed: "10 to 46, E standard" });
 *
 * @param file name of the file, beside the notebook unless it has a folder in it
 * @param about what was done, and what is known beside the survey
 * @throws {Error} in one sentence where the file cannot be written
 */
export function saveNeckCard(survey: Survey, file: string, about: ShipAbout = {}, order: UnitOrder = "mm first"): void {
  saveHtml(plainly(() => whileSaying("Drawing the card", () => neckCard(survey, about, order))), "Neck card", file);
}
