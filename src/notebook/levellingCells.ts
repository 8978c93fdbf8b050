import { hasNoSteps } from "../advice/levelPlan/nothingToLevel.js";
import { levelFigure } from "../figures/levelFigure.js";
import type { UnitOrder } from "../units/words.js";
import { whileSaying } from "./outlet.js";
import { plainly, toldPlainly } from "./plainly.js";
import type { PlannedLevelling } from "./planLevelling.js";
import { saveHtml } from "./saveHtml.js";
import { showFigure } from "./showFigure.js";
import { tellLines } from "./tell.js";
import { workingCard } from "./workingCard.js";

/**
 * Show the plan of a levelling as a drawing: the tops as the beam meets them, the line it will have cut, and what it touches first. Of a neck that is twisted beyond the limit, a plan that is not to be started, or one by which nothing is filed, only that.
 * @throws {Error} in one sentence where there is no plan to draw
 */
export function showPlan(levelling: PlannedLevelling, order: UnitOrder = "mm first"): void {
  if (levelling.status !== "planned" && levelling.outcome.status === "twisted") return plainly(() => tellLines(levelling.describe(order), []));
  if (levelling.status !== "planned") throw toldPlainly(`Cannot draw the levelling: ${levelling.describe(order)}`);
  const { posed, plan, sure } = levelling;
  plainly(() => { if (hasNoSteps(posed, plan, sure)) tellLines(levelling.describe(order), []); else showFigure(levelFigure(posed, plan, sure.first, { order })); });
}

/**
 * Save the working card of a levelling as one HTML file that prints on one side of one sheet of A4 or Letter and needs no network.
 *
 *     saveWorkingCard(plan, "my-necks/number-12-levelling.html");
 *
 * @param file name of the file, beside the notebook unless it has a folder in it
 * @throws {Error} in one sentence where there is no plan, or the file cannot be written
 */
export function saveWorkingCard(levelling: PlannedLevelling, file: string, order: UnitOrder = "mm first"): void {
  saveHtml(plainly(() => whileSaying("Drawing the card", () => workingCard(levelling, order))), "Working card", file);
}
