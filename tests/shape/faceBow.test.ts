import { expect, test } from "vitest";
import { adjust, faceBows, readBenchText, valueOrThrow, verdict } from "neck-survey";
import { frameColumns } from "../../src/notebook/frame.js";
import { heightsTable } from "../../src/notebook/heights.js";
import { surveyCard } from "../../src/notebook/card.js";
import { reportJson } from "../../src/notebook/reportJson.js";
import { NECK } from "../survey/bench.js";

const TEXT = "fret centre\n1 touch\n4 3\n7 4\n10 4\n16 touch\n\nsurface: glue face\nbenchPlate centre\n1 0\n7 20\n16 0";
const survey = adjust(NECK, valueOrThrow(readBenchText(NECK, TEXT), "the text"));

test("a face is told with its bow and its bracket", () => {
  const [bow] = faceBows(survey);
  expect(bow).toMatchObject({ surface: "glueFace", line: "centre", at: { label: "7" } });
  expect(bow?.describe()).toMatch(/^Glue face, centre line, 1 to 16: back bow \(middle high\), 0\.5\d mm, give or take 0\.0\d \(20\.\d thou, give or take \d\.\d\), most at 7\.$/);
  expect(verdict(survey).where).toContain(bow?.describe());
});

test("the table of heights names the surface where there is more than one", () => {
  const columns = frameColumns(heightsTable(survey));
  const surfaces = columns.find(({ heading }) => heading === "surface");
  expect(surfaces).toMatchObject({ texts: [...survey.heights.map(() => "fret tops"), "glue face", "glue face", "glue face"] });
  const plain = adjust(NECK, valueOrThrow(readBenchText(NECK, "fret centre\n1 touch\n7 4\n16 touch"), "the text"));
  expect(frameColumns(heightsTable(plain)).some(({ heading }) => heading === "surface")).toBe(false);
});

test("card and report carry it", () => {
  expect(surveyCard([survey]).html).toContain("glue face, centre, ");
  const [first] = [reportJson([survey])];
  expect(first).toMatchObject({ faces: [{ surface: "glueFace", line: "centre", from: "1", to: "16" }], crowns: [] });
});
