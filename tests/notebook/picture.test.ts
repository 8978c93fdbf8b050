import { readFileSync } from "node:fs";
import { fileURLToPath } from "node:url";
import { expect, test } from "vitest";

const root = fileURLToPath(new URL("../../", import.meta.url));

test("the README's picture is there, is made by data-demo/make.mjs, and shows the neck it speaks of", () => {
  const [, alt, path] = /!\[([^\]]+)\]\(([^)]+\.svg)\)/.exec(readFileSync(`${root}README.md`, "utf8")) ?? [];
  const picture = readFileSync(root + (path ?? "missing"), "utf8");
  expect(alt).toContain("fret 14 stands up on all three lines");
  expect(picture).toContain("QUILLFEN-07");
  expect(picture).toContain("Heights are drawn");
  expect(readFileSync(`${root}data-demo/make.mjs`, "utf8")).toContain((path ?? "missing").replace("data-demo/", ""));
});
