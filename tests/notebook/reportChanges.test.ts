import { expect, test } from "vitest";
import { report } from "../../src/notebook/report.js";
import { DESCRIBED } from "../frets/bench.js";

const survey = (stage: string, date: string, air: string, gaps: readonly number[]): { readonly source: string; readonly text: string } => ({
  source: `${stage}.txt`,
  text: `stage: ${stage}\ndate: ${date}\nrod: neutral\nstrings: off\nhumidity: ${air}\nfret centre\n1 touch\n${[4, 7, 10, 13].map((fret, index) => `${fret} ${gaps[index] ?? ""}`).join("\n")}\n16 touch\n`,
});

test("what changed between two seasons is told with the air of both, beside what it was", async () => {
  const neck = { source: "neck.json", text: JSON.stringify(DESCRIBED) };
  const [summer, winter] = [survey("summer", "2026-07-10", "60 %", [3, 4, 4, 2]), survey("winter", "2026-11-20", "35 %", [6, 10, 8, 5])];
  const told = await report({ neck, readings: [summer, winter] });
  if (told.status === "refused") throw new SyntaxError(told.message);
  const changed = told.text.split("\n").at(-1);
  expect(changed).toMatch(/^test neck moved toward forward bow \(middle low\) since "summer" .* The two surveys were taken in unlike states, which may be what moved it: humidity: 60 % then, 35 % now\. Bring test neck to the same state/);
});
