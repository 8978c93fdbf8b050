import { expect, test } from "vitest";
import { blockHtml } from "../../src/notebook/tell.js";

test("headings of steps stand out where a line begins with them, and nowhere else; what was typed is escaped in both", () => {
  const html = blockHtml("Level.", ["When to stop: ink gone.", "Nothing says When to stop: here.", "<b>After</b>: <i>polish</i>"], [], ["When to stop", "<b>After</b>"]);
  expect(html).toContain("<strong>When to stop:</strong> ink gone.</p>");
  expect(html).toContain("<p style=\"margin:0.35em 0\">Nothing says When to stop: here.</p>");
  expect(html).toContain("<strong>&lt;b&gt;After&lt;/b&gt;:</strong> &lt;i&gt;polish&lt;/i&gt;");
  expect(blockHtml("Level.", ["When to stop: ink gone."], [])).not.toContain("<strong>");
});
