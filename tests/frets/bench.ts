import { adjust, readBenchText, readNeck, valueOrThrow } from "neck-survey";
import type { Neck, Survey, SurveySheet } from "neck-survey";

/** An invented neck as a builder describes it. */
export const DESCRIBED = { name: "test neck", scaleLength: "25 in", frets: 22, bodyJoint: 16, fingerboardRadius: "12 in" } as const;

export function neckWith(more: Readonly<Record<string, unknown>> = {}): Neck {
  return valueOrThrow(readNeck({ ...DESCRIBED, ...more }), "the test neck");
}

/** Invented readings: forward bow, fret 7 up at its treble end, fret 14 all across. */
export const TWO_HIGH = `
fret  bass   centre  treble
1     touch  touch   touch
3     5      6       6
5     9      10      9
7     10     11      8
9     10     11      11
12    8      9       8
14    4      4       4
16    5      5       5
19    2      2.5     2
22    touch  touch   touch
rocked frets 2-21 on bass, centre: still except 14 bass rocks 5, 14 centre rocks 5
rocked frets 2-21 on treble: still except 7 treble rocks 4, 14 treble rocks 4
`;

export function read(text: string, neck = neckWith()): SurveySheet {
  return valueOrThrow(readBenchText(neck, text, { source: "test sheet" }), "the bench text");
}

export function surveyed(text: string, neck = neckWith()): Survey {
  return adjust(neck, read(text, neck));
}

/** The survey with looks under crowns and a seating log beside the readings that were adjusted. */
export function withBeside(survey: Survey, text: string): Survey {
  const more = read(text, survey.neck);
  return { ...survey, sheet: { ...survey.sheet, settings: [...survey.sheet.settings, ...more.settings], seating: more.seating } };
}
