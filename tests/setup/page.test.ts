import { expect, test } from "vitest";
import { executedPage } from "../../src/setup/page.mjs";

test("a page links to the pages beside it, and names the project's files without a link that leads nowhere", () => {
  const source = "See [page 05](05-level-plan.ipynb), [`docs/asking.md`](../docs/asking.md) and [another](https://example.org/a.ipynb).";
  const html = executedPage({ cells: [{ cell_type: "markdown", source }] }, "one.ipynb", new Map());
  expect(html).toContain('<a href="05-level-plan.html">page 05</a>, <code>docs/asking.md</code> and <a href="https://example.org/a.ipynb">another</a>');
});
