import { placeWords } from "./entries.js";
import type { Gap, GapReading, RockerReading, SurveySheet } from "./reading.js";

/**
 * The first number of a sheet that cannot be one of a reading, with what was expected and what to do; undefined where there is none. What is read from text or CSV has none:
 * this is for sheets that are made in code.
 */
export function impossibleReading({ settings, rockers, feelMm }: SurveySheet): string | undefined {
  if (!(feelMm >= 0 && Number.isFinite(feelMm))) return `feelMm ${feelMm}; expected the feel of the hand in mm, 0 or more (0.005 where it is not known)`;
  const ofGaps = settings.flatMap(({ label, readings }) => readings.flatMap((reading) => told(reading, `${placeWords(reading.place.label)}, ${label}`, oddGap(reading.gap))));
  const ofRockers = rockers.flatMap((rocker) => told(rocker, `${placeWords(String(rocker.frets[1]))}, ${rocker.line}`, oddInterval(rocker.deltaMm.low, rocker.deltaMm.high, rocker.endsUMm, "deltaMm")));
  return [...ofGaps, ...ofRockers][0];
}

function told({ written, origin: { source, row } }: GapReading | RockerReading, where: string, odd: string | undefined): readonly string[] {
  return odd === undefined ? [] : [`the reading "${written}" at ${where} (${source}, row ${row}), with ${odd}`];
}

function oddGap(gap: Gap): string | undefined {
  if (gap.kind === "interval") return oddInterval(gap.lowMm, gap.highMm, gap.endsUMm, "a gap");
  if (!Number.isFinite(gap.gapMm)) return `gapMm ${gap.gapMm}; expected the gap in mm (leave the reading out where nothing was measured)`;
  if (gap.uMm > 0 && Number.isFinite(gap.uMm)) return undefined;
  return `uMm ${gap.uMm}; expected a standard uncertainty in mm above 0: no reading is exact (give what the eye or the tool is good for, as 0.003 for what was seen touching and 0.01 for a dial; what a leaf says is an interval and has none)`;
}

function oddInterval(low: number, high: number, endsUMm: number, what: string): string | undefined {
  if (!(low <= high && low < Infinity && high > -Infinity)) return `${what} from ${low} to ${high} mm; expected an interval from its lower to its higher end (Infinity where it is open above)`;
  return endsUMm >= 0 && Number.isFinite(endsUMm) ? undefined : `endsUMm ${endsUMm}; expected the uncertainty of the interval's ends in mm, 0 or more (0.003 for usual leaves)`;
}
