import { mkdirSync, writeFileSync } from "node:fs";
import { dirname } from "node:path";
import type { Survey } from "../survey/survey.js";
import type { UnitOrder } from "../units/words.js";
import { surveyCard } from "./card.js";
import { sendHtml, whileSaying } from "./outlet.js";
import { plainly, toldPlainly } from "./plainly.js";
import { escaped } from "../figures/text.js";

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
  const card = plainly(() => whileSaying("Drawing the card", () => surveyCard(surveys, order)));
  try {
    mkdirSync(dirname(file), { recursive: true });
    writeFileSync(file, card.html);
  } catch (error) {
    throw toldPlainly(`Cannot save the card as ${file}: ${error instanceof Error ? error.message : String(error)} (give a name in a folder that may be written)`);
  }
  sendHtml(`<p>Card saved as <code>${escaped(file)}</code>, counted from this notebook's folder: open it in a browser, print it, or send it along with the neck.</p>`, `Card saved as ${file}`);
}
