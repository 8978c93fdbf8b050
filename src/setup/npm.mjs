// npm as a program that can be spawned without a shell on every system.
import { existsSync } from "node:fs";
import { basename, dirname, join } from "node:path";

/** @returns {{ command: string, args: readonly string[] }} */
export function npmCommand() {
  const besideNode = dirname(process.execPath);
  const given = process.env["npm_execpath"];
  const scripts = [
    ...(given !== undefined && basename(given).startsWith("npm") && given.endsWith(".js") ? [given] : []),
    join(besideNode, "node_modules", "npm", "bin", "npm-cli.js"),
    join(besideNode, "..", "lib", "node_modules", "npm", "bin", "npm-cli.js"),
    join(besideNode, "..", "share", "nodejs", "npm", "bin", "npm-cli.js"),
  ];
  const script = scripts.find((path) => existsSync(path));
  return script === undefined ? { command: "npm", args: [] } : { command: process.execPath, args: [script] };
}
