const MARKUP: Readonly<Record<string, string>> = { "&": "&amp;", "<": "&lt;", ">": "&gt;", '"': "&quot;", "'": "&#39;", $: "&#36;" };

/**
 * Text that plotly and HTML will show as it is: no tag, no entity and no formula in it takes effect.
 * Control characters and line breaks become blanks.
 * @example equal(escaped("<b>7</b> & $x$"), "&lt;b&gt;7&lt;/b&gt; &amp; &#36;x&#36;");
 */
export function escaped(text: string): string {
  return text.replace(/[\u0000-\u001f\u007f\u2028\u2029]/g, " ").replace(/[&<>"'$]/g, (sign) => MARKUP[sign] ?? sign);
}

/** Advance widths of a plain sans face in thousandths of the type size, by class of character; close enough to keep labels apart. */
const NARROW = new Set("ijlI.,:;|'!()[]/\\ftr ");
const WIDE = new Set("mwMWGOQ@%—");

/**
 * About how wide a text is drawn, px: an estimate for keeping labels apart, some per cent off in either direction.
 * @param sizePx type size
 */
export function textWidthPx(text: string, sizePx: number): number {
  const thousandths = [...text].reduce((sum, sign) => sum + signWidth(sign), 0);
  return (thousandths * sizePx) / 1000;
}

function signWidth(sign: string): number {
  if (NARROW.has(sign)) return 300;
  if (WIDE.has(sign)) return 850;
  if (/[A-Z0-9●■▲◆▼★]/.test(sign)) return sign >= "0" && sign <= "9" ? 556 : 680;
  return (sign.codePointAt(0) ?? 0) > 0x2e7f ? 1000 : 540;
}

/**
 * The text broken at blanks into lines no wider than `widthPx`; a word that is wider alone is cut.
 * @returns at least one line; at most `mostLines`, the last of which then ends in an ellipsis
 */
export function wrapped(text: string, widthPx: number, sizePx: number, mostLines = 20): readonly string[] {
  const words = text.split(/\s+/).flatMap((word) => cutWord(word, widthPx, sizePx));
  const lines = words.reduce<string[]>((done, word) => {
    const last = done.at(-1);
    if (last !== undefined && textWidthPx(`${last} ${word}`, sizePx) <= widthPx) done[done.length - 1] = `${last} ${word}`.trim();
    else done.push(word);
    return done;
  }, []);
  return lines.length <= mostLines ? lines : [...lines.slice(0, mostLines - 1), `${lines[mostLines - 1] ?? ""} …`];
}

function cutWord(word: string, widthPx: number, sizePx: number): readonly string[] {
  const pieces: string[] = [""];
  for (const sign of word) {
    const piece = pieces.at(-1) ?? "";
    if (piece !== "" && textWidthPx(piece + sign, sizePx) > widthPx) pieces.push(sign);
    else pieces[pieces.length - 1] = piece + sign;
  }
  return pieces;
}
