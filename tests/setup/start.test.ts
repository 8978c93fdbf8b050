import { spawn } from "node:child_process";
import { createServer, type Server } from "node:net";
import { fileURLToPath } from "node:url";
import { describe, expect, test } from "vitest";
import { nodeTooOld } from "../../src/setup/node-version.mjs";
import { freePort } from "../../src/setup/server.mjs";

const start = fileURLToPath(new URL("../../src/setup/start.mjs", import.meta.url));

const ran = (args: readonly string[]): Promise<{ code: number | null; stdout: string; stderr: string }> =>
  new Promise((resolve) => {
    const child = spawn(process.execPath, [start, ...args]);
    let [stdout, stderr] = ["", ""];
    child.stdout.on("data", (chunk: Buffer) => (stdout += chunk.toString()));
    child.stderr.on("data", (chunk: Buffer) => (stderr += chunk.toString()));
    child.on("close", (code) => resolve({ code, stdout, stderr }));
  });

describe("Node's version", () => {
  test.each(["20.19.0", "20.20.2", "22.12.0", "22.13.1", "23.0.0", "24.1.0"])("%s will do", (version) => {
    expect(nodeTooOld(version)).toBe("");
  });

  test.each(["12.22.0", "18.20.4", "20.18.3", "21.7.0", "22.11.0"])("%s is told to be too old, and what to get", (version) => {
    expect(nodeTooOld(version)).toMatch(new RegExp(`^This is Node ${version.replaceAll(".", "\\.")}, and neck-survey needs Node 20\\.19 or newer`));
  });
});

describe("the options of npm start", () => {
  test.each([
    [["--prot", "1"], "Unknown option '--prot'"],
    [["--port", "http"], 'Cannot use the port "http": a port is a whole number from 1 to 65535.'],
    [["--port", "70000"], 'Cannot use the port "70000"'],
    [["--port", "0"], 'Cannot use the port "0"'],
    [["neck.csv"], "Cannot open neck.csv: expected a notebook, whose name ends in .ipynb"],
    [["99"], "a neck's folder in my-necks/, or the number of a notebook, as 03"],
    [["none.ipynb"], "Cannot open none.ipynb: there is no such file."],
    [["one.ipynb", "two.ipynb"], "Can open one notebook at a start, not 2"],
  ])("%j is refused in a sentence", async (args, sentence) => {
    const { code, stdout, stderr } = await ran(args);
    expect({ code, stdout }).toEqual({ code: 1, stdout: "" });
    expect(stderr).toContain(sentence);
    expect(stderr).toContain("usage: npm start");
    expect(stderr).not.toMatch(/^\s+at /m);
  });

  test("--help prints the usage", async () => {
    expect(await ran(["--help"])).toMatchObject({ code: 0, stdout: expect.stringContaining("usage: npm start") });
  });
});

describe("a port that is taken", () => {
  const listening = (port: number): Promise<Server> => new Promise((resolve) => {
    const server = createServer();
    server.listen(port, "127.0.0.1", () => resolve(server));
  });

  test("the next free one is used, and that is said", async () => {
    const server = await listening(0);
    const address = server.address();
    const taken = address !== null && typeof address === "object" ? address.port : 0;
    const said: string[] = [];
    const port = await freePort(taken, (line) => said.push(line));
    server.close();
    expect(port).toBeGreaterThan(taken);
    expect(said).toEqual([`Port ${taken} is taken by another program; using ${port}.`]);
  });
});
