import { nearestName } from "../../neck/nearest.js";
import type { Wood } from "../../neck/neck.js";
import { BOOK_WOODS, WOOD_SOURCES, type BookWood } from "./woodTable.js";

/** What the bow model needs to know of a piece of wood: the builder's own values where given, a book's for the rest. */
export type WoodProperties = {
  /** As the builder named it. */
  readonly name: string;
  /** Stiffness along the grain, MPa. */
  readonly modulusMPa: number;
  /** Standard uncertainty of that stiffness as a share of it. */
  readonly modulusShareU: number;
  readonly modulusFrom: "own value" | "book";
  readonly densityKgM3: number;
  /** Strain per per cent of moisture gained, by direction of the grain. */
  readonly swellingPerPercent: {
    readonly along: number;
    readonly alongU: number;
    readonly radial: number;
    readonly tangential: number;
  };
  /** Modulus across the grain (tangential) and in shear, over the modulus along it. */
  readonly tangentialOverLong: number;
  readonly shearOverLong: number;
  /** What was not given and what was taken in its place, from where, in a builder's words. */
  readonly assumed: readonly string[];
};

const MPA_PER_MPSI = 6894.757293168;

/** Published moduli hold the shear deflection of a short test beam; without it wood is this much stiffer (Wood Handbook ch. 5, footnote of Table 5-3). */
export const WITHOUT_SHEAR = 1.1;

/** Coefficient of variation of one board about the mean of its kind (Wood Handbook ch. 5, from memory). */
const PIECE_SPREAD = 0.22;
/** A trade sheet may be this far off in itself (own judgement). */
const WEAK_SOURCE_SPREAD = 0.25;
/** Woods of necks and boards differ by about this much about their middle (standard deviation over this table). */
const KIND_SPREAD = 0.25;
/** A stiffness that the builder measured on this piece (own judgement). */
const OWN_SPREAD = 0.05;

/** Shrinkage is spread over the moisture from fibre saturation, about 30 % (Wood Handbook ch. 4). */
const SATURATION_PERCENT = 30;
/** Along the grain wood shrinks 0.1 to 0.2 % from green to ovendry (Wood Handbook ch. 4); evenly likely between. */
const ALONG_PER_PERCENT = 0.0015 / SATURATION_PERCENT;
const ALONG_U_PER_PERCENT = 0.0005 / SATURATION_PERCENT / Math.sqrt(3);

/** Of no wood in particular: those of the tang-pressure study. */
const COMMON_RATIOS = { tangential: 0.09, shear: 0.065 } as const;
const COMMON_SHRINKAGE = { radial: 4, tangential: 7.5 } as const;
const COMMON_GRAVITY = 0.6;
const COMMON_MPSI = 1.8;

/**
 * The properties of a wood by the builder's name for it; values the builder gives override the book's.
 * Book stiffness is the published modulus in bending times 1.10, since the published one contains shear; one piece of a kind differs from
 * the kind's mean by about 22 %. Only a wood that names its moisture is corrected for it, a few per cent.
 * @param wood as the neck file has it; undefined where the builder named none
 * @param part what it is the wood of, for the words: `board`, `neck`
 * @throws {RangeError} a name that is not in the table, where no own stiffness is given
 * @example near(woodProperties({ name: "hard maple" }, "neck").modulusMPa, 1.83 * 6894.757 * 1.1, { rel: 1e-6 });
 */
export function woodProperties(wood: Wood | undefined, part: string): WoodProperties {
  const book = wood === undefined ? undefined : bookWood(wood.name);
  if (wood !== undefined && book === undefined && wood.modulusMPa === undefined) throw unknownWood(wood.name, part);
  const shrinkage = book?.shrinkage ?? COMMON_SHRINKAGE;
  const ratios = book?.ratios ?? COMMON_RATIOS;
  return {
    name: wood?.name ?? "a hard wood, kind not given",
    ...stiffness(wood, book),
    densityKgM3: wood?.densityKgM3 ?? bookDensity(book),
    swellingPerPercent: {
      along: ALONG_PER_PERCENT, alongU: ALONG_U_PER_PERCENT,
      radial: shrinkage.radial / 100 / SATURATION_PERCENT, tangential: shrinkage.tangential / 100 / SATURATION_PERCENT,
    },
    tangentialOverLong: ratios.tangential, shearOverLong: ratios.shear,
    assumed: assumedWords(wood, book, part),
  };
}

/** The wood of the table with this name, or undefined; case, blanks and dashes do not count. */
function bookWood(name: string): BookWood | undefined {
  return BOOK_WOODS.find(({ names }) => names.some((known) => plain(known) === plain(name)));
}

/** All names by which `woodProperties` knows a wood. */
export function knownWoods(): readonly string[] {
  return BOOK_WOODS.flatMap(({ names }) => names);
}

/**
 * Stiffness at another moisture than 12 %: E12 (E12/Egreen)^((12 - M)/13), up to 25 % moisture.
 * @param at12 and green: in any one unit; the result is in it
 * @source Wood Handbook eq. 5-3 with Mp = 25, from memory; a rougher rule of 0.8 to 2.8 % a per cent (ANC-18, 1951) agrees
 * @example near(modulusAtMoisture(1.83, 1.55, 6), 1.9758, { abs: 5e-5 });
 */
export function modulusAtMoisture(at12: number, green: number, moisturePercent: number): number {
  return at12 * (at12 / green) ** ((12 - Math.min(25, moisturePercent)) / 13);
}

function stiffness(wood: Wood | undefined, book: BookWood | undefined): Pick<WoodProperties, "modulusMPa" | "modulusShareU" | "modulusFrom"> {
  if (wood?.modulusMPa !== undefined) return { modulusMPa: wood.modulusMPa, modulusShareU: OWN_SPREAD, modulusFrom: "own value" };
  const at12 = (book?.moeMpsi ?? COMMON_MPSI) * MPA_PER_MPSI * WITHOUT_SHEAR;
  const green = (book?.moeGreenMpsi ?? Number.NaN) * MPA_PER_MPSI * WITHOUT_SHEAR;
  const isCorrected = wood?.moisturePercent !== undefined && Number.isFinite(green);
  const more = book === undefined ? KIND_SPREAD : book.table === "trade sheet" ? WEAK_SOURCE_SPREAD : 0;
  return { modulusMPa: isCorrected ? modulusAtMoisture(at12, green, wood.moisturePercent) : at12, modulusShareU: Math.hypot(PIECE_SPREAD, more), modulusFrom: "book" };
}

/** At 12 % moisture. Where a source has gravity on green volume only, the volume shrinks by 18/30 of the whole. */
function bookDensity(book: BookWood | undefined): number {
  if (book?.densityKgM3 !== undefined) return book.densityKgM3;
  const green = book?.gravityGreen ?? COMMON_GRAVITY;
  const volumetric = book?.shrinkage?.volumetric ?? 26.5 * green; // Wood Handbook ch. 4, from memory: 0.265 times gravity
  return 1000 * 1.12 * (book?.gravity ?? green / (1 - (volumetric / 100) * (18 / SATURATION_PERCENT)));
}

function assumedWords(wood: Wood | undefined, book: BookWood | undefined, part: string): readonly string[] {
  const own = stiffness(wood, book);
  if (own.modulusFrom === "own value") return [`stiffness of the ${part}: your own value of ${gigapascals(own.modulusMPa)}, taken as good to ${percent(OWN_SPREAD)} (own judgement)`, ...ratioWords(book, part)];
  const from = book === undefined ? "the middle of common hard woods" : `${book.names[0]}, ${WOOD_SOURCES[book.table]}`;
  const named = wood === undefined ? `wood of the ${part}: not given` : `wood of the ${part}: ${wood.name}`;
  return [`${named}; stiffness along the grain taken as ${gigapascals(own.modulusMPa)}, one piece in three is more than ${percent(own.modulusShareU)} off (${from}; published bending stiffness plus 10 % for the shear in it)`, ...ratioWords(book, part)];
}

function ratioWords(book: BookWood | undefined, part: string): readonly string[] {
  if (book?.ratios !== undefined) return book.ratios.fromMemory === true ? [`stiffness across the grain of the ${part}: Wood Handbook Table 5-1, from memory`] : [];
  return [`stiffness across the grain of the ${part}: ${COMMON_RATIOS.tangential} of that along it (no published value for this wood)`];
}

function unknownWood(name: string, part: string): RangeError {
  const near = nearestName(name, knownWoods());
  const meant = near === undefined ? "" : `did you mean "${near}"? `;
  return new RangeError(`Cannot look up the wood of the ${part}, "${name}": ${meant}Known are ${BOOK_WOODS.map(({ names }) => names[0]).join(", ")}. For any other wood give its stiffness yourself: {"name": "${name}", "modulusMPa": 12000}`);
}

function plain(name: string): string {
  return name.toLowerCase().replace(/[\s_-]/g, "");
}

function gigapascals(mpa: number): string {
  return `${(mpa / 1000).toFixed(1)} GPa`;
}

function percent(share: number): string {
  return `${(100 * share).toFixed(0)} %`;
}
