import axe from "axe-core";
import { JSDOM } from "jsdom";
import { beforeAll, describe, expect, test } from "vitest";
import { shipReport } from "../../src/advice/ship/ship.js";
import { neckCard } from "../../src/notebook/neckCard.js";
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
  survey = { ...made, neck: { ...made.neck, name: EVIL, rod: { works: "both ways", wrench: EVIL, moreRelief: "anticlockwise" } }, sheet: { ...made.sheet, stage: EVIL, state: { ...made.sheet.state, rod: `neutral ${EVIL}` } } };
  planned = await planLevelling(survey, { rod: { lowMm: -0.3, highMm: 0.1 } });
  cards = [{ name: "working card", html: workingCard(planned).html }, { name: "neck card", html: neckCard(survey, { done: ["seated and checked"], stringsAssumed: EVIL }).html }];
}, 120_000);

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

  test("the working card carries what the bench needs", () => {
    const text = new JSDOM(cards[0]?.html ?? "").window.document.body.textContent ?? "";
    for (const word of ["If a leaf goes under frets 9, 14 and 19, seat them, then level", "Before you start", "Touches first", "When to stop", "Crowns to measure, before and after", "Measured before", "Re-crown", "Rock over every three frets", "Metal dust", "19 times in 20"]) expect(text).toContain(word);
  });

  test("the drawing on the back is printed as large as it is drawn: no text under 2.2 mm, ticks on both height axes", () => {
    const svg = new JSDOM(cards[0]?.html ?? "").window.document.querySelector("figure.back svg");
    const drawnMm = (Number(svg?.getAttribute("width")) * 25.4) / 96;
    const sizes = [...(svg?.querySelectorAll("text") ?? [])].map((text) => Number(/font-size:\s*([\d.]+)px/.exec(text.getAttribute("style") ?? "")?.[1] ?? NaN));
    expect(sizes.length).toBeGreaterThan(30);
    // a sheet of A4 has 188 mm between its margins
    expect(Math.min(...sizes) * (25.4 / 96) * Math.min(1, 188 / drawnMm)).toBeGreaterThan(2.2);
    const labels = [...(svg?.querySelectorAll(".ytick text, .y2tick text") ?? [])].map((text) => text.textContent ?? "");
    expect(labels.filter((text) => /thou/.test(text)).length).toBeGreaterThan(0);
    for (const axis of ["ytick", "y2tick"]) expect(svg?.querySelectorAll(`.${axis} text`).length).toBeGreaterThanOrEqual(3);
    expect(cards[0]?.html).not.toContain("leads the beam");
  });

  test("the neck card says pass, fail or not sure in words, what was done and what was not, and how it is adjusted", () => {
    const { document } = new JSDOM(cards[1]?.html ?? "").window;
    const states = [...document.querySelectorAll("td.state")].map((cell) => cell.textContent?.trim());
    expect(states).toEqual(expect.arrayContaining([expect.stringMatching(/^pass/), expect.stringMatching(/^fail/), expect.stringMatching(/^not sure/)]));
    const text = document.body.textContent ?? "";
    for (const word of ["seated and checked: done", "levelled: not done", "Not done: levelled", "anticlockwise", "gives more relief, toward forward bow (middle low)", "humidity", "2026-05-11", "Let it settle", "re-check the frets and the rod before levelling"]) expect(text).toContain(word);
  });

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
