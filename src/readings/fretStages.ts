/** How far a piece of work on the frets is: `unclear` where words name it without saying that it was done, or done on all frets. */
export type StageSaid = "done" | "not done" | "unclear" | "not said";

/** Work on frets that a survey's words may name. */
export type FretWork = "seated" | "levelled" | "crowned" | "endsDressed" | "filed" | "refretted" | "setUp";

const WORK: Readonly<Record<FretWork, RegExp>> = {
  seated: /^seat/i,
  levelled: /^level/i,
  crowned: /^(?:crown|dress)/i,
  endsDressed: /^ends? /i,
  filed: /^fil/i,
  refretted: /^(?:refret|pull|replac)/i,
  setUp: /^set/i,
};

/** What the words say of each piece of work, by itself: that later work usually follows earlier work is left to who asks. */
export type FretStages = Readonly<Record<FretWork, StageSaid>>;

const NAMED = /\b(un-?|non-?|re-?)?(ends? (?:not |un-?)?(?:yet )?dressed|dress(?:ed|ing)? (?:the )?ends?|seat(?:ed|ing|s)?|level(?:l?ed|l?ing|s)?|crown(?:ed|ing|s)?|dress(?:ed|ing)?|filed|filing|refret(?:ted|ting|s)?|pull(?:ed|ing)?|replaced|set-? ?up)\b/gi;
/** Denied, or still to come. */
const DENIED = /\b(?:not|never|no|none|nothing|nor|neither|without|cannot|to be|still to|yet to|needs?|must|should|will|shall|wants?|wait(?:s|ing)|await(?:s|ing)|before|until|pending|next|planned|due|later|to do|untouched)\b|n't\b|\b(?:to|for)\s+(?:be\s+)?$/i;
const IN_PART = /\b(?:part(?:ly|ially)?|half|some|a few|almost|nearly|mostly|roughly|maybe|perhaps|probably|badly|poorly|loosely|except|spot|or|being|seems?|frets? \d)\b|\?/i;
const FINISHED = /\b(?:done|finished|complete[d]?|after|already|since)\b/i;
/** A new statement: what was denied before it is not denied by it. */
const STARTS_ANEW = /\b(?:is|are|was|were|now|already|done|has|have|been|after)\b/i;

/**
 * Reads what was done to the frets: `levelled and crowned`, `pressed, not levelled`, `to be levelled`, `unseated`. Only what is plainly said to be done is `done`.
 * @param words the frets' part of a survey's state; absent says nothing
 * @example equal(fretStages("seated, not levelled").levelled, "not done");
 * @example equal(fretStages("levelled and crowned").crowned, "done");
 */
export function fretStages(words: string | undefined): FretStages {
  const said: Record<FretWork, StageSaid> = { seated: "not said", levelled: "not said", crowned: "not said", endsDressed: "not said", filed: "not said", refretted: "not said", setUp: "not said" };
  for (const sentence of (words ?? "").replace(/\bnot only\b/gi, "").split(/[;.]|\b(?:but|however)\b/i)) {
    let isDeniedBefore = false;
    for (const part of sentence.split(/[,()]/)) {
      const named = namedIn(part).map((one) => (isDeniedBefore && one.said === "done" && !STARTS_ANEW.test(part) ? { ...one, said: "unclear" as const } : one));
      for (const { work, said: state } of named) said[work] = said[work] === "not said" || said[work] === state ? state : "unclear";
      isDeniedBefore = named.length > 0 && named.every((one) => one.said !== "done");
    }
  }
  return said;
}

/** The work that one part of a sentence names: a denial counts for all that follows it, one at the end leaves all before it unclear. */
function namedIn(part: string): readonly { readonly work: FretWork; readonly said: StageSaid }[] {
  const matches = [...part.matchAll(NAMED)];
  const last = matches.at(-1);
  const after = last === undefined ? "" : part.slice(last.index + last[0].length);
  return matches.flatMap((match) => {
    const name = (match[2] ?? "").replace(/^dress\w* (?:the )?ends?/i, "ends dressed");
    const work = WORKS.find((one) => WORK[one].test(name));
    const isDenied = /^(?:un|non)/i.test(match[1] ?? "") || DENIED.test(part.slice(0, match.index)) || /\b(?:not|un)/i.test(name);
    return work === undefined ? [] : [{ work, said: isDenied ? "not done" : saidOf(name, part, after) }];
  });
}

const WORKS: readonly FretWork[] = ["endsDressed", "seated", "levelled", "crowned", "filed", "refretted", "setUp"];

function saidOf(name: string, part: string, after: string): StageSaid {
  if (DENIED.test(after) || IN_PART.test(part)) return "unclear";
  const isSaidOfPast = /ed$|^set/i.test(name);
  return isSaidOfPast || FINISHED.test(part) ? "done" : "unclear";
}

/** Whether any of these was done, as far as the words go: what is unclear counts as done where being wrong about it does harm. */
export function mayBeDone(stages: FretStages, works: readonly FretWork[]): boolean {
  return works.some((work) => stages[work] === "done" || stages[work] === "unclear");
}
