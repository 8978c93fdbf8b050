import type { Neck } from "../../neck/neck.js";
import { NORMAL_95 } from "../../units/measured.js";
import { neckSizes } from "../section/assumed.js";
import { stringLoad } from "../strings/stringLoad.js";
import { woodProperties, type WoodProperties } from "../woods/woodProperties.js";
import type { BowPrior, BowPriors } from "./unknowns.js";

/** Free lengthening of board and neck between two seasons, as strains, each with its standard uncertainty; 0 without a season. */
export type SeasonStrains = { readonly board: number; readonly neck: number; readonly uBoard: number; readonly uNeck: number };

/** Thickness of a neck whose sizes were not given, mm: own estimate. */
const ASSUMED_THICKNESS_MM = 1.5;
const MEASURED_THICKNESS_MM = 0.15;
const TYPICAL_DEPTH_MM = 20;
/** Where tang and slot are not both stated, mm. Common practice, no source. */
const INTERFERENCE_MM = 0.03;
const UNKNOWN_INTERFERENCE_MM = 0.025;
/** Of tang and slot measured with a caliper and feeler leaves: own estimate. */
const MEASURED_INTERFERENCE_MM = 0.01;

/**
 * What is believed of a neck's unknowns before any of its bow was measured: book values with their scatter, wider where sizes were not given.
 * @param season free strains of the season asked about, if one is
 */
export function bowPriors(neck: Neck, season?: SeasonStrains): BowPriors {
  const load = stringLoad(neck);
  return {
    boardStiffness: stiffness("board", woodProperties(neck.woods?.board, "board"), neckSizes(neck).measured.board),
    neckStiffness: stiffness("neck", woodProperties(neck.woods?.neck, "neck"), neckSizes(neck).measured.total),
    interferenceMm: interference(neck),
    contactStiffnessNmm3: { scale: "log", middle: 1000, spread: Math.log(20) / (2 * NORMAL_95), why: "how hard a tang bears on its slot: 250 to 5000 N/mm3, own estimate, not measured" },
    crushingMPa: { scale: "log", middle: 32, spread: Math.log(70 / 15) / (2 * NORMAL_95), why: "pressure at which a slot's face yields: 15 to 70 MPa, own estimate" },
    neckFaceBowMm: { scale: "plain", middle: 0, spread: 0.05, why: "the neck's gluing face: planed straight within what an edge shows, own estimate" },
    rodResponse: { scale: "log", middle: 0.6, spread: Math.log(2), why: "a rod's bow per turn over that of its geometry: 0.6, twice or half of it, from memory" },
    rodDeadZoneTurns: { scale: "plain", middle: 0.1, spread: 0.1, why: "turns before a rod bears: own estimate" },
    stringTension: { scale: "plain", middle: 1, spread: load.shareU, why: `string tension: ${load.pull === undefined ? "not known" : load.each.length === 0 ? "no strings given, a usual set taken" : "from gauges and pitches"}, own estimate of its scatter` },
    stringHeightMm: { scale: "plain", middle: 0, spread: load.heightUMm, why: "string height above the board: own estimate" },
    boardSeasonStrain: { scale: "plain", middle: season?.board ?? 0, spread: season?.uBoard ?? 0, why: seasonWhy(season) },
    neckSeasonStrain: { scale: "plain", middle: season?.neck ?? 0, spread: season?.uNeck ?? 0, why: seasonWhy(season) },
    settling: { scale: "log", middle: Math.SQRT2, spread: Math.log(2) / (2 * NORMAL_95), why: "what bow under lasting load grows to: 1.0 to 2.0 times (Wood Handbook: about doubles over years)" },
  };
}

function seasonWhy(season: SeasonStrains | undefined): string {
  return season === undefined ? "no change of season asked about" : "free lengthening with moisture between the two seasons, book values";
}

/** Bending goes with the cube of the depth, so a thickness that was not measured counts three times. */
function stiffness(part: "board" | "neck", { modulusShareU: ofWood, modulusFrom }: WoodProperties, thicknessMeasured: boolean): BowPrior {
  const ofThickness = part === "board" ? 0 : (3 * (thicknessMeasured ? MEASURED_THICKNESS_MM : ASSUMED_THICKNESS_MM)) / TYPICAL_DEPTH_MM;
  const why = `stiffness of the ${part}: ${modulusFrom === "own value" ? "measured on this piece, true" : "a book value, true of this piece"} within ${(100 * ofWood).toFixed(0)} per cent two times in three${thicknessMeasured ? "" : ", and its thickness was not given"}`;
  return { scale: "log", middle: 1, spread: Math.sqrt(Math.log(1 + ofWood ** 2 + ofThickness ** 2)), why };
}

function interference({ tangs, slots }: Neck): BowPrior {
  const [tang, slot] = [tangs?.thicknessMm, slots?.widthMm];
  return tang === undefined || slot === undefined
    ? { scale: "plain", middle: INTERFERENCE_MM, spread: UNKNOWN_INTERFERENCE_MM, why: "how much thicker the tangs are than their slots: tang and slot not both given, common practice, no source" }
    : { scale: "plain", middle: tang - slot, spread: MEASURED_INTERFERENCE_MM, why: "how much thicker the tangs are than their slots, as given, within what a caliper can tell" };
}
