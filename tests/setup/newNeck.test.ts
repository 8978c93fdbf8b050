import { execFile } from "node:child_process";
import { existsSync, readFileSync, readdirSync, rmSync } from "node:fs";
import { fileURLToPath } from "node:url";
import { join } from "node:path";
import { afterAll, describe, expect, test } from "vitest";

const program = fileURLToPath(new URL("../../src/setup/new.mjs", import.meta.url));
const start = fileURLToPath(new URL("../../src/setup/start.mjs", import.meta.url));
const home = fileURLToPath(new URL("../../my-necks", import.meta.url));
/** A name that no builder has taken: what is made for it is taken away again. */
const name = `check ${process.pid} ${Date.now()}`;
afterAll(() => rmSync(join(home, name), { recursive: true, force: true }));

const ran = (args: readonly string[], which = program): Promise<{ code: number; stdout: string; stderr: string }> =>
  new Promise((resolve) => {
    const child = execFile(process.execPath, [which, ...args], (error, stdout, stderr) => resolve({ code: error === null ? 0 : Number(error.code), stdout, stderr }));
    child.stdin?.end();
  });

describe("npm run new", { timeout: 60_000 }, () => {
  test("makes the four files, says how to open them, and never touches what is there", async () => {
    const first = await ran([name, "--scale", "25.5 in", "--frets", "22"]);
    expect(first).toMatchObject({ code: 0, stdout: expect.stringContaining(`npm start -- "${name}"`) });
    expect(readdirSync(join(home, name)).sort()).toEqual(["bench-sheet.html", `${name}.ipynb`, "neck.json", "readings.csv"]);
    for (const named of [name, "03"]) expect(await ran([named, "--help"], start)).toMatchObject({ code: 0 }); // npm start finds its notebook by the neck's name, and ours by its number
    expect(await ran([`no ${name}`, "--help"], start)).toMatchObject({ code: 1, stderr: expect.stringContaining(`Cannot open no ${name}`) });
    const before = readFileSync(join(home, name, "neck.json"), "utf8");
    const second = await ran([name, "--scale", "24 in", "--frets", "21"]);
    expect(second).toMatchObject({ code: 1, stderr: expect.stringContaining("nothing in it was touched") });
    expect(readFileSync(join(home, name, "neck.json"), "utf8")).toBe(before);
    expect(readdirSync(home).filter((file) => file.startsWith(".making-"))).toEqual([]);
  });

  test.each([
    [[], "A new neck needs a name."],
    [["two", "names"], 'between quotes if it has a blank in it: "two names"?'],
    [["lonely"], "A new neck needs its scale length and its number of frets."],
    [["lonely", "--scale", "25.5 in", "--frets", "many"], 'Cannot use "many" as the number of frets'],
    [["lonely", "--scale", "25.5", "--frets", "22"], 'write "25.5 in"'],
    [["lonely", "--sclae", "25.5 in"], "Unknown option '--sclae'"],
  ])("%j makes nothing and says why", async (args, sentence) => {
    const { code, stdout, stderr } = await ran(args);
    expect({ code, stdout }).toEqual({ code: 1, stdout: "" });
    expect(stderr).toContain(sentence);
    expect(stderr).not.toMatch(/^\s+at /m);
    expect(existsSync(join(home, "lonely"))).toBe(false);
  });
});
