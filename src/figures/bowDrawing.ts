import type { BowSpan } from "../bow/beam/span.js";
import type { Neck } from "../neck/neck.js";
import type { Profile } from "../shape/profile.js";
import type { Measured } from "../units/measured.js";

/** What one cause does to the neck, as the bow model gives it. */
export type DrawnCause = { readonly cause: string; readonly profile: Profile; readonly reliefMm: number };

/** A predicted bow by cause: each cause, and all of them together with the uncertainty of every height. */
export type DrawnBow = {
  readonly neck: Neck;
  /** What is predicted: `strung, rod at neutral`. */
  readonly title: string;
  readonly span: BowSpan;
  readonly causes: readonly DrawnCause[];
  /** Heights of the sum over the chord of the span, with their standard uncertainties. */
  readonly sum: Profile;
  readonly relief: Measured;
  /** Why the range is as wide as it is, and what narrows it; one sentence each. */
  readonly notes: readonly string[];
};
