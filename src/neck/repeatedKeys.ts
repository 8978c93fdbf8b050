/** A key that stands twice in one object of a JSON text: its path, and the line of the second. */
export type RepeatedKey = { readonly path: string; readonly row: number };

type Open = { readonly keys: Set<string> | undefined; readonly path: string };

/** Strings and marks of a JSON text; numbers and words between them do not matter here. */
const TOKEN = /"(?:[^"\\]|\\.)*"|[{}[\],:]/g;

/**
 * Keys that stand twice in one object. `JSON.parse` keeps the last and says nothing, so a reading of the first would be lost.
 * @param json valid JSON text
 */
export function repeatedKeys(json: string): readonly RepeatedKey[] {
  const repeated: RepeatedKey[] = [];
  const open: Open[] = [];
  let text = "";
  let key = "";
  for (const token of json.matchAll(TOKEN)) {
    const mark = token[0];
    const here = open.at(-1);
    if (mark === "{" || mark === "[") {
      open.push({ keys: mark === "{" ? new Set() : undefined, path: joined(here?.path ?? "", here?.keys === undefined ? "" : key) });
    } else if (mark === "}" || mark === "]") {
      open.pop();
    } else if (mark.startsWith('"')) {
      text = mark;
    } else if (mark === ":" && here?.keys !== undefined) {
      key = String(JSON.parse(text));
      if (here.keys.has(key) && repeated.length < MOST_TOLD) repeated.push({ path: joined(here.path, key), row: json.slice(0, token.index).split("\n").length });
      here.keys.add(key);
    }
  }
  return repeated;
}

/** More of them than this are one mistake. */
const MOST_TOLD = 20;

function joined(path: string, key: string): string {
  return path === "" || key === "" ? `${path}${key}` : `${path}.${key}`;
}
