import { levelFigure } from "../figures/levelFigure.js";
import { escaped } from "../figures/text.js";
import type { CrownToMeasure } from "../advice/levelPlan/workingSteps.js";
import { lengthWords, type UnitOrder } from "../units/words.js";
import { benchPage, listed, part, pictured, told } from "./benchCard.js";
import type { Card } from "./card.js";
import type { PlannedLevelling } from "./planLevelling.js";

/**
 * The working card of a levelling: one sheet of A4 or Letter for the bench: in front the steps from the frets to seat to re-crowning with the crowns to measure, on its back the drawing.
 * @throws {RangeError} a levelling without a plan: there is nothing to do by it
 */
export function workingCard(levelling: PlannedLevelling, order: UnitOrder = "mm first"): Card {
  if (levelling.status !== "planned") throw new RangeError(`Cannot make a working card: ${levelling.describe(order)}`);
  const { posed, plan, sure } = levelling;
  const { headline, steps, crowns, howSure, cautions } = levelling.steps(order);
  const { survey } = posed;
  const read = [survey.sheet.stage, survey.sheet.date].filter((word) => word !== "").join(", ");
  const body = `<p class="headline">${escaped(headline)}</p>
<div class="two">
${steps.map(({ heading, sentences }) => part(heading, told(sentences))).join("\n")}
</div>
${part("Crowns to measure, before and after", crownTable(crowns, order))}
<div class="two">
${part("How sure", told(howSure))}
${part("Care", listed(cautions))}
</div>
<footer>${told(posed.notes.slice(0, MOST_NOTES), "small")}</footer>
${pictured(levelFigure(posed, plan, sure.first, { order, widthPx: SHEET_PX, panelPx: panelPx(plan.beam.length) }), "back")}`;
  return benchPage({ kind: "Working card: levelling the frets", name: survey.neck.name, about: `${read === "" ? "Stage and date of the survey not stated" : `From the survey ${read}`}; ${posed.beam === "straight" ? "straight beam, one line at a time" : "block of the board's radius"}` }, body);
}

/** So many notes fit on the sheet; the notebook tells all of them. */
const MOST_NOTES = 4;

/** What is printed on A4 is this wide: a drawing of this width is printed as large as it is drawn. */
const SHEET_PX = 710;

/** Lines share the height that the back of the sheet has for the drawing. */
function panelPx(lines: number): number {
  return Math.max(96, Math.min(180, Math.round(560 / lines)));
}

function crownTable(crowns: readonly CrownToMeasure[], order: UnitOrder): string {
  const rows = crowns.map(({ fret, line, why, nowMm, removeMm, afterMm }) => `<tr><th scope="row">${fret}, ${escaped(line)}</th><td>${why === "guide" ? "guide" : "thin: watch it"}</td><td>${escaped(lengthWords(nowMm, order))}</td><td>${escaped(small(removeMm, order))}</td><td>${escaped(lengthWords(afterMm, order))}</td><td class="write"></td><td class="write"></td></tr>`);
  return `<table><thead><tr><th scope="col">Fret, line</th><th scope="col">Why</th><th scope="col">Crown now</th><th scope="col">Comes off</th><th scope="col">After</th><th scope="col">Measured before</th><th scope="col">Measured after</th></tr></thead><tbody>${rows.join("")}</tbody></table>`;
}

function small(mm: number, order: UnitOrder): string {
  return mm < 0.005 ? "nothing, only touched" : lengthWords(mm, order);
}
