import { execFile } from "node:child_process";
import { copyFileSync, mkdtempSync, readFileSync, rmSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { fileURLToPath } from "node:url";
import { afterAll, describe, expect, test } from "vitest";

const runner = fileURLToPath(new URL("../../src/setup/run-notebook.mjs", import.meta.url));
const fixture = (name: string): string => fileURLToPath(new URL(`fixtures/${name}.ipynb`, import.meta.url));
const folder = mkdtempSync(join(tmpdir(), "run-notebook "));
afterAll(() => rmSync(folder, { recursive: true, force: true }));

type Ran = { readonly code: number; readonly stdout: string; readonly stderr: string };

const ran = (...args: readonly string[]): Promise<Ran> =>
  new Promise((resolve) => {
    execFile(process.execPath, ["--enable-source-maps", runner, ...args], (error, stdout, stderr) => {
      const code = error === null ? 0 : typeof error.code === "number" ? error.code : -1;
      resolve({ code, stdout, stderr });
    });
  });

const outputsIn = (path: string): readonly unknown[] => {
  const { cells } = JSON.parse(readFileSync(path, "utf8")) as { cells: { outputs?: unknown[] }[] };
  return cells.flatMap(({ outputs }) => outputs ?? []);
};

describe("a notebook that fails", { timeout: 60_000 }, () => {
  const failing = [
    ["throws", "throw new RangeError", "the neck is too long"],
    ["type-error", 'const gapMm: number = "wide"', "not assignable to type 'number'"],
    ["late-rejection", "void Promise.reject", "nobody waits"],
    ["timer-throws", "setTimeout", "in a timer"],
    ["late-after-the-last-cell", "setTimeout", "after the end"],
    ["never-ends", "await never", "Not finished after 3 s"],
    ["ends-the-kernel", "", "cell 1 ended the kernel"],
  ] as const;

  test.concurrent.each(failing)("%s: exit 1, with the cell and the reason", async (name, source, reason) => {
    const { code, stderr } = await ran(fixture(name), "--timeout", name === "never-ends" ? "3" : "60");
    expect({ code, stderr }).toEqual({ code: 1, stderr: expect.stringContaining(reason) });
    expect(stderr).toContain(source);
  });

  test("a file that is no notebook, and one that is not there", async () => {
    expect((await ran(runner)).stderr).toMatch(/it is not a Jupyter notebook/);
    expect(await ran(join(folder, "none.ipynb"))).toMatchObject({ code: 1, stderr: expect.stringContaining("there is no such file") });
  });
});

describe("a notebook that passes", { timeout: 60_000 }, () => {
  test("its outputs are stored as Jupyter stores them, an overwritten display once", async () => {
    const out = join(folder, "passes.ipynb");
    expect(await ran(fixture("passes"), "--out", out)).toMatchObject({ code: 0, stdout: expect.stringMatching(/^passes.ipynb: 3 cells ran/) });
    expect(outputsIn(out)).toEqual([
      { output_type: "stream", name: "stdout", text: ["answer 42\n"] },
      { output_type: "display_data", metadata: {}, data: { "text/html": ["<p>note</p>"] } },
      { output_type: "display_data", metadata: {}, data: { "text/html": ["<b>shown</b>"] } },
      { output_type: "stream", name: "stdout", text: ["42\n"] },
    ]);
  });

  test("stored outputs that are not today's are told; stored once, they are", async () => {
    const copy = join(folder, "copy.ipynb");
    copyFileSync(fixture("passes"), copy);
    expect(await ran(copy, "--check")).toMatchObject({ code: 1, stderr: expect.stringContaining("not those of today's run") });
    expect(await ran(copy, "--write")).toMatchObject({ code: 0 });
    expect(await ran(copy, "--check")).toMatchObject({ code: 0 });
  });

  test("its page shows words, source and outputs, and keeps the script that an overwritten display had run", async () => {
    const page = join(folder, "page.html");
    await ran(fixture("passes"), "--html", page);
    const html = readFileSync(page, "utf8");
    for (const part of ["<em>emphasis</em>", "const answer: number = 6 * 7;", "answer 42", "<b>shown</b>", "<script>window.ran = 1;</script>", "<p>note</p>"]) expect(html).toContain(part);
    expect(html).not.toMatch(/(src|href)="https?:/);
  });
});
