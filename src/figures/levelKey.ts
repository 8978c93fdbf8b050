import { INK, SOFT_INK } from "./look.js";

/** One mark of the levelling's drawing, small, and what it means. */
export type KeyMark = { readonly svg: string; readonly words: string; /** False where only a plan that seats frets has it. */ readonly always: boolean };

const mark = (inside: string): string => `<svg viewBox="0 0 28 14" aria-hidden="true" focusable="false">${inside}</svg>`;

/** The key of the drawing for a card, whose drawing has no legend. */
export const LEVEL_KEY: readonly KeyMark[] = [
  { words: "touched first", always: true, svg: mark(`<circle cx="14" cy="7" r="6" fill="none" stroke="${INK}" stroke-width="1.5"/>`) },
  { words: "line to be cut", always: true, svg: mark(`<path d="M0 7H28" stroke="${INK}" stroke-width="2"/>`) },
  { words: "beam as it first lies", always: true, svg: mark(`<path d="M0 7H28" stroke="${SOFT_INK}" stroke-width="1.6" stroke-dasharray="7 3.5"/>`) },
  { words: "within tolerance", always: true, svg: mark(`<path d="M0 3H28V11H0Z" fill="#dfe1e3"/>`) },
  { words: "to be seated, as it stands", always: false, svg: mark(`<path d="M14 1L20 7L14 13L8 7Z" fill="none" stroke="${INK}" stroke-width="1.5"/>`) },
];
