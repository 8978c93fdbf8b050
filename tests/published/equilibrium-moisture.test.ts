import { describe, expect, test } from "vitest";
import { equilibriumMoisturePercent } from "../../src/bow/moisture/equilibrium.js";
import { printed, published } from "./printed.js";
import { referenceText } from "./reference.js";

type Cell = { readonly celsius: number; readonly humidityPercent: number; readonly printedPercent: number };

/** The table's temperatures are whole degrees Fahrenheit. */
function cells(): readonly Cell[] {
  const [heading = "", ...rows] = referenceText("emc-table-4-2.csv").trim().split("\n");
  const humidities = heading.split(",").slice(2).map((name) => Number(name.replace("RH", "")));
  return rows.flatMap((row) => {
    const [fahrenheit = "", , ...values] = row.split(",");
    return values.map((value, at) => ({ celsius: ((Number(fahrenheit) - 32) * 5) / 9, humidityPercent: humidities[at] ?? Number.NaN, printedPercent: Number(value) }));
  });
}

/** Half the printed digit, and what the rounded coefficients of the Celsius form add: 0.006 (found, not printed). */
const ALLOWED = 0.05 + 0.0065;

const farOff = (equation: (cell: Cell) => number): readonly Cell[] => cells().filter((cell) => !(Math.abs(equation(cell) - cell.printedPercent) <= ALLOWED));

describe("equilibriumMoisturePercent against the Wood Handbook (2021), Table 4-2", () => {
  test("all 342 printed cells", () => {
    expect(cells()).toHaveLength(342);
    for (const cell of cells()) published(equilibriumMoisturePercent(cell), cell.printedPercent, ALLOWED);
  });

  test.each([[20, 50, "9.27"], [20, 65, "12.0"], [20, 75, "14.45"], [20, 85, "18.0"], [20, 95, "23.94"], [5, 85, "18.47"], [2, 83, "17.66"], [21.1, 75, "14.41"], [37.8, 50, "8.68"], [37.8, 90, "19.48"]] as const)(
    "at %d °C and %d %% humidity: %s %% (values of the same equation, found in print)", (celsius, humidityPercent, text) => {
      printed(equilibriumMoisturePercent({ celsius, humidityPercent }), text);
    });

  test("control: the table's neighbours in temperature, and one hydrate instead of two, do not pass", () => {
    expect(farOff((cell) => equilibriumMoisturePercent({ ...cell, celsius: Math.min(94, cell.celsius + 10) })).length).toBeGreaterThan(200);
    expect(farOff((cell) => 1.01 * equilibriumMoisturePercent(cell)).length).toBeGreaterThan(50);
  });
});
