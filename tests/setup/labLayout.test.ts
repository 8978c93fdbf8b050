import { mkdtempSync, readFileSync, readdirSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { expect, test } from "vitest";
import { setFirstLayout } from "../../src/setup/lab-layout.mjs";

test("the list of files is closed at the first start; later it stays as its user left it", () => {
  const folder = mkdtempSync(join(tmpdir(), "lab layout "));
  setFirstLayout(folder);
  const workspaces = join(folder, "config", "lab", "workspaces");
  const [name = ""] = readdirSync(workspaces);
  expect(JSON.parse(readFileSync(join(workspaces, name), "utf8"))).toMatchObject({ data: { "layout-restorer:data": { left: { collapsed: true } } } });
  writeFileSync(join(workspaces, name), "theirs");
  setFirstLayout(folder);
  expect(readFileSync(join(workspaces, name), "utf8")).toBe("theirs");
  rmSync(folder, { recursive: true });
});
