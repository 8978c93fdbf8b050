import { capital } from "../units/text.js";
import { STAGES, shipReport, type ShipAbout, type ShipReport } from "../advice/ship/ship.js";
import type { ShipCheck, ShipState } from "../advice/ship/judged.js";
import { neckFigure } from "../figures/neckFigure.js";
import { escaped } from "../figures/text.js";
import type { Survey } from "../survey/survey.js";
import type { UnitOrder } from "../units/words.js";
import { benchPage, listed, part, pictured, told } from "./benchCard.js";
import type { Card } from "./card.js";
import { fixed } from "./table.js";
import { wordsOf } from "./words.js";

/**
 * The card that goes out with a neck: one sheet of A4 or Letter with the drawing, every limit of the shop, what was done and what was not, rod, air, strings, and how sure.
 * @param about what was done and what is known beside the survey
 * @param order which unit stands first; mm unless said
 */
export function neckCard(survey: Survey, about: ShipAbout = {}, order: UnitOrder = "mm first"): Card {
  return cardOf(shipReport(survey, about, order), order);
}

/** A sheet's width between its margins, so that a drawing of this width is printed as large as it is drawn. */
const SHEET_PX = 718;

/** What the drawing's marks are, and how much too tall it is. */
function keyWords(alt: string): string {
  const times = /Heights are drawn (\d+) times too tall/.exec(alt)?.[1] ?? "";
  return `Side view over the board, nut at the left, ${times} times too tall. Marks: as measured, give or take; line: the neck line; hatching: 19 times in 20 it lies inside; dash-dotted: chord of what was read; thin: chord of the relief, arrow: the relief.`;
}

/** Lines share the height that a sheet has for the drawing. */
function panelPx(lines: number): number {
  return Math.max(40, Math.min(90, Math.round(126 / Math.max(1, lines))));
}

function cardOf(report: ShipReport, order: UnitOrder): Card {
  const { survey, headline, checks, done, facts, before, howSure, cautions, assumed } = report;
  const figure = neckFigure(survey, { order, reliefs: wordsOf(survey, order).relief, widthPx: SHEET_PX, panelPx: panelPx(survey.lines.length), for: "card" });
  const stages = STAGES.map((stage) => `<li><span class="box" aria-hidden="true">${done.includes(stage) ? "✕" : ""}</span>${escaped(stage)}: ${done.includes(stage) ? "done" : "not done"}</li>`);
  const body = `<p class="headline">${escaped(headline)}</p>
${pictured(figure, "tall").replace("</figure>", `<figcaption class="small">${escaped(keyWords(figure.alt))}</figcaption></figure>`)}
${part("Limits of the shop", checkTable(checks))}
<div class="two">
${part("What was done", `<ul class="plain">${stages.join("")}</ul>${told(before)}`)}
${part("Rod, air, strings", told(facts))}
${part("How sure", told(howSure))}
${part("Care", listed(cautions))}
</div>
<footer>${told([`Taken as common practice or from the readings, because not stated: ${assumed.join("; ")}.`], "small")}</footer>`;
  return benchPage({ kind: "Neck card", name: survey.neck.name, about: aboutWords(survey) }, body);
}

function aboutWords({ neck }: Survey): string {
  const joint = neck.bodyJoint === undefined ? "" : `, body joint at fret ${neck.bodyJoint}`;
  return `Scale ${fixed(neck.scaleLengthMm, 1)} mm (${fixed(neck.scaleLengthMm / 25.4, 2)} in), ${neck.frets} frets, ${neck.zeroFret ? "zero fret" : "nut"}${joint}`;
}

/** Words first; the sign only repeats them. */
const SIGN: Readonly<Record<ShipState, string>> = { pass: "✓", fail: "✗", "not sure": "?" };

function checkTable(checks: readonly ShipCheck[]): string {
  const rows = checks.map(({ what, state, wanted, found, reason, next }) => `<tr><th scope="row">${escaped(capital(what))}</th><td class="state">${state} <span aria-hidden="true">${SIGN[state]}</span></td><td>${escaped(wanted)}</td><td>${escaped(found)}</td><td>${escaped(`${capital(reason)}.${next === undefined ? "" : ` Next: ${next}.`}`)}</td></tr>`);
  return `<table class="limits"><thead><tr><th scope="col">Limit</th><th scope="col">Verdict</th><th scope="col">Wanted</th><th scope="col">Found</th><th scope="col">Why, and what next</th></tr></thead><tbody>${rows.join("")}</tbody></table>`;
}
