import { execFile } from "node:child_process";
import { copyFileSync, existsSync, mkdirSync, mkdtempSync, readFileSync, readdirSync, rmSync, symlinkSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { fileURLToPath } from "node:url";
import { once } from "../../src/units/once.js";
import { afterAll, describe, expect, test } from "vitest";

const program = fileURLToPath(new URL("../../src/setup/report.mjs", import.meta.url));
const demo = fileURLToPath(new URL("../../data-demo/QUILLFEN-07", import.meta.url));
const folder = mkdtempSync(join(tmpdir(), "report é "));
afterAll(() => rmSync(folder, { recursive: true, force: true }));
copyFileSync(join(demo, "neck.json"), join(folder, "neck.json"));
copyFileSync(join(demo, "01-fretted-and-glued.csv"), join(folder, "readings.csv"));
mkdirSync(join(folder, "a folder"));

type Ran = { readonly code: number; readonly stdout: string; readonly stderr: string };

const ran = (args: readonly string[], env: Readonly<Record<string, string>> = {}): Promise<Ran> =>
  new Promise((resolve) => {
    const { npm_lifecycle_event: _, npm_config_out: __, npm_config_json: ___, ...clean } = process.env;
    execFile(process.execPath, [program, ...args], { cwd: folder, env: { ...clean, ...env }, maxBuffer: 1e8 }, (error, stdout, stderr) => {
      resolve({ code: error === null ? 0 : typeof error.code === "number" ? error.code : -1, stdout, stderr });
    });
  });

/** The plain report, which several tests look at. */
const plain = once(() => ran(["neck.json", "readings.csv"]));

describe("the report without a notebook", { timeout: 60_000 }, () => {
  test("prints the verdict", async () => {
    const { code, stdout } = await plain();
    expect(code).toBe(0);
    expect(stdout).toMatch(/QUILLFEN-07: (forward bow \(middle low\)|back bow \(middle high\)|straight)/);
    expect(stdout).toMatch(/mm, give or take .* thou/);
  });

  test("says one sentence on the rod, by the last survey, and to turn nothing by it", async () => {
    const { stdout } = await plain();
    expect(stdout).toMatch(/\n\nRod: the middle would have to come up 0\.\d\d mm, [^\n]* as good as certain\. If it will be strung, the answer is the same; the middle is then to move [^\n]*\. Turn nothing by this page alone: see rod advice \(notebook 06\)\.\n/);
    copyFileSync(join(demo, "02-a-week-later.csv"), join(folder, "later.csv"));
    expect((await ran(["neck.json", "readings.csv", "later.csv"])).stdout.match(/^Rod: /gm)).toHaveLength(1);
  });

  test("says what a rod test in the readings found, and what changed from one survey to the next", async () => {
    const eleven = (file: string): string => join(demo, "..", "QUILLFEN-11", file);
    const { stdout } = await ran([eleven("neck.json"), eleven("readings.csv")]);
    expect(stdout).toMatch(/\n\nRod test: The rod does not do what it should\. Toward back bow: works, [^\n]*Toward forward bow: nothing moved[^\n]*\nRod: /);
    expect(stdout).toMatch(/\nRod: turn the nut clockwise [^\n]*from this rod's own test[^\n]* Wanted: straight within /);
    expect(stdout).not.toContain("What changed:");
    copyFileSync(join(demo, "02-a-week-later.csv"), join(folder, "later.csv"));
    expect((await ran(["neck.json", "later.csv", "readings.csv"])).stdout).toMatch(/\n\nWhat changed:\nQUILLFEN-07 moved toward forward bow \(middle low\) since "fretted and glued" [^\n]*\n$/);
  });

  test("--json says of the rod what the text says", async () => {
    writeFileSync(join(folder, "straight.txt"), "strings: off\nfret centre\n1 touch\n4 2\n7 2.5\n11 2\n16 touch\n");
    const { rod } = JSON.parse((await ran(["neck.json", "straight.txt", "--json"])).stdout) as { readonly rod: { readonly decision: string; readonly headline: string } };
    expect([rod.decision, rod.headline]).toEqual(["say first", "QUILLFEN-07: will this neck be strung? What to do with the rod hangs on it."]);
    const eleven = (file: string): string => join(demo, "..", "QUILLFEN-11", file);
    const tried = JSON.parse((await ran([eleven("neck.json"), eleven("readings.csv"), "--json"])).stdout) as { readonly rod: { readonly headline: string; readonly test: readonly string[] } };
    expect([tried.rod.test[0], tried.rod.headline.includes("from this rod's own test")]).toEqual(["The rod does not do what it should.", true]);
  });

  test("asks whether the neck will be strung where the rod hangs on it, has a fret rocked first, and says nothing of a rod that is not there", async () => {
    const rodLine = async (readings: string, neck = "neck.json"): Promise<string | undefined> => {
      writeFileSync(join(folder, "few.txt"), readings);
      return (await ran([neck, "few.txt"])).stdout.split("\n").find((line) => line.startsWith("Rod:"));
    };
    expect(await rodLine("strings: off\nfret centre\n1 touch\n4 2\n7 2.5\n11 2\n16 touch\n")).toBe("Rod: will this neck be strung? What to do with the rod hangs on it. Turn nothing by this page alone: see rod advice (notebook 06).");
    const back = "fret centre\n1 touch\n7 touch\n16 16\n\n1 16\n7 touch\n16 touch\n";
    expect(await rodLine(back)).toBe("Rod: turn nothing yet. Rock fret 7 on the centre line. Turn nothing by this page alone: see rod advice (notebook 06).");
    expect(await rodLine("strings: on\nfret centre\n1 touch\n7 90\n16 touch\n")).toMatch(/^Rod: turn nothing yet\. The middle would have to move [^\n]*a reading mistyped, or a unit\? Read the middle again, and write the unit beside it\. Turn nothing by this page/);
    writeFileSync(join(folder, "bass.json"), JSON.stringify({ name: "Bs", scaleLength: "34 in", frets: 20, bodyJoint: 16, fingerboardRadius: "12 in" }));
    expect(await rodLine("fret centre\n1 touch\n7 12\n16 touch\n", "bass.json")).toMatch(/^Rod: turn nothing yet\. What the strings will pull is not known, [^\n]* Give the strings in the neck file, as "strings": /);
    expect(await rodLine(`stage: fretted board, not glued\n${back}`)).toBeUndefined();
    writeFileSync(join(folder, "rodless.json"), JSON.stringify({ ...(JSON.parse(readFileSync(join(folder, "neck.json"), "utf8")) as object), rod: { works: "none" } }));
    expect(await rodLine(back, "rodless.json")).toBeUndefined();
  });

  test("--json prints only JSON", async () => {
    const { code, stdout } = await ran(["neck.json", "readings.csv", "--json"]);
    expect(code).toBe(0);
    const json = JSON.parse(stdout) as Readonly<Record<string, Readonly<Record<string, unknown>>>>;
    expect(Object.keys(json)).toEqual(expect.arrayContaining(["surveys", "heights", "datum", "relief", "assumed", "blunders", "frets", "rod", "ship", "plan"]));
    expect(json["rod"]).toMatchObject({ decision: expect.any(String), targetMm: [expect.any(Number), expect.any(Number)], probabilities: { within: expect.any(Number) } });
    expect(json["ship"]).toMatchObject({ state: expect.stringMatching(/^(pass|fail|not sure)$/), checks: expect.arrayContaining([expect.objectContaining({ what: "single frets", state: expect.any(String), wanted: expect.any(String), reason: expect.any(String) })]) });
    // no crown was read and no wire is stated: what to measure is said in the plan's place
    expect(json["plan"]).toMatchObject({ status: "measure first", needs: [expect.stringContaining("Measure the crowns")] });
  });

  test("--json has the level plan where the crowns are known", async () => {
    writeFileSync(join(folder, "wire.json"), JSON.stringify({ ...(JSON.parse(readFileSync(join(folder, "neck.json"), "utf8")) as object), crown: { height: "1.1 mm" } }));
    const { code, stdout } = await ran(["wire.json", "readings.csv", "--json"]);
    expect(code).toBe(0);
    const { plan } = JSON.parse(stdout) as { readonly plan: { readonly status: string; readonly removals: readonly { readonly fret: number; readonly line: string; readonly removeMm: number }[]; readonly sumMm: number; readonly headline: string; readonly notes: readonly string[]; readonly sure: { readonly allowanceMm: number }; readonly guides: readonly unknown[]; readonly steps: readonly { readonly heading: string }[] } };
    expect(plan.status).toBe("planned");
    expect(plan.removals).toHaveLength(66);
    expect(plan.removals.reduce((sum, { removeMm }) => sum + removeMm, 0)).toBeCloseTo(plan.sumMm, 9);
    expect(plan.removals.every(({ removeMm }) => removeMm >= 0)).toBe(true);
    // without a rod test the bow stays, and a levelling would file it out of the frets
    expect(plan.headline).toMatch(/^Do not start\. First: straighten the neck with the rod after a rod test/);
    expect(plan.notes.join(" ")).toContain("No rod test was given");
    expect(plan.sure.allowanceMm).toBeGreaterThan(0);
    expect(plan.guides).toHaveLength(3);
    expect(plan.steps).toEqual([]);
  });

  test("--json and --out write both, and the card asks nothing of a network", async () => {
    const { code, stdout } = await ran(["neck.json", "readings.csv", "--json", "--out", "cards/seven.html"]);
    expect(code).toBe(0);
    expect(() => JSON.parse(stdout) as unknown).not.toThrow();
    const html = readFileSync(join(folder, "cards", "seven.html"), "utf8");
    expect(html).toContain("QUILLFEN-07");
    expect(html).not.toMatch(/<(script|link|img)[^>]+(src|href)="(https?:)?\/\//);
    expect(readdirSync(join(folder, "cards"))).toEqual(["seven.html"]);
  });

  test("names of files count from where npm was called", async () => {
    expect(await ran(["neck.json", "readings.csv"], { npm_lifecycle_event: "report", INIT_CWD: folder })).toMatchObject({ code: 0 });
  });

  test.each([
    [[], "A report needs a neck file and at least one file of readings."],
    [["neck.json"], "A report needs at least one file of readings after the neck file neck.json."],
    [["none.json", "readings.csv"], "Cannot read the neck file none.json: there is no such file"],
    [["neck.json", "none.csv"], "Cannot read the readings none.csv: there is no such file"],
    [["a folder", "readings.csv"], "Cannot read the neck file a folder: it is a folder; give the file itself"],
    [["neck.json", "readings.csv", "--jsno"], "Unknown option '--jsno'"],
    [["neck.json", "readings.csv", "--out"], "argument missing"],
    [["neck.json", "readings.csv", "--out="], "--out needs the name of the card to write."],
    [["neck.json", "latin.csv"], "it is not UTF-8 text"],
  ])("%j is refused in a sentence with the usage", async (args, sentence) => {
    writeFileSync(join(folder, "latin.csv"), Buffer.from([0x6e, 0xe9, 0x63, 0x6b]));
    const { code, stdout, stderr } = await ran(args);
    expect({ code, stdout }).toEqual({ code: 1, stdout: "" });
    expect(stderr).toContain(sentence);
    expect(stderr).toContain("usage: npm run report");
    expect(stderr).not.toMatch(/^\s+at /m);
  });

  test("bad readings are refused on stderr, with nothing on stdout", async () => {
    writeFileSync(join(folder, "bad.csv"), "neck,stage,date,surface,line,path,tool,setting,at,gap,unit,note\nQUILLFEN-07,s,2026-01-01,fretTops,bass,,straightedge,1,99,wide,thou,\n");
    const { code, stdout, stderr } = await ran(["neck.json", "bad.csv", "--json"]);
    expect({ code, stdout }).toEqual({ code: 1, stdout: "" });
    expect(stderr).toContain("bad.csv");
    expect(stderr).not.toMatch(/^\s+at /m);
  });

  test("an input is never written over, not even through a link", async () => {
    const neck = readFileSync(join(folder, "neck.json"), "utf8");
    symlinkSync(join(folder, "neck.json"), join(folder, "linked.html"));
    for (const out of ["neck.json", "linked.html", "./a folder/../readings.csv"]) {
      expect(await ran(["neck.json", "readings.csv", "--out", out])).toMatchObject({ code: 1, stderr: expect.stringContaining("Will not write the card over") });
    }
    expect(readFileSync(join(folder, "neck.json"), "utf8")).toBe(neck);
  });

  test("a card that cannot be written leaves nothing behind", async () => {
    expect(await ran(["neck.json", "readings.csv", "--out", "a folder"])).toMatchObject({ code: 1, stderr: expect.stringContaining("Cannot write the card a folder: there is a folder of that name") });
    expect(await ran(["neck.json", "readings.csv", "--out", "neck.json/card.html"])).toMatchObject({ code: 1, stderr: expect.stringContaining("Cannot write the card neck.json/card.html") });
    expect(readdirSync(folder).filter((name) => name.includes("card-part"))).toEqual([]);
    expect(existsSync(join(folder, "a folder", "card.html"))).toBe(false);
  });

  test("an --out that npm kept for itself is told", async () => {
    expect(await ran(["neck.json", "readings.csv", "card.html"], { npm_config_out: "true" })).toMatchObject({ code: 1, stderr: expect.stringContaining("put -- before the file names") });
  });
});
