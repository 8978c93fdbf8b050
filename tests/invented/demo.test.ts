import { readFileSync, readdirSync } from "node:fs";
import { fileURLToPath } from "node:url";
import { expect, test } from "vitest";
import { batchFiles } from "../../src/invented/batchDemo.js";
import { demoFiles } from "../../src/invented/demo.js";

const allFiles = [...demoFiles(), ...batchFiles()];
const folder = fileURLToPath(new URL("../../data-demo/", import.meta.url));
const committed = (path: string): string => readFileSync(folder + path, "utf8").replaceAll("\r\n", "\n");

test.each(allFiles.map((file) => [file.path, file.text]))("data-demo/%s is what its maker makes", (path, text) => {
  expect(committed(path)).toBe(text);
});

test("data-demo holds nothing that its maker does not make, and says that it is invented", () => {
  const made = new Set(allFiles.map((file) => file.path));
  const folders = readdirSync(folder, { withFileTypes: true }).filter((entry) => entry.isDirectory()).map((entry) => entry.name);
  const found = folders.flatMap((name) => readdirSync(folder + name).map((file) => `${name}/${file}`));
  expect(found.filter((path) => !made.has(path))).toEqual([]);
  expect(committed("README.md")).toMatch(/all of it is invented/);
  for (const name of folders) expect(committed("README.md")).toContain(name);
});

test("the truth behind the demonstration is the scenario its README tells", () => {
  const { surveys } = JSON.parse(demoFiles().find((file) => file.path.endsWith("truth.json"))?.text ?? "") as {
    surveys: { lines: { line: string; neckLineReliefFret1ToJoint: { reliefMm: number }; frets: { fret: number; highMm: number }[] }[] }[];
  };
  const [first, second] = surveys.map((survey) => survey.lines.map((line) => line.neckLineReliefFret1ToJoint.reliefMm));
  for (const [index, reliefMm] of (first ?? []).entries()) {
    expect(Math.abs(reliefMm - 0.2)).toBeLessThan(0.03);
    expect(Math.abs((second?.[index] ?? 0) - reliefMm - 0.04)).toBeLessThan(0.01);
  }
  const high = surveys[0]?.lines.map(({ line, frets }) => [line, frets.filter((fret) => fret.highMm > 0.03).map((fret) => [fret.fret, fret.highMm])]);
  expect(high).toEqual([["bass", [[14, 0.07]]], ["centre", [[14, 0.07]]], ["treble", [[7, 0.06], [14, 0.07]]]]);
});
