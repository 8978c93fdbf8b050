import { join } from "node:path";
import { root } from "../places.mjs";
import { run } from "../run.mjs";

/** @returns {Promise<import("../gate.mjs").Outcome>} one check for the library, one for the tests */
export async function check() {
  const compiler = join(root, "node_modules", "typescript", "bin", "tsc");
  const [library, tests] = await Promise.all([run(process.execPath, [compiler, "--noEmit", "-p", root]), run(process.execPath, [compiler, "-p", join(root, "tests")])]);
  const failures = [library, tests].filter(({ code }) => code !== 0).map(({ output }) => output);
  return { passed: 2 - failures.length, failures };
}
