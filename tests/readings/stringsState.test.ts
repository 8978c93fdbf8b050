import { expect, test } from "vitest";
import { stringsState } from "../../src/readings/stringsState.js";

const ON = ["on", "On, to pitch", "at pitch", "tuned to pitch", "strung", "on, tuned to E", "10 to 46, at pitch", "tuned a half step down", "up to pitch", "under tension", "yes", "not off, at pitch"];
const OFF = [undefined, "", "off", "off, detuned", "not on", "none", "let down", "unstrung", "not strung", "not yet on", "never strung", "to be strung", "no strings", "slackened", "off, not at pitch", "none yet", "will be on"];
const UNCLEAR = ["on, slack", "on, let down", "on, not at pitch", "10 to 46", "half tension", "as if strung", "on?", "off, later tuned to E", "not tuned"];

test("strings on, off, or unclear, each as a builder may say it", () => {
  expect(ON.filter((words) => stringsState(words) !== "on")).toEqual([]);
  expect(OFF.filter((words) => stringsState(words) !== "off")).toEqual([]);
  expect(UNCLEAR.filter((words) => stringsState(words) !== "unclear")).toEqual([]);
});
