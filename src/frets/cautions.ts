import type { WorkStep } from "./workOrder.js";

/** What hurts people where a fret is pulled and refitted. */
export const REFIT_CAUTION = "When you pull and refit: fret ends and cut-offs fly when nipped and are sharp, so cover your eyes and mind your hands. Heat and adhesives give off fumes and some glues cure hot: ventilate, and follow the maker's data sheet.";

/** What hurts people at each kind of work; nothing for steps that only look. */
const CAUTIONS: Readonly<Partial<Record<WorkStep["do"], string>>> = {
  seat: "Before you tap: strings off, the neck supported right under the fret, eyes covered; a tapped fret end or a chip can fly.",
  "pull and refit": REFIT_CAUTION,
  level: "When you level: metal and wood dust harms lungs and eyes; extraction, a mask that fits, no sweeping. Metal taken off does not come back: measure the crowns first.",
};

/**
 * The cautions that belong to the work advised, and whose word comes before this one.
 * @param mayRefit a low fret is named that may be pulled and refitted
 */
export function cautionsOf(work: readonly WorkStep[], mayRefit = false): readonly string[] {
  const told = [...new Set([...work.map((step) => step.do), ...(mayRefit ? (["pull and refit"] as const) : [])])].flatMap((what) => CAUTIONS[what] ?? []);
  return told.length === 0 ? [] : [...told, "Local rules, the makers of your tools and materials, and qualified practice come first."];
}
