import type { Neck } from "../../neck/neck.js";
import { lengthWords } from "../../units/words.js";
import type { GeometryAlong } from "../section/geometry.js";
import type { Slot } from "../tang/slots.js";

/** Common practice, no source; less in a thin board. */
const SLOT_DEPTH_MM = 3;
const MOST_OF_BOARD = 0.5;
/** Share of the slot's depth on which a tang bears: middle of the study's range. */
const CONTACT_SHARE = 0.8;

/** The slots of a neck at its frets, defaults filled in and listed; so is what lies outside what the tang-pressure study covered. */
export function slotsOf({ slots: given, tangs }: Neck, at: GeometryAlong): { readonly slots: readonly Slot[]; readonly assumed: readonly string[] } {
  const meanMm = Float64Array.from(at.xMm, (_, index) => (at.board.areaMm2[index] ?? 0) / (at.widthMm[index] ?? 1));
  const depthMm = given?.depthMm ?? Math.min(SLOT_DEPTH_MM, MOST_OF_BOARD * Math.min(...meanMm));
  const contactMm = Math.min(depthMm, tangs?.contactDepthMm ?? CONTACT_SHARE * depthMm);
  const cutBackMm = tangs?.cutBackMm ?? 0;
  const slots = Array.from(at.xMm, (xMm, index): Slot => {
    const widthMm = at.widthMm[index] ?? 0;
    return { xMm, widthMm, boardMm: meanMm[index] ?? 0, depthMm, contactMm, bearingShare: 1 - (2 * cutBackMm) / widthMm, neckMm: at.depthMm[index] ?? 0 };
  });
  return {
    slots,
    assumed: [
      ...(given?.depthMm === undefined ? [`depth of the slots: not given, taken as ${lengthWords(depthMm)} (common practice, no source)`] : []),
      ...(tangs?.contactDepthMm === undefined ? [`how deep the tangs bear on their slots: not given, taken as ${lengthWords(contactMm)}, 0.8 of the slot's depth (own estimate)`] : []),
      ...outsideOfStudy(slots),
    ],
  };
}

/** The range of the study behind the closed form (own finite-element study); beyond it the bow by tangs is a guess. */
function outsideOfStudy(slots: readonly Slot[]): readonly string[] {
  const between = (values: readonly number[], least: number, most: number): boolean => values.every((value) => value >= least && value <= most);
  const pitches = slots.slice(1).map((slot, index) => (slot.xMm - (slots[index]?.xMm ?? 0)) / slot.boardMm);
  const faults = [
    ...(between(slots.map((slot) => slot.depthMm / slot.boardMm), 0.25, 0.58) ? [] : ["slots between 0.25 and 0.58 of the board's mean thickness"]),
    ...(between(slots.map((slot) => slot.contactMm / slot.depthMm), 0.6, 1) ? [] : ["tangs that bear on 0.6 of the slot's depth or more"]),
    ...(between(pitches, 1.25, Infinity) ? [] : ["frets at least 1.25 times the board's thickness apart"]),
    ...(between(slots.map((slot) => slot.neckMm / slot.boardMm), 1.4, 4) ? [] : ["a neck 1.4 to 4 times as deep as its board"]),
  ];
  return faults.length === 0 ? [] : [`bow by tang pressure: the study behind it covers only ${faults.join(", ")}; this neck lies outside, so take that bow as a guess`];
}
