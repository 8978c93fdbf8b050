import { fretDistanceMm, fretTops } from "../neck/frets.js";
import type { Neck } from "../neck/neck.js";
import { escaped } from "../figures/text.js";
import { BENCH_SHEET_STYLE } from "./benchSheetStyle.js";
import type { Card } from "./card.js";
import { fixed } from "./table.js";
import { htmlPage } from "./htmlPage.js";

/**
 * The sheet that lies beside the neck while it is read: state of the neck, a cell for every reading in the order in which one walks the
 * neck, boxes to tick for the rocker with room for the leaf, the distance of every fret from the nut, and lines for twist, the seating log and notes. One page, A4 or Letter, to be filled with a pencil.
 * @param neck its lines become the columns, its frets the rows
 * @returns a page that needs nothing but itself
 */
export function benchSheet(neck: Neck): Card {
  const title = `${neck.name}: bench sheet`;
  const html = htmlPage({ title, style: BENCH_SHEET_STYLE, main: `<main style="--row: ${rowMm(neck).toFixed(2)}mm">
<header><p class="kind">Bench sheet</p><h1>${escaped(neck.name)}</h1><p>${escaped(neckWords(neck))}</p></header>
${stateBlock()}
${readingsTable(neck)}
<p class="key"><b>Gap:</b> the leaf that goes, the next does not &middot; <b>touch</b>: no light &middot; <b>light</b>: light, but the thinnest leaf does not go &middot; <b>0</b>: it does not go, no light looked for &middot; <b>10+6</b>: stacked &middot; <b>4..5</b>: between &middot; empty: not read.
Do not press the edge. Back bow (it rocks on a high middle): let it balance, write touch where it rests, read both ends. Or press it on one end fret: it bears there and on the next fret, write touch at both, read middle and far end; the other way round on a second sheet.
<b>Rocker:</b> over three frets, named by the middle one. Tick rocks where it rocks and write after it the leaf that goes under the raised end.</p>
${bottomBlock(neck)}
</main>` });
  return { html, title };
}

function neckWords(neck: Neck): string {
  const joint = neck.bodyJoint === undefined ? "" : `, body joint at fret ${neck.bodyJoint}`;
  return `Scale ${fixed(neck.scaleLengthMm, 2)} mm (${fixed(neck.scaleLengthMm / 25.4, 3)} in), ${neck.frets} frets, ${neck.zeroFret ? "zero fret" : "nut"}${joint}`;
}

/** What has to be known of the neck's state; each field is a key of the readings sheet. */
const STATE: readonly (readonly [label: string, choices: readonly string[], rest: string])[] = [
  ["Date", [], ""],
  ["Stage", ["board, not glued", "after glue-up", "fretted", "strung"], ""],
  ["Rod", ["slack", "neutral"], "turns from neutral, way:"],
  ["Strings", ["off", "on"], "tuned to:"],
  ["Support", ["on its back on blocks", "on its edge", "in a body"], ""],
  ["", ["free board on its side", "free board on a bench plate"], "face up or down:"],
  ["Frets", ["pressed", "seated", "levelled", "crowned"], ""],
  ["Air", [], "humidity:        %   temperature:        °C   hours since glue:"],
  ["Tools", [], "edge length:              straight within:              thinnest leaf:              unit:"],
];

function stateBlock(): string {
  const rows = STATE.map(([label, choices, rest]) => {
    const boxes = choices.map((choice) => `<span class="tick">${BOX}${escaped(choice)}</span>`).join("");
    return `<tr>${label === "" ? "<td></td>" : `<th scope="row">${label}</th>`}<td>${boxes}<span class="rest">${escaped(rest)}</span></td></tr>`;
  });
  return `<table class="state"><tbody>${rows.join("")}</tbody></table>`;
}

/** What one Letter page has for the table's rows and the lines under them, mm; A4 is longer. */
const ROOM_MM = 165;
/** Rows are a pencil's height where the frets leave room for it. */
const ROW_MM = { most: 5.6, least: 4 };
const TWIST_MM = 8;
const LINE_MM = 6;

function rowMm(neck: Neck): number {
  const rows = fretTops(neck).length;
  return Math.min(ROW_MM.most, Math.max(ROW_MM.least, (ROOM_MM - TWIST_MM - 3 * LINE_MM) / rows));
}

/** Lines for what has no cell: twist, what was tried at a fret end, notes; as many as the frets leave room for. */
function bottomBlock(neck: Neck): string {
  const count = Math.max(1, Math.floor((ROOM_MM - TWIST_MM - rowMm(neck) * fretTops(neck).length) / LINE_MM) - 1);
  const lines = (words: string): string => `<p class="line">${words}</p>`.repeat(count);
  const tried = 'fret <span class="gap"></span> line <span class="gap wide"></span> : <span class="gap wide"></span> &gt; <span class="gap wide"></span> &gt;';
  return `<p class="line twist"><b>Twist,</b> sighting bars: fret <span class="gap"></span> against fret <span class="gap"></span> : <span class="gap wide"></span> treble end of the far bar above the near one (minus: below); again: <span class="gap wide"></span></p>
<div class="bottom"><section><p class="head"><b>Seating log</b> (rocks 2 &gt; tapped &gt; still)</p>${lines(tried)}</section><section><p class="head"><b>Notes</b></p>${lines("&nbsp;")}</section></div>`;
}

/** With more lines than this the boxes to tick are named in the heading only. */
const WORDED_LINES = 3;

const BOX = `<span class="box" aria-hidden="true"></span>`;

function readingsTable(neck: Neck): string {
  const lines = neck.lines.map((line) => escaped(line.name));
  const groups = lines.map((line) => `<th scope="colgroup" colspan="2">${line}</th>`).join("");
  const narrow = lines.length > WORDED_LINES;
  const heads = lines.map(() => `<th scope="col">gap</th><th scope="col">${narrow ? "still, rocks" : "rocker"}</th>`).join("");
  const ticks = narrow ? `${BOX} ${BOX}` : `${BOX}still &ensp;${BOX}rocks `;
  const tops = fretTops(neck);
  const rows = tops.map((fret, index) => {
    const cells = lines.map(() => `<td></td><td class="rock">${index === 0 || index === tops.length - 1 ? "" : ticks}</td>`).join("");
    return `<tr${fret === neck.bodyJoint ? ' class="joint"' : ""}><th scope="row">${fret}${fret === neck.bodyJoint ? " <small>joint</small>" : ""}</th>${distanceCells(neck, fret)}${cells}</tr>`;
  });
  return `<table class="readings${narrow ? " narrow" : ""}"><thead><tr><th scope="col" rowspan="2">Fret</th><th scope="colgroup" colspan="2">from the nut</th>${groups}</tr><tr><th scope="col">mm</th><th scope="col">in</th>${heads}</tr></thead><tbody>${rows.join("")}</tbody></table>`;
}

function distanceCells(neck: Neck, fret: number): string {
  const mm = fretDistanceMm(neck.scaleLengthMm, fret);
  return `<td class="from">${fixed(mm, 2)}</td><td class="from">${fixed(mm / 25.4, 3)}</td>`;
}
