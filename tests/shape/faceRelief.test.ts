import { expect, test } from "vitest";
import { adjust, faceRelief, readBenchText, valueOrThrow, verdict } from "neck-survey";
import type { Survey } from "neck-survey";
import { NECK } from "../survey/bench.js";

const BOARD = "stage: fretted board, not glued\nsupport: free board on a bench plate\n";
const read = (text: string): Survey => adjust(NECK, valueOrThrow(readBenchText(NECK, text), "the text"));
/** Lying face up on the plate, the middle 2.4 mm over it: the middle is high. */
const high = read(`${BOARD}benchPlate centre\n1 touch\n5 2.20±0.05mm\n8 2.35±0.05mm\n11 1.77±0.05mm\n16 touch`);
/** Standing on its middle: both ends are up. */
const low = read(`${BOARD}benchPlate centre\n1 2.40±0.05mm\n4 0.49±0.05mm\n7 touch\n11 0.63±0.05mm\n16 2.40±0.05mm`);

test("a middle that stands off the plate is back bow, ends that do are forward bow, as on the board's top", () => {
  const [up, down] = [faceRelief(high, "glueFace"), faceRelief(low, "glueFace")];
  expect([up, down]).toMatchObject([{ status: "determined", lines: ["centre"] }, { status: "determined", lines: ["centre"] }]);
  if (up.status !== "determined" || down.status !== "determined") return;
  expect(up.relief.value).toBeGreaterThan(-2.5);
  expect(up.relief.value).toBeLessThan(-2.2);
  expect(down.relief.value).toBeGreaterThan(2.2);
  expect(down.relief.value).toBeLessThan(2.5);
  expect(up.describe()).toMatch(/^The glue face: back bow \(middle high\), 2\.\d\d mm, give or take 0\.\d\d .* at its middle, near fret 7\.$/);
  expect(down.describe()).toMatch(/^The glue face: forward bow \(middle low\)/);
});

test("lines are averaged, each over its own chord", () => {
  const two = faceRelief(read(`${BOARD}benchPlate bass\n1 touch\n7 1±0.05mm\n16 touch\n\nbenchPlate treble\n1 touch\n7 1.2±0.05mm\n16 touch`), "glueFace");
  expect(two).toMatchObject({ status: "determined", lines: ["bass", "treble"] });
  expect(two.status === "determined" ? two.relief.value : NaN).toBeCloseTo(-1.1, 1);
});

test("a face not read, or read on a short stretch, asks for the reading that would fix it", () => {
  const asked = { status: "undetermined", need: expect.stringMatching(/^lay the free board, face up, on a bench plate, and read the gap to the plate at both ends \(fret 1 and fret 16\)/) };
  expect(faceRelief(read("fret centre\n1 touch\n7 4\n16 touch"), "glueFace")).toMatchObject(asked);
  expect(faceRelief(read(`${BOARD}benchPlate centre\n1 touch\n2 4\n3 touch`), "glueFace")).toMatchObject(asked);
  expect(faceRelief(high, "underside")).toMatchObject({ status: "undetermined", need: expect.stringContaining("along the underside") });
});

test("the verdict's headline tells a face where nothing else was read, and asks for no edge on the frets of a free board", () => {
  const told = verdict(high);
  expect(told.headline).toBe("test neck: its glue face has back bow (middle high); the fret tops were not read.");
  expect(told.describe()).not.toContain("lay the edge along the centre line");
  expect(told.describe()).toContain("How sure: the truth lies within the give or take 19 times in 20.");
});
