import type { LevelPlan } from "../advice/levelPlan/levelPlan.js";
import type { Levelling } from "../advice/levelPlan/levelling.js";
import type { LineOverBeam } from "../advice/levelPlan/overBeam.js";
import type { Sufficiency } from "../advice/levelPlan/sufficiency.js";
import type { UnitOrder } from "../units/words.js";

/** A levelling on its way to becoming a figure. */
export type LevelDrawing = { readonly posed: Levelling; readonly plan: LevelPlan; readonly first: Sufficiency["first"]; readonly order: UnitOrder; readonly lines: readonly LineOverBeam[]; readonly look: LevelLook };

/** How large a levelling is written, and what is written on the drawing itself. */
export type LevelLook = {
  /** Type of the fret numbers and the headings over the panels, and of the heights beside them, px. */
  readonly namePx: number;
  readonly heightPx: number;
  readonly paper: string;
  readonly panel: string;
  /** A card has its own title, key and scale beside the drawing; over each panel it reads where the beam bears first. */
  readonly isCard: boolean;
};
