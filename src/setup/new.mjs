import { nodeTooOld } from "./node-version.mjs";

const sentence = nodeTooOld(process.versions.node);
if (sentence === "") void import("./new-neck.mjs").then((command) => command.newNeckCommand(process.argv.slice(2)));
else {
  console.error(sentence);
  process.exitCode = 1;
}
