import type { LevelPlan } from "../advice/levelPlan/levelPlan.js";
import type { Levelling } from "../advice/levelPlan/levelling.js";
import type { LineOverBeam } from "../advice/levelPlan/overBeam.js";
import type { Sufficiency } from "../advice/levelPlan/sufficiency.js";
import type { UnitOrder } from "../units/words.js";

/** A levelling on its way to becoming a figure. */
export type LevelDrawing = { readonly posed: Levelling; readonly plan: LevelPlan; readonly first: Sufficiency["first"]; readonly order: UnitOrder; readonly lines: readonly LineOverBeam[] };
