import { describe, expect, test } from "vitest";
import { rodPosition, turnsClockwise, turnsTowardBackBow } from "../../src/readings/rodState.js";

describe("where the rod stands", () => {
  test.each([
    [undefined, { kind: "neutral" }],
    ["neutral", { kind: "neutral" }],
    ["Neutral, as found", { kind: "neutral" }],
    ["slack", { kind: "slack" }],
    ["nut loose", { kind: "slack" }],
    ["0 turns", { kind: "neutral" }],
    ["1/4 turn clockwise", { kind: "turned", turns: 0.25, way: "clockwise" }],
    ["1/4 turn clockwise from neutral", { kind: "turned", turns: 0.25, way: "clockwise" }],
    ["0.5 turns anti-clockwise", { kind: "turned", turns: 0.5, way: "anticlockwise" }],
    ["0,5 turns counterclockwise", { kind: "turned", turns: 0.5, way: "anticlockwise" }],
    ["a quarter turn tighter", { kind: "turned", turns: 0.25, way: "toward back bow" }],
    ["half a turn toward forward bow", { kind: "turned", turns: 0.5, way: "toward forward bow" }],
    ["1 1/2 turns toward back bow", { kind: "turned", turns: 1.5, way: "toward back bow" }],
    ["an eighth of a turn ccw", { kind: "turned", turns: 0.125, way: "anticlockwise" }],
    ["3/8 of a turn cw", { kind: "turned", turns: 0.375, way: "clockwise" }],
    ["a turn more relief", { kind: "turned", turns: 1, way: "toward forward bow" }],
    ["one and a half turns clockwise", { kind: "turned", turns: 1.5, way: "clockwise" }],
    ["1 and 1/2 turns clockwise", { kind: "turned", turns: 1.5, way: "clockwise" }],
    ["1-1/2 turns clockwise", { kind: "turned", turns: 1.5, way: "clockwise" }],
    ["two and a quarter turns ccw", { kind: "turned", turns: 2.25, way: "anticlockwise" }],
    ["a full turn clockwise", { kind: "turned", turns: 1, way: "clockwise" }],
    ["clockwise 1/4 turn", { kind: "turned", turns: 0.25, way: "clockwise" }],
    ["three quarters of a turn tighter", { kind: "turned", turns: 0.75, way: "toward back bow" }],
    ["-1/4 turn clockwise", { kind: "unclear", words: "-1/4 turn clockwise" }],
    ["minus 0.5 turns toward back bow", { kind: "unclear", words: "minus 0.5 turns toward back bow" }],
    ["1/2 turn back from 1 turn clockwise", { kind: "unclear", words: "1/2 turn back from 1 turn clockwise" }],
    ["turned a bit", { kind: "unclear", words: "turned a bit" }],
    ["1/4 turn", { kind: "unclear", words: "1/4 turn" }],
    ["some turns clockwise", { kind: "unclear", words: "some turns clockwise" }],
    ["1/0 turn clockwise", { kind: "unclear", words: "1/0 turn clockwise" }],
  ])("%j is read", (words, position) => {
    expect(rodPosition(words)).toEqual(position);
  });

  const turned = rodPosition("1/4 turn clockwise");
  test("which way bows is known only when the neck file says it", () => {
    expect(turnsTowardBackBow(turned, undefined)).toBeUndefined();
    expect(turnsTowardBackBow(turned, { moreRelief: "clockwise" })).toBe(-0.25);
    expect(turnsTowardBackBow(turned, { moreRelief: "anticlockwise" })).toBe(0.25);
    expect(turnsTowardBackBow(rodPosition("1/4 turn tighter"), undefined)).toBe(0.25);
    expect(turnsTowardBackBow(rodPosition("slack"), { moreRelief: "clockwise" })).toBeUndefined();
  });

  test("by the clock", () => {
    expect(turnsClockwise(turned, undefined)).toBe(0.25);
    expect(turnsClockwise(rodPosition("1/4 turn tighter"), { moreRelief: "anticlockwise" })).toBe(0.25);
    expect(turnsClockwise(rodPosition("1/4 turn tighter"), { moreRelief: "clockwise" })).toBe(-0.25);
    expect(turnsClockwise(rodPosition("1/4 turn tighter"), undefined)).toBeUndefined();
    expect(turnsClockwise(rodPosition("neutral"), undefined)).toBe(0);
  });
});
