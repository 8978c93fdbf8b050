import type { WrittenReading } from "./gap.js";
import type { Origin, Place, SeatingEntry, SettingPath, Surface, Tool } from "./reading.js";
import type { StateEntry } from "./state.js";

/** One reading as typed and understood by itself; what it means beside the others is not judged yet. */
export type Entry = {
  readonly tool: Tool;
  /** Whether the tool's size was stated by the user. */
  readonly toolStated: boolean;
  readonly surface: Surface;
  readonly path: SettingPath;
  /** Name of the setting in its file; readings of the same name, tool, surface and path stand under one setting-down. */
  readonly setting: string;
  /** The tool lay turned end for end. */
  readonly turned?: boolean;
  /** Empty along a diagonal. */
  readonly line: string;
  readonly place: Place;
  readonly reading: Extract<WrittenReading, { readonly kind: "gap" | "mark" }>;
  readonly note: string;
  readonly origin: Origin;
};

/** What one file says of one survey. Files of the same stage and day are joined by `sheetsOf`. */
export type Draft = {
  readonly stage: string;
  readonly date: string;
  readonly state: readonly StateEntry[];
  readonly entries: readonly Entry[];
  readonly seating: readonly SeatingEntry[];
  readonly notes: readonly string[];
  /** Defaults of how this file was read, in a builder's words. */
  readonly assumed: readonly string[];
  /** Stated by the user; absent: common practice. */
  readonly feelMm?: number;
};
