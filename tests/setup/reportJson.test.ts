import { readFileSync } from "node:fs";
import { describe, expect, test } from "vitest";
import { levelling } from "../../src/advice/levelPlan/levelling.js";
import { report } from "../../src/notebook/index.js";
import { planJson } from "../../src/notebook/adviceJson.js";
import { describeNeck, surveyNeck } from "../../src/notebook/neck.js";
import { loadSolver } from "../../src/notebook/solver.js";

const project = new URL("../../", import.meta.url);
const text = (file: string): string => readFileSync(new URL(file, project), "utf8");

/** `the object`, `heights[]` and the like, each with the keys that the page names. */
function documented(): ReadonlySet<string> {
  const rows = [...text("docs/report-json.md").matchAll(/^\| (?!of |---)([^|]+) \| ([^|]+) \|/gm)];
  return new Set(rows.flatMap(([, of = "", keys = ""]) => {
    const path = /`([^`]+)`/.exec(of)?.[1];
    return [...keys.matchAll(/`([^`]+)`/g)].map(([, key = ""]) => (path === undefined ? key : `${path}.${key}`));
  }));
}

function printed(json: unknown, path = ""): readonly string[] {
  if (Array.isArray(json)) return json.flatMap((one) => printed(one, `${path}[]`));
  if (json === null || typeof json !== "object") return [];
  return Object.entries(json).flatMap(([key, value]) => {
    const here = path === "" ? key : `${path}.${key}`;
    return [here, ...printed(value, here)];
  });
}

const file = (source: string): { readonly source: string; readonly text: string } => ({ source, text: text(source) });
const crowned = (source: string): { readonly source: string; readonly text: string } => ({ source, text: JSON.stringify({ ...(JSON.parse(text(source)) as object), crown: { height: "1.1 mm" } }) });
const typed = (readings: string): { readonly source: string; readonly text: string } => ({ source: "bench.txt", text: readings });

/** Readings that have what the demonstration lacks: a face and crowns, neighbours that stand up together. */
const FACES = `surface,line,tool,setting,at,gap,unit
fretTops,centre,straightedge,1,1,touch,thou
fretTops,centre,straightedge,1,7,6,thou
fretTops,centre,straightedge,1,16,touch,thou
underside,centre,straightedge,2,1,touch,thou
underside,centre,straightedge,2,7,6,thou
underside,centre,straightedge,2,16,touch,thou
fretTops,centre,crownGauge,3,1,1.10±0.01,mm
fretTops,centre,crownGauge,3,7,1.10±0.01,mm
`;
const ZONE = `fret bass centre treble\n${Array.from({ length: 22 }, (_, at) => at + 1).map((fret) => `${fret}${(fret >= 9 && fret <= 13 ? " touch" : " 4").repeat(3)}`).join("\n")}\n`;

/** An invented neck of which a low fret decides the levelling. */
const LOW = `fret bass centre treble
1 touch touch touch
3 3 3 4
5 7 7 7
7 5 5 6
9 2.5 2 3
12 4 4 5
14 1.5 1.5 2
16 3 2.5 4
19 light light touch
22 touch touch light
`;
/** There only in cases that none of these readings is: a rod or a seating that would make a levelling possible, all limits known, a place left open. */
const SELDOM: readonly string[] = ["plan.remedies[].frets", "plan.remedies[].way", "ship.atLeast", "undetermined[].at"];

async function jsonOf(neck: { readonly source: string; readonly text: string }, readings: { readonly source: string; readonly text: string }): Promise<readonly string[]> {
  const made = await report({ neck, readings: [readings], plan: true });
  if (made.status === "refused") throw new Error(made.message);
  return printed(made.json);
}

/** In a survey's own entry stands what stands at the top level. */
const top = (paths: readonly string[]): readonly string[] => paths.map((path) => path.replace(/^surveys\[\]\./, ""));

describe("docs/report-json.md", { timeout: 300_000 }, () => {
  test("names exactly the keys that are printed", async () => {
    const seven = "data-demo/QUILLFEN-07/neck.json";
    const all = [
      await jsonOf(crowned(seven), file("data-demo/QUILLFEN-07/01-fretted-and-glued.csv")),
      await jsonOf(file("data-demo/QUILLFEN-13/neck.json"), file("data-demo/QUILLFEN-13/readings.csv")),
      await jsonOf(file("data-demo/QUILLFEN-11/neck.json"), file("data-demo/QUILLFEN-11/readings.csv")),
      await jsonOf(file("data-demo/QUILLFEN-12/neck.json"), file("data-demo/QUILLFEN-12/readings.csv")),
      await jsonOf(file(seven), typed("fret centre\n1 touch\n7 6\n")),
      await jsonOf(file(seven), { source: "faces.csv", text: FACES }),
      await jsonOf(crowned(seven), typed(ZONE)),
      await jsonOf(file(seven), typed("stage: board, not glued\nsupport: free board on its side\nfret centre\n1 40+4\n10 touch\n22 40+4\n")),
      await jsonOf(file(seven), typed("stage: board, not glued\nsupport: free board on its side\nfret centre\n1 touch\n10 5±0.1mm\n22 touch\n")),
      await jsonOf(file(seven), typed("fret centre\n1 touch\n11 2\n22 touch\n\nfret centre\n1 touch\n11 30\n22 touch\n")),
    ].flatMap(top);
    const neck = describeNeck({ name: "Invented", scaleLength: "25 in", frets: 22, bodyJoint: 16, crown: { height: "0.76 mm" } });
    const survey = surveyNeck(neck, "fret centre\n1 touch\n3 9\n5 14\n7 16\n9 16\n12 12\n16 touch\n");
    const solve = await loadSolver();
    const low = surveyNeck(describeNeck({ name: "Invented", scaleLength: "25.5 in", frets: 22, bodyJoint: 16, fingerboardRadius: "12 in", crown: { height: "1.1 mm" } }), LOW);
    const plans = [planJson(low, { rod: { lowMm: -0.3, highMm: 0.1 }, mayBeSeated: [] }, solve, "mm first"), planJson(survey, {}, solve, "mm first"), planJson(survey, {}, () => ({ status: "failed", why: "no answer" }) as never, "mm first")].flatMap((plan) => printed({ plan }));
    expect(levelling(survey, {}).status).toBe("posed");
    const found = new Set([...all, ...plans]);
    const told = documented();
    expect([...found].filter((path) => !told.has(path)).sort()).toEqual([]);
    expect([...told].filter((path) => !found.has(path)).sort()).toEqual(SELDOM);
  });
});
