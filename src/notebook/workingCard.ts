import { levelFigure } from "../figures/levelFigure.js";
import { LEVEL_KEY } from "../figures/levelKey.js";
import { escaped } from "../figures/text.js";
import type { BenchStep, BenchSteps } from "../advice/levelPlan/benchSteps.js";
import { hasNoSteps } from "../advice/levelPlan/nothingToLevel.js";
import type { CrownToMeasure } from "../advice/levelPlan/workingSteps.js";
import { MM_PER_THOU } from "../units/length.js";
import type { Survey } from "../survey/survey.js";
import type { UnitOrder } from "../units/words.js";
import { pictured, told } from "./benchCard.js";
import type { Card } from "./card.js";
import { htmlPage } from "./htmlPage.js";
import type { PlannedLevelling } from "./planLevelling.js";
import { fixed } from "./table.js";
import { DRAWN_PX, sheetPlan, type SheetPlan } from "./workingSheet.js";
import { WORKING_STYLE } from "./workingStyle.js";

type Planned = Extract<PlannedLevelling, { readonly status: "planned" }>;

/**
 * The working card of a levelling: one side of one sheet of A4 or Letter for the bench. On top what to do and why no less comes off, then the drawing, then the steps
 * beside the crowns to measure. What does not fit (notes, the steps at length) stands in the notebook, and the card says so.
 * Of a neck that is twisted beyond the limit, a plan that is not to be started, or one by which nothing is filed, only that.
 * @throws {RangeError} a levelling without a plan for any other reason: there is nothing to do by it
 */
export function workingCard(levelling: PlannedLevelling, order: UnitOrder = "mm first"): Card {
  if (levelling.status !== "planned") {
    if (levelling.outcome.status !== "twisted") throw new RangeError(`Cannot make a working card: ${levelling.describe(order)}`);
    const { survey, headline, why } = levelling.outcome;
    return stoppedCard({ survey, about: readWords(survey), headline, why: why(order), notes: [] });
  }
  const { posed, plan } = levelling;
  const bench = levelling.bench(order);
  const { name } = posed.survey.neck;
  const crowns = onCard(bench.crowns, plan.beam.map(({ line }) => line));
  if (hasNoSteps(posed, plan, levelling.sure)) return stoppedCard({ survey: posed.survey, about: aboutWords(levelling), headline: bench.headline, why: bench.why, notes: [...posed.before, ...posed.notes, ...levelling.cautions] });
  const parts = [...bench.steps, bench.care, { heading: SURE, does: "", how: [bench.howSure] }];
  const laid = sheetPlan({ name, headline: bench.headline, why: bench.why.join(" "), parts, tableRows: crowns.length, notes: posed.notes, lines: plan.beam.length });
  const title = `${name}: working card`;
  return { title, html: htmlPage({ title, style: `:root { --type: ${laid.typePt}pt; }${WORKING_STYLE}`, main: `<main>
<header><h1>${escaped(name)}</h1><p class="about">Working card: levelling. ${escaped(aboutWords(levelling))}</p></header>
<p class="headline">${escaped(bench.headline)}</p>
<p class="why">${escaped(bench.why.join(" "))}</p>
${drawing(levelling, laid, order)}
<div class="columns">
${columns(bench, crowns, parts, laid.left, order)}
</div>
${footer(posed.notes, laid.notes)}
</main>` }) };
}

/** What stands on a card that is not to be filed by. */
type Stopped = { readonly survey: Survey; readonly about: string; readonly headline: string; readonly why: readonly string[]; readonly notes: readonly string[] };

/** No drawing, no steps and no cuts: a card that is not to be filed by; the notes say what else is open. */
function stoppedCard({ survey: { neck: { name } }, about, headline, why, notes }: Stopped): Card {
  const title = `${name}: working card`;
  return { title, html: htmlPage({ title, style: `:root { --type: 12.1pt; }${WORKING_STYLE}`, main: `<main>
<header><h1>${escaped(name)}</h1><p class="about">Working card: levelling. ${escaped(about)}</p></header>
<p class="headline">${escaped(headline)}</p>
<p class="why">${escaped(why.join(" "))}</p>
${footer(notes, notes.length)}
</main>` }) };
}

const SURE = "How sure";

function readWords({ sheet }: Survey): string {
  const read = [sheet.stage, sheet.date].filter((word) => word !== "").join(", ");
  return read === "" ? "Stage and date of the survey not stated" : `From the survey ${read}`;
}

function aboutWords({ posed: { survey, beam } }: Planned): string {
  return `${readWords(survey)}; strings off; ${beam === "straight" ? "straight beam, one line at a time" : "block of the board's radius"}`;
}

function drawing({ posed, plan, sure }: Planned, { panelPx }: SheetPlan, order: UnitOrder): string {
  const figure = levelFigure(posed, plan, sure.first, { order, widthPx: DRAWN_PX, panelPx, for: "card" });
  const times = /Heights are drawn (\d+) times/.exec(figure.alt)?.[1] ?? "";
  const key = LEVEL_KEY.filter(({ always }) => always || plan.reseat.length > 0).map(({ svg, words }) => `<span>${svg}${escaped(words)}</span>`).join(" ");
  return pictured(figure).replace("</figure>", `<figcaption>${key} <span>${times} times too tall</span></figcaption></figure>`);
}

/** Of more than four lines the outer two and the middle one have their guides in the table. */
function onCard(crowns: readonly CrownToMeasure[], lines: readonly string[]): readonly CrownToMeasure[] {
  const shown = lines.length <= 4 ? lines : [lines[0], lines[Math.floor(lines.length / 2)], lines.at(-1)];
  return crowns.filter(({ line, why }) => why !== "guide" || shown.includes(line));
}

/** The steps down the left, the crowns to gauge at the top of the right, then the rest of the steps and what is no step. */
function columns({ steps, crowns: all }: BenchSteps, crowns: readonly CrownToMeasure[], parts: readonly BenchStep[], left: number, order: UnitOrder): string {
  const written = parts.map((part, index) => stepHtml(part, index < steps.length ? `<span class="step">${index + 1}</span>` : ""));
  const table = all.length === 0 ? "" : `<section class="table"><h2>Crowns to gauge, ${order === "mm first" ? "mm (thou)" : "thou (mm)"}</h2>\n${crownTable(crowns, order)}${crowns.length < all.length ? '<p class="mark">The guides of the other lines stand in the notebook.</p>' : ""}</section>`;
  return `<div>${written.slice(0, left).join("\n")}</div>\n<div>${[table, ...written.slice(left)].join("\n")}</div>`;
}

/** The heading runs into what is to be done; how it is done stands under it in smaller type. */
function stepHtml({ heading, does, how }: BenchStep, number: string): string {
  const runIn = does === "" ? "" : `<p class="does">${escaped(does)}</p>`;
  return `<section><h2>${number}${escaped(heading)}</h2> ${runIn}\n${how.length === 0 ? "" : told([how.join(" ")], "how")}</section>`;
}

function footer(notes: readonly string[], count: number): string {
  const left = notes.length - count;
  const more = left === 0 ? [] : [`${left === 1 ? "One more note stands" : `${left} more notes stand`} in the notebook, with the plan.`];
  return notes.length === 0 ? "" : `<footer>${told([...notes.slice(0, count), ...more], "small")}</footer>`;
}

function crownTable(crowns: readonly CrownToMeasure[], order: UnitOrder): string {
  const rows = crowns.map(({ fret, line, why, removeMm, afterMm }) => `<tr><th scope="row">${fret} ${escaped(line)}${why === "guide" ? "" : " *"}</th><td>${escaped(bare(removeMm, order))}</td><td>${escaped(bare(afterMm, order))}</td><td class="write"></td><td class="write"></td></tr>`);
  const thin = crowns.some(({ why }) => why !== "guide") ? `<p class="mark">* no guide but a thin crown: watch it.</p>` : "";
  return `<table><thead><tr><th scope="col">Guide fret</th><th scope="col">comes off</th><th scope="col">leaves</th><th scope="col">before</th><th scope="col">after</th></tr></thead><tbody>${rows.join("")}</tbody></table>${thin}`;
}

/** Both units without their names: the head of the column has them. */
function bare(mm: number, order: UnitOrder): string {
  const [inMm, inThou] = [fixed(mm, 2), fixed(mm / MM_PER_THOU, 1)];
  return order === "mm first" ? `${inMm} (${inThou})` : `${inThou} (${inMm})`;
}
