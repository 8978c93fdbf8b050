import { lengthMm } from "../units/length.js";
import type { Problem } from "../units/problem.js";
import { DEFAULT_RADIUS_MM, defaultWidthMm, mmAndInWords } from "./defaults.js";
import { fretDistanceMm } from "./frets.js";
import { wrongLimits } from "./limits.js";
import type { NeckFile } from "./neckSchema.js";
import { shown } from "./shown.js";

/** What no key of a neck file shows alone: keys that contradict each other or the neck's defaults. */
export function contradictions(file: NeckFile, source: string): readonly Problem[] {
  return [...jointProblems(file, source), ...radiusProblems(file, source), ...lineProblems(file, source), ...sizeProblems(file, source), ...rodProblems(file, source), ...barProblems(file, source), ...limitProblems(file, source)];
}

function jointProblems(file: NeckFile, source: string): readonly Problem[] {
  if (file.bodyJoint === undefined || file.bodyJoint <= file.frets) return [];
  return [{ source, column: "bodyJoint", found: String(file.bodyJoint), expected: `a fret from 1 to ${file.frets}, since the neck has ${file.frets} frets`, repair: "check bodyJoint and frets" }];
}

function radiusProblems(file: NeckFile, source: string): readonly Problem[] {
  const radius = radiusOf(file);
  const width = file.widths ?? defaultWidthMm(file.scaleLength);
  return (["nut", "lastFret"] as const).flatMap((end) =>
    radius[end] > width[end] / 2
      ? []
      : [{
          source,
          column: typeof file.fingerboardRadius === "object" ? `fingerboardRadius.${end}` : "fingerboardRadius",
          found: mmAndInWords(radius[end]),
          expected: `more than half the width of the board there, ${mmAndInWords(width[end] / 2)}`,
          repair: 'write the unit, as "12 in"',
        }],
  );
}

/** A line's name is a column heading and a word in tables. */
const LINE_NAME = /^[^\s\d@|,;:=>#"][^\s@|,;:=>#"]{0,39}$/;
const RESERVED_LINE_NAMES: readonly string[] = ["fret", "frets", "nut", "at", "gap", "note", "line", "setting", "still", "rocks", "touch", "light", "na", "and", "on", "except"];

function lineProblems(file: NeckFile, source: string): readonly Problem[] {
  if (file.lines === undefined) return [];
  const names = Object.keys(file.lines);
  if (names.length === 0) return [{ source, column: "lines", found: "no line", expected: 'one line or more, as {"bass": {"share": 0.1}}' }];
  const firstOf = new Map<string, string>();
  for (const name of names) if (!firstOf.has(name.toLowerCase())) firstOf.set(name.toLowerCase(), name);
  return [...names.flatMap((name) => [...lineNameProblems(name, firstOf.get(name.toLowerCase()) ?? name, source), ...lineOffsetProblems(file, name, source)]), ...swappedLines(file, source)];
}

/** Bass and treble on the wrong sides of each other are swapped shares, or a minus forgotten before an offset. */
function swappedLines(file: NeckFile, source: string): readonly Problem[] {
  const width = file.widths ?? defaultWidthMm(file.scaleLength);
  const share = (name: string): number | undefined => {
    const line = Object.entries(file.lines ?? {}).find(([each]) => each.toLowerCase() === name)?.[1];
    return line === undefined ? undefined : "share" in line ? line.share : 0.5 + line.offset / width.nut;
  };
  const bass = share("bass");
  const treble = share("treble");
  if (bass === undefined || treble === undefined || bass < treble) return [];
  return [{ source, column: "lines", found: "the bass line on the treble side of the treble line", expected: "shares of the width from the bass edge, or offsets from the centre that are negative toward the bass side", repair: "the two lines may be swapped" }];
}

function lineNameProblems(name: string, first: string, source: string): readonly Problem[] {
  const column = `lines.${name}`;
  if (!LINE_NAME.test(name) || RESERVED_LINE_NAMES.includes(name.toLowerCase())) {
    return [{ source, column, found: `a line named ${shown(name)}`, expected: "a name of one word that is neither a number nor a word of the tables", repair: 'write "bass", "G-string" or the like' }];
  }
  return first === name ? [] : [{ source, column, found: `the lines ${shown(first)} and ${shown(name)}`, expected: "names that differ in more than capital letters" }];
}

function lineOffsetProblems(file: NeckFile, name: string, source: string): readonly Problem[] {
  const line = file.lines?.[name];
  if (line === undefined || !("offset" in line)) return [];
  const width = file.widths ?? defaultWidthMm(file.scaleLength);
  const halfMm = Math.min(width.nut, width.lastFret) / 2;
  if (Math.abs(line.offset) <= halfMm) return [];
  return [{ source, column: `lines.${name}.offset`, found: mmAndInWords(line.offset), expected: `on the board, no more than ${mmAndInWords(halfMm)} from its centre`, repair: "an offset counts from the centre, negative toward the bass side" }];
}

function sizeProblems(file: NeckFile, source: string): readonly Problem[] {
  return (["board", "total"] as const).flatMap((part) => {
    const sizes = file.thicknesses?.[part];
    if (sizes === undefined || typeof sizes === "number") return [];
    const column = `thicknesses.${part}`;
    if (Object.keys(sizes).length === 0) return [{ source, column, found: "no place", expected: 'a thickness, or thicknesses by place, as {"1": "20 mm", "12": "22 mm"}' }];
    return Object.keys(sizes)
      .filter((place) => placeMm(place, file) === undefined)
      .map((place) => ({ source, column: `${column}.${place}`, found: shown(place), expected: `a place along the neck: "nut", "lastFret", a fret from 0 to ${file.frets}, or "@300mm" from the nut` }));
  });
}

function rodProblems(file: NeckFile, source: string): readonly Problem[] {
  const { from, to } = file.rod ?? {};
  if (from === undefined || to === undefined || from < to) return [];
  return [{ source, column: "rod.to", found: mmAndInWords(to), expected: `farther from the nut than rod.from, ${mmAndInWords(from)}`, repair: "swap rod.from and rod.to" }];
}

function barProblems(file: NeckFile, source: string): readonly Problem[] {
  return (file.bars ?? []).flatMap(({ from, to }, index) =>
    from === undefined || to === undefined || from < to
      ? []
      : [{ source, column: `bars.${index}.to`, found: mmAndInWords(to), expected: `farther from the nut than bars.${index}.from, ${mmAndInWords(from)}`, repair: "swap the two" }],
  );
}

function limitProblems(file: NeckFile, source: string): readonly Problem[] {
  const { reliefMin, reliefMax } = file.limits ?? {};
  const stated = { ...(reliefMin === undefined ? {} : { reliefMinMm: reliefMin }), ...(reliefMax === undefined ? {} : { reliefMaxMm: reliefMax }) };
  return wrongLimits(stated, file.scaleLength).map(({ found, expected, repair }) => ({ source, column: reliefMax === undefined ? "limits.reliefMin" : "limits.reliefMax", found, expected, repair }));
}

/** A place along the neck as the neck file writes it, mm from the nut: `nut`, `12`, `lastFret`, `@300mm`; or `undefined`. */
export function placeMm(place: string, file: NeckFile): number | undefined {
  const end = fretDistanceMm(file.scaleLength, file.frets);
  if (place === "nut") return 0;
  if (place === "lastFret") return end;
  if (/^\d{1,2}$/.test(place)) return Number(place) <= file.frets ? fretDistanceMm(file.scaleLength, Number(place)) : undefined;
  const mm = place.startsWith("@") ? lengthMm(place.slice(1)) : undefined;
  return mm !== undefined && mm >= 0 && mm <= file.scaleLength ? mm : undefined;
}

/** The radius at both ends, mm; Infinity is flat. */
export function radiusOf(file: NeckFile): { readonly nut: number; readonly lastFret: number } {
  const radius = file.fingerboardRadius ?? DEFAULT_RADIUS_MM;
  return typeof radius === "number" ? { nut: radius, lastFret: radius } : radius;
}
