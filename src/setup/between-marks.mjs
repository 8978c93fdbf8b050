// Parts of a page that a program writes, so that nobody types numbers: what stands between two marks.

/**
 * @param {string} page @param {string} name of the part, as it stands in its marks `<!-- name -->` and `<!-- /name -->`
 * @param {string} text what comes between them
 * @returns {string} the page with the part replaced
 */
export function betweenMarks(page, name, text) {
  const [open, close] = [`<!-- ${name} -->`, `<!-- /${name} -->`];
  const [from, to] = [page.indexOf(open), page.indexOf(close)];
  if (from < 0 || to < from) throw new Error(`Cannot write the part "${name}": the page has no ${open} with ${close} after it`);
  return `${page.slice(0, from + open.length)}\n${text.trim()}\n${page.slice(to)}`;
}
