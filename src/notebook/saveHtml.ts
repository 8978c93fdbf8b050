import { mkdirSync, renameSync, writeFileSync } from "node:fs";
import { dirname } from "node:path";
import { escaped } from "../figures/text.js";
import type { Card } from "./card.js";
import { sendHtml } from "./outlet.js";
import { toldPlainly } from "./plainly.js";

/**
 * Writes a card to a file, whole or not at all, and says where it is.
 * @param what what kind of card, as a heading: `Working card`
 * @throws {Error} in one sentence where the file cannot be written
 */
export function saveHtml(card: Card, what: string, file: string): void {
  try {
    mkdirSync(dirname(file), { recursive: true });
    const part = `${file}.${process.pid}.part`;
    writeFileSync(part, card.html);
    renameSync(part, file);
  } catch (error) {
    throw toldPlainly(`Cannot save the card as ${file}: ${error instanceof Error ? error.message : String(error)} (give a name in a folder that may be written)`);
  }
  sendHtml(`<p>${escaped(what)} saved as <code>${escaped(file)}</code>, counted from this notebook's folder: open it in a browser and print it.</p>`, `${what} saved as ${file}`);
}
