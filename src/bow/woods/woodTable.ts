/** Where a row was printed. */
export type WoodTable = "5-3b" | "5-5b" | "timbers" | "trade sheet";

/**
 * One wood of the table, as its source prints it. Stiffness is the modulus of elasticity in bending in million psi (1 psi = 6894.757 Pa),
 * at 12 % moisture and green; gravity is specific gravity on the volume at 12 % and green; shrinkage is green to ovendry, per cent;
 * ratios are the moduli across the grain (tangential) and in shear (along-tangential) over the modulus along the grain.
 */
export type BookWood = {
  /** As builders call it; the first is the one printed. */
  readonly names: readonly [string, ...string[]];
  readonly table: WoodTable;
  readonly moeMpsi: number;
  readonly moeGreenMpsi?: number;
  readonly gravity?: number;
  readonly gravityGreen?: number;
  readonly densityKgM3?: number;
  readonly shrinkage?: { readonly radial: number; readonly tangential: number; readonly volumetric?: number; readonly fromMemory?: true };
  readonly ratios?: { readonly tangential: number; readonly shear: number; readonly fromMemory?: true };
};

/** USDA Forest Products Laboratory, FPL-GTR-282; a work of the United States Government, public domain. */
const HANDBOOK = "Wood Handbook (2021)";
/** USDA, Agriculture Handbook 607, public domain. */
const TIMBERS = "M. Chudnoff, Tropical Timbers of the World (1984)";

/** Where the rows come from. Shrinkage: Tables 4-3 (of 5-3b) and 4-4 (of 5-5b) of the same book; elastic ratios: its Table 5-1. */
export const WOOD_SOURCES: Readonly<Record<WoodTable, string>> = {
  "5-3b": `${HANDBOOK}, Table 5-3b`,
  "5-5b": `${HANDBOOK}, Table 5-5b`,
  timbers: TIMBERS,
  "trade sheet": "a trade data sheet of unstated origin: weak, its stiffness looks high against other lists",
};

/** Table 5-5b prints gravity on green volume only. Not in these sources: katalox. */
export const BOOK_WOODS: readonly BookWood[] = [
  { names: ["white ash", "ash"], table: "5-3b", moeGreenMpsi: 1.44, moeMpsi: 1.74, gravityGreen: 0.55, gravity: 0.6, shrinkage: { radial: 4.9, tangential: 7.8, volumetric: 13.3 }, ratios: { tangential: 0.08, shear: 0.077, fromMemory: true } },
  { names: ["basswood"], table: "5-3b", moeGreenMpsi: 1.04, moeMpsi: 1.46, gravityGreen: 0.32, gravity: 0.37, shrinkage: { radial: 6.6, tangential: 9.3, volumetric: 15.8 }, ratios: { tangential: 0.027, shear: 0.046, fromMemory: true } },
  { names: ["beech"], table: "5-3b", moeGreenMpsi: 1.38, moeMpsi: 1.72, gravityGreen: 0.56, gravity: 0.64, shrinkage: { radial: 5.5, tangential: 11.9, volumetric: 17.2 } },
  { names: ["sweet birch"], table: "5-3b", moeGreenMpsi: 1.65, moeMpsi: 2.17, gravityGreen: 0.6, gravity: 0.65, shrinkage: { radial: 6.5, tangential: 9.0, volumetric: 15.6 } },
  { names: ["yellow birch", "birch"], table: "5-3b", moeGreenMpsi: 1.5, moeMpsi: 2.01, gravityGreen: 0.55, gravity: 0.62, shrinkage: { radial: 7.3, tangential: 9.5, volumetric: 16.8 }, ratios: { tangential: 0.05, shear: 0.068, fromMemory: true } },
  { names: ["butternut"], table: "5-3b", moeGreenMpsi: 0.97, moeMpsi: 1.18, gravityGreen: 0.36, gravity: 0.38, shrinkage: { radial: 3.4, tangential: 6.4, volumetric: 10.6 } },
  { names: ["black cherry", "cherry"], table: "5-3b", moeGreenMpsi: 1.31, moeMpsi: 1.49, gravityGreen: 0.47, gravity: 0.5, shrinkage: { radial: 3.7, tangential: 7.1, volumetric: 11.5 }, ratios: { tangential: 0.086, shear: 0.097, fromMemory: true } },
  { names: ["pecan"], table: "5-3b", moeGreenMpsi: 1.37, moeMpsi: 1.73, gravityGreen: 0.6, gravity: 0.66, shrinkage: { radial: 4.9, tangential: 8.9, volumetric: 13.6 } },
  { names: ["mockernut hickory"], table: "5-3b", moeGreenMpsi: 1.57, moeMpsi: 2.22, gravityGreen: 0.64, gravity: 0.72, shrinkage: { radial: 7.7, tangential: 11.0, volumetric: 17.8 } },
  { names: ["pignut hickory"], table: "5-3b", moeGreenMpsi: 1.65, moeMpsi: 2.26, gravityGreen: 0.66, gravity: 0.75, shrinkage: { radial: 7.2, tangential: 11.5, volumetric: 17.9 } },
  { names: ["shagbark hickory", "hickory"], table: "5-3b", moeGreenMpsi: 1.57, moeMpsi: 2.16, gravityGreen: 0.64, gravity: 0.72, shrinkage: { radial: 7.0, tangential: 10.5, volumetric: 16.7, fromMemory: true } },
  { names: ["black locust", "locust"], table: "5-3b", moeGreenMpsi: 1.85, moeMpsi: 2.05, gravityGreen: 0.66, gravity: 0.69 },
  { names: ["bigleaf maple"], table: "5-3b", moeGreenMpsi: 1.1, moeMpsi: 1.45, gravityGreen: 0.44, gravity: 0.48, shrinkage: { radial: 3.7, tangential: 7.1, volumetric: 11.6, fromMemory: true } },
  { names: ["black maple"], table: "5-3b", moeGreenMpsi: 1.33, moeMpsi: 1.62, gravityGreen: 0.52, gravity: 0.57, shrinkage: { radial: 4.8, tangential: 9.3, volumetric: 14.0, fromMemory: true } },
  { names: ["red maple", "soft maple"], table: "5-3b", moeGreenMpsi: 1.39, moeMpsi: 1.64, gravityGreen: 0.49, gravity: 0.54, shrinkage: { radial: 4.0, tangential: 8.2, volumetric: 12.6, fromMemory: true }, ratios: { tangential: 0.067, shear: 0.074, fromMemory: true } },
  { names: ["silver maple"], table: "5-3b", moeGreenMpsi: 0.94, moeMpsi: 1.14, gravityGreen: 0.44, gravity: 0.47, shrinkage: { radial: 3.0, tangential: 7.2, volumetric: 12.0, fromMemory: true } },
  { names: ["sugar maple", "hard maple", "rock maple", "maple"], table: "5-3b", moeGreenMpsi: 1.55, moeMpsi: 1.83, gravityGreen: 0.56, gravity: 0.63, shrinkage: { radial: 4.8, tangential: 9.9, volumetric: 14.7 }, ratios: { tangential: 0.065, shear: 0.063 } },
  { names: ["white oak", "oak"], table: "5-3b", moeGreenMpsi: 1.25, moeMpsi: 1.78, gravityGreen: 0.6, gravity: 0.68, shrinkage: { radial: 5.6, tangential: 10.5, volumetric: 16.3 } },
  { names: ["black walnut", "walnut"], table: "5-3b", moeGreenMpsi: 1.42, moeMpsi: 1.68, gravityGreen: 0.51, gravity: 0.55, shrinkage: { radial: 5.5, tangential: 7.8, volumetric: 12.8 }, ratios: { tangential: 0.056, shear: 0.062, fromMemory: true } },
  { names: ["yellow-poplar", "poplar"], table: "5-3b", moeGreenMpsi: 1.22, moeMpsi: 1.58, gravityGreen: 0.4, gravity: 0.42, shrinkage: { radial: 4.6, tangential: 8.2, volumetric: 12.7 }, ratios: { tangential: 0.043, shear: 0.069, fromMemory: true } },
  { names: ["bubinga"], table: "5-5b", moeMpsi: 2.48, gravityGreen: 0.71 },
  { names: ["courbaril", "jatoba"], table: "5-5b", moeGreenMpsi: 1.84, moeMpsi: 2.16, gravityGreen: 0.71, shrinkage: { radial: 4.5, tangential: 8.5, volumetric: 12.7 } },
  { names: ["macawood", "macacauba"], table: "5-5b", moeGreenMpsi: 3.02, moeMpsi: 3.2, gravityGreen: 0.94, shrinkage: { radial: 2.7, tangential: 3.5, volumetric: 6.5 } },
  { names: ["African mahogany", "khaya"], table: "5-5b", moeGreenMpsi: 1.15, moeMpsi: 1.4, gravityGreen: 0.42, shrinkage: { radial: 2.5, tangential: 4.5, volumetric: 8.8 }, ratios: { tangential: 0.05, shear: 0.059, fromMemory: true } },
  { names: ["true mahogany", "mahogany", "Honduras mahogany"], table: "5-5b", moeGreenMpsi: 1.34, moeMpsi: 1.5, gravityGreen: 0.45, shrinkage: { radial: 3.0, tangential: 4.1, volumetric: 7.8 }, ratios: { tangential: 0.064, shear: 0.086, fromMemory: true } },
  { names: ["purpleheart", "amaranth"], table: "5-5b", moeGreenMpsi: 2.0, moeMpsi: 2.27, gravityGreen: 0.67, shrinkage: { radial: 3.2, tangential: 6.1, volumetric: 9.9 } },
  { names: ["Brazilian rosewood"], table: "5-5b", moeGreenMpsi: 1.84, moeMpsi: 1.88, gravityGreen: 0.8, shrinkage: { radial: 2.9, tangential: 4.6, volumetric: 8.5 } },
  { names: ["Indian rosewood", "rosewood", "East Indian rosewood"], table: "5-5b", moeGreenMpsi: 1.19, moeMpsi: 1.78, gravityGreen: 0.75, shrinkage: { radial: 2.7, tangential: 5.8, volumetric: 8.5 } },
  { names: ["goncalo alves"], table: "5-5b", moeGreenMpsi: 1.94, moeMpsi: 2.23, gravityGreen: 0.84 },
  { names: ["ipe", "lapacho"], table: "5-5b", moeGreenMpsi: 2.92, moeMpsi: 3.14, gravityGreen: 0.92 },
  { names: ["ovangkol"], table: "5-5b", moeMpsi: 2.56, gravityGreen: 0.67 },
  { names: ["sapele"], table: "5-5b", moeGreenMpsi: 1.49, moeMpsi: 1.82, gravityGreen: 0.55, shrinkage: { radial: 4.6, tangential: 7.4, volumetric: 14.0 } },
  { names: ["Spanish-cedar", "cedro"], table: "5-5b", moeGreenMpsi: 1.31, moeMpsi: 1.44, gravityGreen: 0.41, shrinkage: { radial: 4.2, tangential: 6.3, volumetric: 10.3 } },
  { names: ["teak"], table: "5-5b", moeGreenMpsi: 1.37, moeMpsi: 1.55, gravityGreen: 0.55, shrinkage: { radial: 2.5, tangential: 5.8, volumetric: 7.0 } },
  // Shrinkage printed to 12 % (radial 5.5, tangential 6.5), here carried on to ovendry in proportion, 30/18.
  { names: ["African ebony", "ebony"], table: "timbers", moeMpsi: 2.56, gravityGreen: 0.82, densityKgM3: 1009, shrinkage: { radial: 9.17, tangential: 10.83 } },
  // Printed as ranges: stiffness 1.56 to 1.75, density 673 to 817; their middles here.
  { names: ["African padauk", "padauk"], table: "timbers", moeMpsi: 1.655, gravityGreen: 0.61, densityKgM3: 745, shrinkage: { radial: 3.3, tangential: 5.2, volumetric: 7.6 } },
  { names: ["wenge"], table: "trade sheet", moeMpsi: 3.053, gravity: 0.87, shrinkage: { radial: 5.9, tangential: 9.1 } },
];
