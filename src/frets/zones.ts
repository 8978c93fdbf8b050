import type { Survey, SurveyZone } from "../survey/survey.js";
import { capital } from "../units/text.js";
import { measuredWords } from "../units/words.js";
import type { UnitOrder } from "../units/words.js";
import { fretHeights } from "./fretHeights.js";
import { fretsWords } from "./lists.js";
import { looksUnderCrowns } from "./underCrown.js";
import type { LookUnderCrown } from "./underCrown.js";

/** Neighbouring frets that stand up together, told apart from single frets: why, and the reading that would tell where it is open. */
export type FretZone = SurveyZone & {
  /** `board`: the board is raised there; `frets`: these frets are not seated; `open`: what was read cannot tell. */
  readonly reason: "board" | "frets" | "open";
  /** Share of the zone's probability that the board is raised, from readings on the wood. */
  readonly boardShare: number;
  /** What decided the reason. */
  readonly from: "wood" | "looks under the crowns" | "nothing yet";
  /** Frets next to an open zone that more likely than not stand over the limit by themselves: what lifts the zone may lift them. */
  readonly beside: readonly number[];
  /** Frets under whose crowns a leaf tells most: first, middle and last. */
  readonly lookAt: readonly number[];
  readonly describe: (order?: UnitOrder) => string;
};

const NEARLY_SURE = 0.95;
const LIKELY = 0.5;

/** The zones of a survey, each with its reason as far as readings on the wood or looks under its crowns decide it. */
export function fretZones(survey: Survey): readonly FretZone[] {
  const looks = looksUnderCrowns(survey.sheet);
  const high = survey.zones.length === 0 ? [] : fretHeights(survey).flatMap(({ fret, stands }) => (stands === "high" ? [fret] : []));
  return survey.zones.map((zone): FretZone => {
    const inside = looks.filter(({ fret }) => fret >= zone.fromFret && fret <= zone.toFret);
    const boardShare = zone.probabilityBoard / zone.probability;
    const why = reasonOf(zone, boardShare, inside);
    const beside = isToldOpen({ ...zone, ...why }) ? standingBeside(zone, high) : [];
    const judged = { ...zone, boardShare, ...why, beside, lookAt: [zone.fromFret, Math.round((zone.fromFret + zone.toFret) / 2), zone.toFret] };
    return { ...judged, describe: (order: UnitOrder = "mm first") => zoneWords(judged, order) };
  });
}

/** The zone that a fret belongs to, where it is more likely than not. */
export function zoneOf(zones: readonly FretZone[], fret: number): FretZone | undefined {
  return zones.find((zone) => zone.probability > LIKELY && fret >= zone.fromFret && fret <= zone.toFret);
}

/** The open zone that a fret stands up beside. */
export function besideZone(zones: readonly FretZone[], fret: number): FretZone | undefined {
  return zones.find(({ beside }) => beside.includes(fret));
}

/** More likely than not a zone, and nothing read tells why. */
export function isToldOpen({ probability, reason }: Pick<FretZone, "probability" | "reason">): boolean {
  return probability > LIKELY && reason === "open";
}

/** The next frets outward, as long as each of them stands up. */
function standingBeside({ fromFret, toFret }: SurveyZone, high: readonly number[]): readonly number[] {
  const run = (fret: number, step: number): readonly number[] => (high.includes(fret) ? [fret, ...run(fret + step, step)] : []);
  return [...[...run(fromFret - 1, -1)].reverse(), ...run(toFret + 1, 1)];
}

/** Wood readings decide where they leave little doubt; else gaps of at least half the zone's height under most crowns looked at, or no gap worth the name under any. */
function reasonOf(zone: SurveyZone, boardShare: number, looks: readonly LookUnderCrown[]): Pick<FretZone, "reason" | "from"> {
  if (boardShare > NEARLY_SURE || boardShare < 1 - NEARLY_SURE) return { reason: boardShare > LIKELY ? "board" : "frets", from: "wood" };
  const open = looks.filter(({ atLeastMm }) => atLeastMm > 0.5 * zone.up.value).length;
  const closed = looks.filter(({ atMostMm }) => atMostMm < 0.5 * zone.up.value).length;
  if (looks.length > 0 && open > 0.5 * looks.length) return { reason: "frets", from: "looks under the crowns" };
  if (looks.length > 0 && closed === looks.length) return { reason: "board", from: "looks under the crowns" };
  return { reason: "open", from: "nothing yet" };
}

type Told = Omit<FretZone, "describe">;

/** The zone in words: where, how much, why as far as it is known, and the reading that tells where it is not. */
function zoneWords(zone: Told, order: UnitOrder): string {
  const frets = `frets ${zone.fromFret} to ${zone.toFret}`;
  const sure = zone.probability > NEARLY_SURE ? "stand" : zone.probability > LIKELY ? "probably stand" : "perhaps stand";
  return `Together ${frets} ${sure} up by ${measuredWords(zone.up, order)}. ${besideWords(zone)}${reasonWords(zone)}`;
}

function besideWords({ beside }: Told): string {
  return beside.length === 0 ? "" : `${capital(fretsWords(beside))} beside them ${beside.length === 1 ? "stands" : "stand"} up too: find out first why they do. `;
}

function reasonWords(zone: Told): string {
  const board = Math.round(100 * zone.boardShare);
  const wood = `lay a notched edge on the bare wood from before fret ${zone.fromFret} to past fret ${zone.toFret}`;
  if (zone.reason === "open") return `Either the board is raised there (${board} %) or these frets are not seated (${100 - board} %); fret tops cannot tell, and the relief allows for both. To tell: slide a thin leaf under their crowns, or ${wood}. Do not tap or file any of them yet.`;
  const why = zone.from === "wood" ? "the readings on the wood say so" : zone.reason === "frets" ? "a leaf goes under their crowns" : "no leaf goes under their crowns";
  return zone.reason === "frets" ? `These frets are not seated: ${why}.` : `The board is raised there, the frets are seated: ${why}.`;
}
