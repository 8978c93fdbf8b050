import { describe, expect, test } from "vitest";
import { noteFrequencyHz } from "../../src/bow/strings/pitch.js";
import { plainMassKgM, tensionN, woundMassKgM } from "../../src/bow/strings/tension.js";
import { printed } from "./printed.js";
import { referenceText } from "./reference.js";

/** Newton in one pound-force: 0.45359237 kg times 9.80665 m/s^2, exact. */
const N_PER_LBF = 4.4482216152605;
/** As the second example takes it, with g as 32.2 ft/s^2. */
const N_PER_LBF_THERE = 0.45359237 * 32.2 * 0.3048;
/** 1 lb/in^3 in kg/m^3. */
const KG_M3_PER_LB_IN3 = 0.45359237 / 0.0254 ** 3;

describe("string tension against printed worked examples", () => {
  test("plain steel wire, 7.85 g/cm3, 0.925 mm, 181 mm, fifteen steps over A 440: 170.2 lbf (piano technicians' archive, 2002)", () => {
    printed(tensionN(plainMassKgM(0.925, 7850), 181, 440 * 2 ** (15 / 12)) / N_PER_LBF, "170.2");
  });

  test("plain steel wire 0.020 in, 16 in, 440 Hz, 0.283 lb/in3: 45.6 lbf (same archive; g taken there as 32.2 ft/s2)", () => {
    printed(tensionN(plainMassKgM(0.508, 0.283 * KG_M3_PER_LB_IN3), 406.4, 440) / N_PER_LBF_THERE, "45.6");
  });

  test("1.60 m of string weigh 1.25 g, 1.15 m, 50.0 Hz: 10.3 N (school physics, waves, question 3)", () => {
    printed(tensionN(0.00125 / 1.6, 1150, 50), "10.3");
  });

  test("at one speed of waves tension goes as mass: 3.09e-4 kg/m at 56.40 N, 5.78e-3 kg/m at 1055.0 N (OpenStax University Physics 1, example 16.5; its answers from memory)", () => {
    const speed = Math.sqrt(56.4 / 3.09e-4);
    printed(speed, "427.23");
    printed(tensionN(5.78e-3, 500, speed), "1055.0");
  });

  test("a wrap of round wire fills pi/4 of its ring, so the printed form T = (P L d/K)^2 (1 + f (D^2/d^2 - 1)) holds with f = pi/4 of the ratio of densities: 0.785 for steel on steel", () => {
    const [gauge, core] = [1.0, 0.42];
    const f = (woundMassKgM(gauge, core, 7850, 7850) / plainMassKgM(core, 7850) - 1) / ((gauge / core) ** 2 - 1);
    printed(f, "0.785");
    printed((f * 8960) / 7850, "0.896");
  });

  test("control: half a step sharp, a gauge two per cent thick, a wrap without gaps do not pass", () => {
    expect(() => printed(tensionN(plainMassKgM(0.925, 7850), 181, 440 * 2 ** (15.5 / 12)) / N_PER_LBF, "170.2")).toThrow("against the printed");
    expect(() => printed(tensionN(plainMassKgM(0.508 * 1.02, 0.283 * KG_M3_PER_LB_IN3), 406.4, 440) / N_PER_LBF_THERE, "45.6")).toThrow("against the printed");
    const solid = (plainMassKgM(1, 7850) / plainMassKgM(0.42, 7850) - 1) / ((1 / 0.42) ** 2 - 1);
    expect(() => printed(solid, "0.785")).toThrow("against the printed");
  });

  test("every pitch of the printed table of notes, E2 to E4", () => {
    const rows = referenceText("note-frequencies.csv").trim().split("\n").slice(1);
    expect(rows).toHaveLength(25);
    for (const row of rows) {
      const [note = "", , hz = ""] = row.split(",");
      printed(noteFrequencyHz(note), Number(hz).toFixed(2));
    }
    expect(() => printed(noteFrequencyHz("F2"), "82.41")).toThrow("against the printed");
  });
});
