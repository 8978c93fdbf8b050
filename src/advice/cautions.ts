/** Cautions of the steps that are advised here; common practice, no source. Each defers to those who know the part or the place. */
const FIRST = "The rod maker, the makers of strings and adhesives, local rules and qualified practice come first.";

/** Where a rod is to be turned. */
export const ROD_CAUTIONS: readonly string[] = [
  "Never more than a quarter turn at a time; wait, then read again.",
  "Stop when resistance rises fast, at a creak, or when a quarter turn moves the middle less than your readings can see. Do not look for the end stop: a rod that is forced breaks, and splits the neck.",
  "Strings at pitch can break and whip: let them down before you turn a stiff rod, keep your face away, cover your eyes.",
  FIRST,
];

/** Where a neck that has no rod is to be strung. */
export const NO_ROD_CAUTIONS: readonly string[] = ["Strings at pitch can break and whip: bring them up by steps, keep your face away, cover your eyes.", "The makers of the strings, local rules and qualified practice come first."];

/** Where a board is to be glued or flattened. */
export const GLUE_CAUTIONS: readonly string[] = [
  "Adhesives give off fumes and some cure hot: ventilate, gloves, and follow the maker's data sheet.",
  "Clamp through a caul shaped to the board, not on single crowns. Sanding and scraping make dust that harms lungs: extraction, and a mask that fits.",
  FIRST,
];

/** Where a rod is to be fitted and its channel cut. */
export const FIT_CAUTIONS: readonly string[] = [
  "Adhesive only where the rod maker allows it, none on threads or moving parts, and no turning of the nut until it has cured.",
  "A channel is deepened with the neck held fast, hands behind the edge, eyes and lungs protected from chips and dust. What stays below it must not grow too thin.",
  FIRST,
];
