import { nodeTooOld } from "./node-version.mjs";

const sentence = nodeTooOld(process.versions.node);
if (sentence === "") void import("./launch.mjs").then((launcher) => launcher.launch(process.argv.slice(2)));
else {
  console.error(sentence);
  process.exitCode = 1;
}
