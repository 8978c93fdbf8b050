import type { Survey } from "../survey/survey.js";
import type { FretFinding } from "./finding.js";
import type { SeatingRecord } from "./seating.js";
import type { StandOut } from "./standOut.js";
import type { WorkStep } from "./workOrder.js";
import type { UnsplitBow } from "./unsplitBow.js";
import type { FretZone } from "./zones.js";

/** What a fret report holds before it is put into words. */
export type FretReportParts = {
  readonly survey: Survey;
  /** From this height over the neck line a fret counts as high, mm; common practice unless the neck file states it. */
  readonly limitMm: number;
  /** In order along the neck. */
  readonly frets: readonly FretFinding[];
  readonly zones: readonly FretZone[];
  /** Frets that stand up where three places cannot split a bow from a high fret. */
  readonly unsplit: readonly UnsplitBow[];
  readonly work: readonly WorkStep[];
  readonly seating: readonly SeatingRecord[];
  /** A plain outlier test of each line, as a check from outside; data, not told in words. */
  readonly standOuts: readonly StandOut[];
  /** Frets of which nothing was read. */
  readonly unread: readonly { readonly line: string; readonly frets: readonly number[] }[];
};
