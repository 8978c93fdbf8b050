import { nodeTooOld } from "./node-version.mjs";

const sentence = nodeTooOld(process.versions.node);
if (sentence === "") void import("./headless-report.mjs").then((headless) => headless.reportCommand(process.argv.slice(2)));
else {
  console.error(sentence);
  process.exitCode = 1;
}
