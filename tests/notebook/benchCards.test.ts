import axe from "axe-core";
import { JSDOM } from "jsdom";
import { beforeAll, describe, expect, test, vi } from "vitest";
import { shipReport } from "../../src/advice/ship/ship.js";
import { neckCard } from "../../src/notebook/neckCard.js";
import { sheetPlan, type SheetWords } from "../../src/notebook/workingSheet.js";
import type { BenchStep } from "../../src/advice/levelPlan/benchSteps.js";
import { describeNeck, surveyNeck, takeReadings } from "../../src/notebook/neck.js";
import { showPlan } from "../../src/notebook/levellingCells.js";
import { planLevelling, type PlannedLevelling } from "../../src/notebook/planLevelling.js";
import { workingCard } from "../../src/notebook/workingCard.js";
import type { Survey } from "../../src/survey/survey.js";
import { inventedNeckFile, inventedSurvey } from "../advice/levelPlan/surveyed.js";

const EVIL = `<img src=x onerror="alert(1)">&'`;
let survey: Survey;
let planned: PlannedLevelling;
let cards: readonly { readonly name: string; readonly html: string }[];
beforeAll(async () => {
  const made = inventedSurvey();
  survey = { ...made, neck: { ...made.neck, name: EVIL, rod: { works: "both ways", wrench: EVIL, moreRelief: "anticlockwise" }, limits: { bareBowMaxMm: 0.3 } }, sheet: { ...made.sheet, stage: EVIL, state: { ...made.sheet.state, rod: `neutral ${EVIL}` } } };
  planned = await planLevelling(survey, { rod: { lowMm: -0.3, highMm: 0.1 }, mayBeSeated: [] });
  cards = [{ name: "working card", html: workingCard(planned).html }, { name: "neck card", html: neckCard(survey, { done: ["seated and checked"], stringsAssumed: EVIL }).html }];
}, 120_000);

/** What a drawing prints where it has none to show. */
async function drawn(levelling: PlannedLevelling): Promise<string> {
  let printed = "";
  const spy = vi.spyOn(console, "log").mockImplementation((line: string) => {
    printed += `${line}\n`;
  });
  showPlan(levelling);
  await Promise.resolve();
  spy.mockRestore();
  return printed;
}

async function findings(html: string): Promise<readonly { readonly id: string; readonly impact?: string | null | undefined }[]> {
  // what is inside a picture is one thing to a reader: its thousand paths only cost time
  const { window } = new JSDOM(html.replace(/(<svg [^>]*>)[\s\S]*<\/svg>/, "$1</svg>"), { runScripts: "outside-only", pretendToBeVisual: true });
  window.eval(axe.source);
  const loaded = window["axe"] as typeof axe;
  // colours need a browser: tests/browser/cards.mjs
  return (await loaded.run(window.document, { rules: { "color-contrast": { enabled: false } } })).violations;
}

describe("the cards of a levelling and of a neck that goes out", () => {
  test("nothing serious is in the way of who cannot see them, and the check can fail", async () => {
    for (const { html } of cards) expect((await findings(html)).filter(({ impact }) => impact === "serious" || impact === "critical")).toEqual([]);
    const broken = (cards[0]?.html ?? "").replace('<html lang="en">', "<html>").replace(/ aria-label="[^"]*"/, "");
    expect((await findings(broken)).map(({ id }) => id)).toEqual(expect.arrayContaining(["html-has-lang", "svg-img-alt"]));
  });

  test("each figure has its sentence as text alternative", () => {
    for (const { html } of cards) expect(new JSDOM(html).window.document.querySelector("svg[role=img]")?.getAttribute("aria-label")).toMatch(/Side view .*Heights are drawn \d+ times too tall\./);
  });

  test("what the user typed is shown as it is, and nothing asks anything of the network", () => {
    for (const { html } of cards) {
      const { document } = new JSDOM(html).window;
      expect(document.querySelectorAll("script, link, iframe, img, [onerror]")).toHaveLength(0);
      expect(document.querySelector("h1")?.textContent).toBe(EVIL);
      expect(html).not.toMatch(/(?:src|href)="https?:/);
    }
  });

  test("the working card carries what the bench needs, in the order of the bench, on one side", () => {
    const text = new JSDOM(cards[0]?.html ?? "").window.document.body.textContent ?? "";
    const inOrder = ["Level: at most", "decides it, it is low", "bass: ", "centre: ", "treble: ", "touched first", "Decide", "Fret 5 is low", "Rod", "toward back bow (middle high): nut clockwise", "Relief", "Before the beam:", "Ink", "all tops; beam along each line in turn.", "File", "1. Ink gone"];
    let at = 0;
    for (const word of inOrder) {
      const found = text.indexOf(word, at);
      expect(found, word).toBeGreaterThan(-1);
      at = found;
    }
    for (const word of ["Crowns to gauge, mm (thou)", "comes off", "before", "after", "re-crown", "Rock over every three frets: still", "Glasses on", "dust mask", "fret ends fly", "qualified practice", "19 times in 20"]) expect(text).toContain(word);
    expect(cards[0]?.html).not.toContain("break-before");
    expect(cards[0]?.html).not.toContain("leads the beam");
  });

  test("what is read while working is read at arm's length, and so are fret numbers and what stands over the drawing", async () => {
    const X_HEIGHT = 0.519; // of Arial and Liberation Sans, as a share of the type
    const html = cards[0]?.html ?? "";
    const typePt = Number(/--type: ([\d.]+)pt/.exec(html)?.[1] ?? NaN);
    expect(typePt * (25.4 / 72) * X_HEIGHT).toBeGreaterThan(1.9);
    const svg = new JSDOM(html).window.document.querySelector("figure svg.main-svg");
    const mmPerPx = 190 / Number(svg?.getAttribute("width"));
    const typeMm = (of: string): readonly number[] => [...(svg?.querySelectorAll(of) ?? [])].map((text) => Number(/font-size:\s*([\d.]+)px/.exec(text.getAttribute("style") ?? "")?.[1] ?? NaN) * mmPerPx);
    const read = [...typeMm(".xtick text"), ...typeMm(".annotation text").filter((mm) => mm > 4)];
    expect(read.length).toBeGreaterThan(15);
    expect(Math.min(...read) * X_HEIGHT).toBeGreaterThan(2.19);
    expect(Math.min(...typeMm("text")) * X_HEIGHT).toBeGreaterThan(1.6);
    const labels = [...(svg?.querySelectorAll(".ytick text, .y2tick text") ?? [])].map((text) => text.textContent ?? "");
    expect(labels.filter((text) => /thou/.test(text)).length).toBeGreaterThan(0);
    for (const line of ["bass", "centre", "treble"]) expect(svg?.textContent).toMatch(new RegExp(`${line}: (bears first on|no fret stands out)`));
    // frets touched first have their numbers, and on the card of a neck with frets to seat those too
    const numbersOf = (card: string): readonly (string | null)[] => [...new JSDOM(card).window.document.querySelectorAll("figure svg.main-svg .xtick text")].map((text) => text.textContent);
    expect(numbersOf(html)).toEqual(expect.arrayContaining(["1", "9"]));
    expect(numbersOf(workingCard(await planLevelling(survey, { rod: { lowMm: -0.3, highMm: 0.1 } })).html)).toEqual(expect.arrayContaining(["9", "14", "19"]));
  });

  test("type shrinks and notes are left out before the card grows past one side, and both are said or bounded", () => {
    const part = (words: number): BenchStep => ({ heading: "File", does: "word ".repeat(words), how: ["word ".repeat(words)] });
    const words = (each: number, notes: number, lines = 3): SheetWords => ({ name: "N", headline: "h", why: "w", parts: Array.from({ length: 8 }, () => part(each)), tableRows: 6, notes: Array.from({ length: notes }, () => "note ".repeat(30)), lines });
    expect(sheetPlan(words(8, 1))).toMatchObject({ typePt: 12.1, notes: 1 });
    expect(sheetPlan(words(26, 12)).typePt).toBeLessThan(12.1);
    expect(sheetPlan(words(26, 12)).notes).toBeLessThan(12);
    expect(sheetPlan(words(8, 1)).panelPx).toBeGreaterThan(sheetPlan(words(8, 1, 6)).panelPx);
    if (planned.status !== "planned") throw new Error("expected a plan");
    const many = { ...planned, posed: { ...planned.posed, notes: Array.from({ length: 9 }, (_, index) => `Note ${index + 1} ${"of some length ".repeat(12)}`) } };
    const { document } = new JSDOM(workingCard(many).html).window;
    const told = [...document.querySelectorAll("footer p")].map((one) => one.textContent ?? "");
    expect(told[0]).toMatch(/^Note 1 /);
    expect(told.at(-1)).toBe(`${9 - (told.length - 1)} more notes stand in the notebook, with the plan.`);
  });

  test("the neck card says pass, fail or not sure in words, what was done and what was not, and how it is adjusted", () => {
    const { document } = new JSDOM(cards[1]?.html ?? "").window;
    const states = [...document.querySelectorAll("td.state")].map((cell) => cell.textContent?.trim());
    expect(states).toEqual(expect.arrayContaining([expect.stringMatching(/^pass/), expect.stringMatching(/^fail/), expect.stringMatching(/^not sure/)]));
    const text = document.body.textContent ?? "";
    for (const word of ["seated and checked: done", "levelled: not done", "Not done: levelled", "anticlockwise", "gives more relief, toward forward bow (middle low)", "humidity", "2026-05-11", "Let it settle", "re-check the frets and the rod before levelling"]) expect(text).toContain(word);
  });

  test("a card of frets to seat has today's work and no cuts, one that is not to be started neither", async () => {
    const seats = await planLevelling(survey, { rod: { lowMm: -0.3, highMm: 0.1 } });
    const seating = new JSDOM(workingCard(seats).html).window.document;
    expect(seating.body.textContent).toMatch(/Today\s+Thin leaf under frets 9, 14 and 19.*Stop here and ask for a new plan\./);
    expect(seating.querySelectorAll("table")).toHaveLength(0);
    if (planned.status !== "planned") throw new Error("expected a plan");
    const bowed = inventedNeckFile({ limits: { crownMin: "0.95 mm" } });
    const stay = await planLevelling({ ...survey, neck: bowed }, { rod: { lowMm: -0.1, highMm: 0 } });
    const card = new JSDOM(workingCard(stay).html).window.document;
    expect(stay.describe()).toMatch(/^Do not start\. First: .*; then ask again\.\nWhy: [^\n]*\n/);
    if (stay.status !== "planned") throw new Error("expected a plan");
    expect(stay.posed.notes.length).toBeGreaterThan(0);
    for (const note of stay.posed.notes) expect([stay.describe().includes(note), card.body.textContent?.includes(note)]).toEqual([true, true]);
    expect(card.body.textContent).toContain("Do not start. First:");
    expect(card.querySelectorAll("table, svg, section")).toHaveLength(0);
  }, 60_000);

  test("a neck twisted beyond the limit is not levelled: plan, card and drawing have the verdict's sentence and nothing to file by", async () => {
    const bars = (treble: string): Survey => inventedSurvey(inventedNeckFile(), {}, `\nsightingBars: 300 mm\nsightingBars treble\n1 0\n22 ${treble}\n`);
    const twisted = await planLevelling(bars("6±0.15mm"), { rod: { lowMm: -0.3, highMm: 0.1 } });
    expect([twisted.status, twisted.status === "no plan" ? twisted.outcome.status : ""]).toEqual(["no plan", "twisted"]);
    expect(twisted.describe()).toMatch(/^Do not level: the neck is twisted beyond the limit\. Settle the twist first\.\nTwist from fret 1 to fret 22: .* if it stays, do not go on to glue or string: /);
    const { document } = new JSDOM(workingCard(twisted).html).window;
    expect(document.body.textContent).toContain("Do not level: the neck is twisted beyond the limit.");
    expect(document.body.textContent).toContain("do not go on to glue or string");
    expect(document.querySelectorAll("table, svg, section")).toHaveLength(0);
    expect(shipReport(bars("6±0.15mm")).describe()).not.toContain("string it up");
    expect(await drawn(twisted)).toBe(`${twisted.describe()}\n`);
    const perhaps = await planLevelling(bars("1.3±0.3mm"), { rod: { lowMm: -0.3, highMm: 0.1 } });
    expect(perhaps.describe()).toContain("The twist is perhaps over the limit: exchange the two bars and sight it again before you level.");
    const none = await planLevelling(bars("0±0.15mm"), { rod: { lowMm: -0.3, highMm: 0.1 } });
    expect([none.status, none.describe().includes("perhaps over the limit")]).toEqual(["planned", false]);
  }, 60_000);

  test("where there is nothing to level nothing is filed: no steps, no amount to file, and what to do by who doubts it", async () => {
    const neck = describeNeck({ name: "even", scaleLength: "25.5 in", frets: 22, bodyJoint: 16, fingerboardRadius: "12 in", crown: { height: "1.1 mm" }, limits: { crownMin: "0.8 mm" } });
    const even = ["fret bass centre treble", "1 touch touch touch", ...[3, 5, 7, 9, 12, 14, 16, 19].map((fret) => `${fret} 0 0 0`), "22 touch touch touch"].join("\n");
    const nothing = await planLevelling(surveyNeck(neck, takeReadings(neck, even, { state: { rod: "neutral", strings: "off" } })));
    if (nothing.status !== "planned") throw new Error("expected a plan");
    expect([nothing.steps().steps, nothing.bench().steps, nothing.steps().crowns]).toEqual([[], [], []]);
    expect(nothing.describe()).toMatch(/^As far as these readings tell there is nothing to level: do not file\.\nWhy: with the rod neutral, less than 0\.01 mm .* a reason to read more, none to file\.\nIf you doubt it, rock a short edge over every three frets on every line, or read again with thinner leaves; then ask again\.\n/);
    expect(nothing.describe()).not.toMatch(/,,|Then level|ink left/);
    expect(nothing.plan.describe()).toMatch(/do not file\./);
    const card = new JSDOM(workingCard(nothing).html).window.document;
    expect(card.body.textContent).toContain("nothing to level: do not file");
    expect(card.querySelectorAll("table, svg, section")).toHaveLength(0);
    expect(await drawn(nothing)).toBe(`${nothing.describe()}\n`);
  }, 60_000);

  test("without a plan there is no working card, but the reason", async () => {
    const strung = await planLevelling({ ...survey, sheet: { ...survey.sheet, state: { strings: "on" } } });
    expect(() => workingCard(strung)).toThrow("strings off");
  });
});

describe("the shop's limits", () => {
  test("a strung neck in the middle of the range passes, one outside fails, the ends are not sure", () => {
    const relief = (value: number): string => shipReport(survey, { underStrings: { value, u: 0.02, unit: "mm", low95: value - 0.04, high95: value + 0.04 } }).checks.find(({ what }) => what === "relief under strings")?.state ?? "";
    expect([0.2, 0.4, 0.29, -0.1].map(relief)).toEqual(["pass", "fail", "not sure", "fail"]);
  });

  test("high frets fail a neck, and what is not known is not passed", () => {
    const report = shipReport(survey);
    const state = (what: string): string | undefined => report.checks.find((check) => check.what === what)?.state;
    expect([state("single frets"), state("twist"), state("rod"), report.state]).toEqual(["fail", "not sure", "not sure", "fail"]);
    expect(report.headline).toContain("Do not send it yet. Not kept: single frets.");
    expect(report.checks.filter((check) => check.state !== "pass").every(({ next }) => next !== undefined)).toBe(true);
    expect(shipReport(survey, { rod: { state: "pass", why: "moves both ways" } }).checks.find(({ what }) => what === "rod")?.state).toBe("pass");
    expect(shipReport({ ...survey, neck: inventedNeckFile({ rod: { works: "none" } }) }).checks.find(({ what }) => what === "rod")?.state).toBe("pass");
  });
});
