import { fretsWords } from "../frets/lists.js";
import type { LevelPlan } from "../advice/levelPlan/levelPlan.js";
import type { Levelling } from "../advice/levelPlan/levelling.js";
import { overBeam } from "../advice/levelPlan/overBeam.js";
import type { Sufficiency } from "../advice/levelPlan/sufficiency.js";
import { lengthWords, type UnitOrder } from "../units/words.js";
import { rounded } from "./drawing.js";
import type { Figure, NarrowerLayout } from "./figure.js";
import type { LevelDrawing, LevelLook } from "./levelDrawing.js";
import { PANEL, PAPER, SMALLEST_TEXT_PX } from "./look.js";
import { beamTraces } from "./levelTraces.js";
import { levelLayout, levelSheet, HEIGHT_SCALE_AT, type LevelSheet } from "./levelLayout.js";
import { CAPTION_AFTER, CAPTION_BEFORE, xRangeMm } from "./sheet.js";

/** How a levelling is drawn; everything may be left out. */
export type LevelFigureOptions = {
  readonly order?: UnitOrder;
  /** 480 to 1600; 900 unless said. */
  readonly widthPx?: number;
  /** Height of each panel; 110 unless said. */
  readonly panelPx?: number;
  /** `page` (unless said): with title, caption and legend. `card`: larger type on white, without them, since the card has its own (`levelKey`); where the beam bears first stands over each panel. */
  readonly for?: "page" | "card";
};

const LOOKS: Readonly<Record<"page" | "card", LevelLook>> = {
  page: { namePx: SMALLEST_TEXT_PX, heightPx: SMALLEST_TEXT_PX, paper: PAPER, panel: PANEL, isCard: false },
  card: { namePx: 16, heightPx: 14, paper: "#ffffff", panel: "#ffffff", isCard: true },
};

const NARROWER_PX = [780, 660, 560, 480];

/**
 * A levelling as a drawing: for each line the fret tops as the beam meets them (rod set), the line that the beam will have cut, the beam as it first lies
 * and the frets it then touches, ringed; frets to be seated first are drawn where they stand now, with a tie to where they come to rest.
 * @throws {RangeError} a width outside 480 to 1600 px
 */
export function levelFigure(posed: Levelling, plan: LevelPlan, first: Sufficiency["first"], options: LevelFigureOptions = {}): Figure {
  const widthPx = options.widthPx ?? 900;
  if (!(widthPx >= 480 && widthPx <= 1600)) throw new RangeError(`Cannot draw the levelling: expected a width of 480 to 1600 px, got ${widthPx}`);
  const drawing: LevelDrawing = { posed, plan, first, order: options.order ?? "mm first", lines: overBeam(posed.problem, plan), look: LOOKS[options.for ?? "page"] };
  const sheetAt = (px: number): LevelSheet => levelSheet(drawing, px, options.panelPx ?? 110, xRangeMm(posed.survey.neck));
  const sheet = sheetAt(widthPx);
  return {
    data: drawing.lines.flatMap((line, index) => beamTraces(drawing, line, index)),
    layout: levelLayout(drawing, sheet),
    config: { displaylogo: false, displayModeBar: "hover", responsive: false, scrollZoom: false, doubleClick: "reset", showTips: false },
    alt: alternative(drawing, sheet),
    fileName: `${posed.survey.neck.name} levelling`.toLowerCase().replace(/[^a-z0-9]+/g, "-").replace(/^-+|-+$/g, "").slice(0, 60) || "levelling",
    widthPx, heightPx: sheet.heightPx,
    ...(drawing.look.isCard ? {} : { heightScale: { annotation: HEIGHT_SCALE_AT, before: CAPTION_BEFORE, after: CAPTION_AFTER } }),
    narrower: drawing.look.isCard ? [] : NARROWER_PX.filter((px) => px < widthPx).map((px): NarrowerLayout => ({ widthPx: px, heightPx: sheetAt(px).heightPx, layout: levelLayout(drawing, sheetAt(px)) })),
  };
}

function alternative({ posed, plan, first, order, lines }: LevelDrawing, sheet: LevelSheet): string {
  const seats = plan.reseat.length === 0 ? "" : ` ${fretsWords(plan.reseat)} ${plan.reseat.length === 1 ? "is" : "are"} to be seated first, if a leaf goes under.`.replace(/^ f/, " F");
  const told = lines.map(({ line, tops }) => {
    const most = tops.reduce((best, top) => (top.removeMm > best.removeMm ? top : best));
    const pair = first.find((one) => one.line === line)?.pair ?? [];
    return `${line}: at most ${lengthWords(most.removeMm, order)} comes off, at fret ${most.fret}; ${pair.length === 0 ? "the block first lies on none of its tops" : `the beam first lies on ${fretsWords(pair)}`}`;
  });
  return `Side view of the levelling of ${posed.survey.neck.name}: fret tops over the line that the beam will have cut.${seats} ${told.join(". ")}. Heights are drawn ${rounded(sheet.times, 2)} times too tall.`;
}
