import { JSDOM } from "jsdom";
import { describe, expect, test } from "vitest";
import { assumedItems } from "../../src/notebook/assumed.js";
import { verdict } from "../../src/advice/verdict.js";
import { surveyCard } from "../../src/notebook/card.js";
import { describeNeck, surveyNeck } from "../../src/notebook/neck.js";
import { report } from "../../src/notebook/report.js";
import type { Survey } from "../../src/survey/survey.js";

const neckText = JSON.stringify({ name: "Invented <i>one</i>", scaleLength: "25 in", frets: 22, bodyJoint: 16 });
const table = "stage: fretted\ndate: 2026-03-14\nfret centre bass\n1 touch touch\n7 6 -\n16 touch -\n";

function surveyed(text: string): Survey {
  return surveyNeck(describeNeck({ name: "Invented <i>one</i>", scaleLength: "25 in", frets: 22, bodyJoint: 16 }), text, { source: "bench.txt" });
}

describe("surveyCard", () => {
  const survey = surveyed(table);
  const { html } = surveyCard(survey);
  const { document } = new JSDOM(html).window;
  const text = document.body.textContent ?? "";

  test("says the verdict before anything else, word for word", () => {
    for (const sentence of verdict(survey).describe().split("\n")) expect(text).toContain(sentence);
    expect(text.indexOf(verdict(survey).headline)).toBeLessThan(text.indexOf("Relief:"));
  });

  test("lists all that was assumed and what is undetermined with the reading that fixes it", () => {
    for (const item of assumedItems(survey.assumed)) expect(text).toContain(item);
    for (const gap of survey.undetermined) expect(text).toContain(gap.need);
  });

  test("repeats every reading as it was typed", () => {
    for (const written of ["fret 1: touch", "fret 7: 6 thou", "fret 16: touch"]) expect(text).toContain(written);
  });

  test("says of the ends of a chord that they are, and gives no number for them", () => {
    const rows = [...document.querySelectorAll("table.numbers tbody tr")].map((row) => row.textContent ?? "");
    expect(rows.filter((row) => row.includes("end of the chord")).map((row) => row.replace(/[–]/g, ""))).toEqual(["fret 1end of the chord", "fret 16end of the chord"]);
    expect(rows.join(" ")).not.toMatch(/0\.000/);
  });

  test("asks nothing of the network and runs nothing", () => {
    expect(document.querySelectorAll("script, link, iframe, img[src^=http]")).toHaveLength(0);
    expect(html).not.toMatch(/url\(\s*['"]?http|@import/);
  });

  test("shows typed text as text", () => {
    expect(document.querySelectorAll("i")).toHaveLength(0);
    expect(document.querySelector("h1")?.textContent).toBe("Invented <i>one</i>");
  });

  test("can be read without seeing it", () => {
    expect(document.documentElement.lang).toBe("en");
    expect(document.querySelector("svg")?.getAttribute("role")).toBe("img");
    expect(document.querySelector("svg")?.getAttribute("aria-label")).toContain("Side view");
    for (const data of document.querySelectorAll("table")) expect(data.querySelectorAll("th[scope]").length).toBeGreaterThan(1);
  });

  test("puts the last survey first", () => {
    const both = new JSDOM(surveyCard([survey, surveyed(table.replace("fretted", "a week later"))]).html).window.document;
    expect([...both.querySelectorAll("h2")].map((heading) => heading.textContent)).toEqual(["Latest survey: a week later, 2026-03-14", "Earlier survey: fretted, 2026-03-14"]);
  });

  test("refuses to make a card of nothing", () => {
    expect(() => surveyCard([])).toThrow("Cannot make a card: expected one survey or more, got none");
  });
});

describe("report", () => {
  test("gives the verdict, the card and numbers that are the survey's", async () => {
    const made = await report({ neck: { source: "neck.json", text: neckText }, readings: [{ source: "bench.txt", text: table }] });
    if (made.status === "refused") throw new Error(made.message);
    const survey = surveyed(table);
    expect(made.text).toContain(verdict(survey).describe());
    expect(made.html === surveyCard(survey).html).toBe(true);
    const { json } = made;
    expect(json["heights"]).toEqual(survey.heights.map(({ surface, line, at, heightMm, uMm }) => ({ surface, line, at, heightMm, uMm })));
    expect(json).toMatchObject({ neck: "Invented <i>one</i>", stage: "fretted", date: "2026-03-14", datum: [{ line: "centre", from: "1", to: "16" }] });
    expect(Array.isArray(json["surveys"])).toBe(true);
  });

  test("gives no number for what is undetermined", async () => {
    const made = await report({ neck: { source: "neck.json", text: neckText }, readings: [{ source: "bench.txt", text: "fret centre\n1 touch\n7 6\n" }] });
    if (made.status === "refused") throw new Error(made.message);
    const relief = made.json["relief"];
    expect(JSON.stringify(relief)).not.toMatch(/null|reliefMm/);
    expect(JSON.stringify(made.json["undetermined"])).toContain("need");
  });

  test("refuses with every problem of the input, and throws nothing", async () => {
    const wrongNeck = await report({ neck: { source: "neck.json", text: "{" }, readings: [] });
    expect(wrongNeck).toMatchObject({ status: "refused" });
    const wrong = await report({ neck: { source: "neck.json", text: neckText }, readings: [{ source: "bench.txt", text: "fret centre\n1 banana\n7 pear\n" }] });
    expect(wrong.status === "refused" ? wrong.message : "").toMatch(/2 problems\n.*row 2, column centre: found "banana".*\n.*row 3, column centre: found "pear"/);
  });
});
