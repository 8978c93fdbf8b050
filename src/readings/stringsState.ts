/** Whether the strings pulled on the neck while it was read; `unclear` where the words do not say, or say both. */
export type StringsState = "on" | "off" | "unclear";

/** Words that deny what follows them in the same part of a sentence. */
const DENIED = String.raw`\b(?:not|never|no longer|isn't|aren't|weren't|to be|yet to be|still to be|will be|before being)\s+(?:yet\s+|fully\s+|quite\s+|all\s+|back\s+|up\s+)*`;
const OFF = /\b(?:off|un-?strung|none|^no$|no strings|without|not yet|let (?:right )?down|slack(?:ened)?|loose(?:ned)?|removed|de-?tuned|no tension)\b/i;
const NOT_ON = new RegExp(`${DENIED}(?:on|strung|fitted)\\b`, "i");
const ON = /\b(?:on|yes|strung|restrung|(?:at|to) pitch|tuned|in tune|(?:at|under|full) tension)\b/i;
/** Strings that are on the neck and pull less than they will, or stand-ins for them. */
const PART = new RegExp(`${DENIED}(?:at pitch|to pitch|tuned|in tune|(?:at|under) tension)\\b|\\bhalf\\b(?! (?:a )?(?:step|tone))|\\b(?:part|partly|some|as if|maybe|perhaps)\\b|\\?`, "i");
const NOT_OFF = new RegExp(`${DENIED}off\\b`, "gi");

/**
 * Reads whether the strings were on: `on`, `at pitch`, `strung`, `tuned to E`, against `off`, `not on`, `none`, `let down`.
 * @param words the strings' part of a survey's state; absent means off, as the sheet's `assumed` says
 * @example equal(stringsState("tuned to pitch"), "on");
 * @example equal(stringsState("not on"), "off");
 * @example equal(stringsState("on, slack"), "unclear");
 */
export function stringsState(words: string | undefined): StringsState {
  if (words === undefined || words.trim() === "") return "off";
  const said = words.replace(NOT_OFF, " ");
  const isDenied = NOT_ON.test(said);
  const left = said.replace(new RegExp(NOT_ON, "gi"), " ");
  const isOff = isDenied || OFF.test(left);
  const isOn = ON.test(left.replace(new RegExp(PART, "gi"), " "));
  if (isOff) return isOn ? "unclear" : "off";
  return isOn && !PART.test(left) ? "on" : "unclear";
}
