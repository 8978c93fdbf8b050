import { capital } from "../units/text.js";
import { jointHumps } from "../shape/jointHump.js";
import { lengthWords } from "../units/words.js";
import type { UnitOrder } from "../units/words.js";
import { cautionsOf } from "./cautions.js";
import type { FretFinding } from "./finding.js";
import { fretWords } from "./fretWords.js";
import { fretsWords, joined } from "./lists.js";
import type { FretReportParts } from "./reportParts.js";
import { risingTongue } from "./risingTongue.js";
import { isTwisted } from "./twisted.js";
import { waiting } from "./workOrder.js";
import type { WorkStep } from "./workOrder.js";

/** The fret report in words, in the order in which a builder asks. */
export type ReportWords = {
  readonly headline: string;
  /** One sentence or two for each fret that is not simply left, and each zone. */
  readonly frets: readonly string[];
  /** The order of work, one step a line. */
  readonly work: readonly string[];
  readonly seating: readonly string[];
  readonly howSure: readonly string[];
  readonly cautions: readonly string[];
  readonly all: readonly string[];
};

/** All of a report's sentences; the unit first that the user picked. */
export function reportWords(report: FretReportParts, order: UnitOrder): ReportWords {
  const { survey: { neck } } = report;
  const told = report.frets.filter((finding) => finding.zone === undefined && !isPlain(finding) && !isHardlyKnown(finding) && !isUnsplit(finding) && finding.action.do !== "look into the zone");
  if (isQuickLook(report)) return quickWords(report, order);
  const parts = {
    headline: headline(report, order),
    frets: [...twistWords(report), ...report.unsplit.map((bow) => bow.describe(order)), ...humpWords(report, order), ...told.map((finding) => fretWords(finding, neck, order)), ...report.zones.map((zone) => zone.describe(order)), ...restWords(report, order), ...tongueWords(report)],
    work: workWords(report),
    seating: report.seating.map((record) => record.describe()),
    howSure: [...howSure(report, order), ...crownsOnlyWords(report)],
    cautions: cautionsOf(report.work, told.some(({ action }) => action.do === "leave" && action.why === "low")),
  };
  return { ...parts, all: [parts.headline, ...parts.frets, ...parts.work, ...parts.seating, ...parts.howSure, ...parts.cautions] };
}

/** Hardly anything is said of any fret, and nothing is to be done to one. */
export function isQuickLook({ frets }: Pick<FretReportParts, "frets">): boolean {
  return frets.length > 0 && frets.every(({ hardlyRead, action }) => hardlyRead && (action.do === "leave" || action.do === "read"));
}

/** The hump at the body joint, on the lines where a fret rises with it. */
function humpWords({ survey, frets }: FretReportParts, order: UnitOrder): readonly string[] {
  const lines = frets.flatMap(({ action, told }) => (action.do === "look at the joint" ? [told.line] : []));
  return lines.length === 0 ? [] : jointHumps(survey).flatMap((joint) => (joint.status === "hump" && lines.includes(joint.line) ? [joint.describe(order)] : []));
}

/** A quick look says nothing of single frets: what it leaves open of the whole line, and what to read for more. */
function quickWords(report: FretReportParts, order: UnitOrder): ReportWords {
  const { survey: { neck }, unsplit, limitMm } = report;
  const told = report.frets.filter(({ action }) => action.do === "read" && (action.why === "contradictory" || action.why === "rocks, no leaf" || action.why === "not read"));
  const head = `${neck.name}: these readings hardly say how any fret stands. A fret counts as high from ${lengthWords(limitMm, order)} over the smooth neck line.`;
  const more = "Fret by fret needs more readings: rock a short edge over three frets at a time along each line, or read every second fret under the edge.";
  const parts = { headline: head, frets: [...unsplit.map((bow) => bow.describe(order)), ...told.map((finding) => fretWords(finding, neck, order)), more, ...unreadWords(report.unread)], work: [], seating: report.seating.map((record) => record.describe()), howSure: howSure(report, order), cautions: [] };
  return { ...parts, all: [head, ...parts.frets, ...parts.seating, ...parts.howSure] };
}

/** Told once for its line and not again by itself. */
function isUnsplit({ action }: FretFinding): boolean {
  return action.do === "read" && action.why === "bow or high";
}

/** Left without more ado: as intended, or so probably under the limit that a sentence of its own would say too much. */
function isPlain({ action, probabilityOver }: FretFinding): boolean {
  return action.do === "leave" && (action.why === "as intended" || (action.why === "under the limit more likely than not" && probabilityOver < HARDLY_OVER));
}

const HARDLY_OVER = 0.2;

function isHardlyKnown({ action }: FretFinding): boolean {
  return action.do === "leave" && action.why === "hardly read";
}

function headline({ survey, frets, zones, limitMm }: FretReportParts, order: UnitOrder): string {
  const { name } = survey.neck;
  if (frets.length === 0) return `${name}: nothing was read of its frets that says how they stand. Lay an edge on the fret tops along a line, or rock a short edge over three frets at a time.`;
  const high = frets.filter(({ action }) => action.do !== "leave" && action.do !== "read" && action.do !== "look into the zone" && action.do !== "look at the joint").map(({ fret }) => fret);
  const rocking = frets.filter(isRockingUnread).map(({ fret }) => fret);
  const toRead = frets.filter((finding) => finding.action.do === "read" && !isRockingUnread(finding));
  const open = toRead.map(({ fret }) => fret);
  const humped = frets.filter(({ action }) => action.do === "look at the joint").map(({ fret }) => fret);
  const zero = frets.some(({ action }) => action.do === "leave" && action.why === "zero fret");
  const sentences = [
    high.length === 0 ? `no fret ${zero ? "but the zero fret " : ""}stands clearly over the limit` : `${fretsWords(high)} ${high.length === 1 ? "wants" : "want"} work`,
    ...(rocking.length === 0 ? [] : [`${fretsWords(rocking)} ${rocking.length === 1 ? "rocks" : "rock"}, by how much was not read`]),
    ...(open.length === 0 ? [] : [`${fretsWords(open)} ${open.length === 1 ? "is" : "are"} to be read${onceMore(toRead)}`]),
    ...(humped.length === 0 ? [] : [`${fretsWords(humped)} ${humped.length === 1 ? "rises" : "rise"} with a hump at the body joint`]),
    ...zones.filter(({ probability }) => probability > 0.5).map(({ fromFret, toFret, beside }) => `frets ${fromFret} to ${toFret} stand up together${beside.length === 0 ? "" : `, and ${fretsWords(beside)} beside them`}`),
  ];
  return `${name}: ${joined(sentences)}. A fret counts as high from ${lengthWords(limitMm, order)} over the smooth neck line.`;
}

/** It rocks, and no leaf says by how much. */
function isRockingUnread({ action }: FretFinding): boolean {
  return action.do === "read" && action.why === "rocks, no leaf";
}

/** What was never read is not read once more. */
function onceMore(toRead: readonly FretFinding[]): string {
  return toRead.some(({ isUnread }) => isUnread) ? "" : " once more";
}

/** The frets that are simply left, and those that were not read. */
function restWords({ survey, frets, unread, limitMm }: FretReportParts, order: UnitOrder): readonly string[] {
  const plain = frets.filter((finding) => finding.zone === undefined && isPlain(finding)).map(({ fret }) => fret);
  const left = plain.length === 0 ? [] : [`${capital(fretsWords(plain))}: within ${lengthWords(limitMm, order)} of the neck line, as far as was read.${isTwisted(survey) ? "" : ` Leave ${plain.length === 1 ? "it" : "them"}.`}`];
  const hardly = frets.filter(isHardlyKnown).map(({ fret }) => fret);
  const open = hardly.length === 0 ? [] : [`${capital(fretsWords(hardly))}: what was read says hardly anything of ${hardly.length === 1 ? "it" : "them"}. Read ${hardly.length === 1 ? "it" : "them"} and the frets beside under a fresh setting of the edge.`];
  return [...left, ...open, ...unreadWords(unread)];
}

/** A fret of a tongue that rises stands well on the neck line, and may choke notes with it. */
function tongueWords({ survey, frets }: FretReportParts): readonly string[] {
  const tongue = risingTongue(survey);
  const beyond = tongue === undefined ? [] : frets.map(({ fret }) => fret).filter((fret) => fret > tongue.joint.fret);
  return beyond.length === 0 ? [] : [`${capital(fretsWords(beyond))}: the tongue rises there, board and frets together, as the verdict says; being within the limit over the neck line does not clear them.`];
}

/** Lines that miss the same frets are told together. */
function unreadWords(unread: FretReportParts["unread"]): readonly string[] {
  const sets = [...new Set(unread.map(({ frets }) => fretsWords(frets)))];
  return sets.map((set) => {
    const lines = unread.filter(({ frets }) => fretsWords(frets) === set).map(({ line }) => line);
    return `Not read on the ${joined(lines)} line${lines.length === 1 ? "" : "s"}: ${set}. Lay the edge or the rocker there before you call ${lines.length === 1 ? "the line" : "these lines"} done.`;
  });
}

const WORK: Readonly<Record<WorkStep["do"], (frets: string) => string>> = {
  read: (frets) => `read at ${frets}, as said above`,
  "look into the zone": (frets) => `slide a thin leaf under the crowns of ${frets}, or lay a notched edge on the bare wood across them`,
  "look at the joint": (frets) => `lay a notched edge on the bare wood across the body joint at ${frets}: a hump of the neck is not cured by filing single frets of it`,
  "look under the crown": (frets) => `slide a thin leaf under the crown of ${frets} where it stands up, and write down what goes`,
  "pull and refit": (frets) => `pull and refit ${frets}`,
  seat: (frets) => `seat ${frets}, the neck supported under the fret`,
  "rock again": (frets) => `rock ${frets} again, and write one line a try in the log, as "7 treble: rocks 2 > tapped > still"`,
  level: (frets) => `level ${frets} last${frets.startsWith("frets") ? " and together" : ""}, from a fresh survey with the rod neutral`,
};

/** The steps numbered, with what waits and when to stop. */
function workWords({ survey, work, frets, seating }: FretReportParts): readonly string[] {
  if (work.length === 0) return [];
  const later = waiting(frets.map(({ fret, action, high }) => ({ fret, action, heightMm: high.value })), work);
  const steps = work.map((one, index) => `${index + 1}. ${capital(WORK[one.do](one.do === "seat" || one.do === "pull and refit" ? listed(one.frets) : fretsWords(one.frets)))}.`);
  const unlit = frets.filter(({ action }) => action.do === "level" && action.why === "no leaf goes").map(({ fret }) => fret);
  const light = unlit.length === 0 ? [] : [`Before you level, look for light under the crown of ${fretsWords(unlit)}: a leaf that does not go leaves room for a thinner gap, and a gap is tapped, not filed.`];
  const waits = later.length === 0 ? [] : [`${capital(fretsWords(later))} ${later.length === 1 ? "waits" : "wait"}: a fret beside ${later.length === 1 ? "it" : "them"} is moved first, and the rocker will then say something else.`];
  const isTapped = seating.length > 0 || work.some((one) => TAPS.includes(one.do));
  const tries = isTapped ? "; a fret that is up again after two tries is pulled and refitted, not tapped a third time" : "";
  return [isTwisted(survey) ? "Once the twist is settled, in this order:" : "In this order:", ...steps, ...light, ...waits, `Then take the report again. It is done when no fret is over the limit${tries}.`];
}

/** Steps after which a fret may be tapped. */
const TAPS: readonly WorkStep["do"][] = ["seat", "look under the crown", "pull and refit"];

function twistWords({ survey }: FretReportParts): readonly string[] {
  return isTwisted(survey) ? ["Do nothing to the frets until the twist is settled: it is over the limit, and what is planed out of the board is planed with the frets out."] : [];
}

/** In the order of work, not of the neck. */
function listed(frets: readonly number[]): string {
  return frets.length === 1 ? `fret ${frets.join("")}` : `frets ${joined(frets.map(String))}, in this order`;
}

/** Fewer neighbours that stand up together are told as frets, one by one. */
const FEWEST_TOGETHER = 4;

/** What crowns alone cannot tell, where no zone is told with its own reading. */
function crownsOnlyWords({ survey: { sheet }, frets, zones }: FretReportParts): readonly string[] {
  const isCrownsOnly = sheet.settings.every(({ surface, tool }) => surface === "fretTops" && tool.kind !== "crownGauge");
  if (!isCrownsOnly || zones.length > 0 || frets.length <= FEWEST_TOGETHER) return [];
  return ["Only crowns were read: four or more neighbouring frets that stand up a little together can pass for the neck line. If you doubt a stretch, lay a notched edge on the bare wood of the centre line, once, and read between the frets."];
}

function howSure(report: FretReportParts, order: UnitOrder): readonly string[] {
  if (report.frets.length === 0) return [];
  const stated = report.survey.neck.limits?.fretHighMm !== undefined;
  const limit = `The limit, ${lengthWords(report.limitMm, order)}, is ${stated ? "the one stated for this neck" : "common practice, no source"}.`;
  return [`How sure: the truth lies within the give or take 19 times in 20. ${limit}`];
}
