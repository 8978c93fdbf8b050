/** The sheet: warm paper, ink, pencil. Contrast of ink and of each line's colour on the paper is over 4.5 to 1. */
export const PAPER = "#fbf7ec";
export const PANEL = "#fffdf6";
export const INK = "#26313a";
export const SOFT_INK = "#56606a";
export const PENCIL = "#b9ae96";
export const FAINT_PENCIL = "#e3dac5";
export const BOARD = "#ecdcbc";
export const BOARD_EDGE = "#8a7550";

export const TEXT_FONT = "'Source Sans 3', 'Segoe UI', 'Helvetica Neue', 'Liberation Sans', Arial, sans-serif";
export const TITLE_FONT = "'Iowan Old Style', 'Palatino Linotype', Palatino, 'Book Antiqua', Georgia, 'DejaVu Serif', serif";

/** No text on a figure is smaller than this. */
export const SMALLEST_TEXT_PX = 12;
export const HOVER_TEXT_PX = 13;

/** How one line along the neck is told apart: by marker, dash and hatching as well as by colour. */
export type LineLook = {
  readonly colour: string;
  readonly marker: string;
  /** The marker as a character, for headings. */
  readonly sign: string;
  readonly dash: string;
  readonly hatch: string;
};

/** Dark shades of a set that stays apart in the common forms of colour blindness (Okabe and Ito, 2008; darkened for print on paper). */
const LOOKS: readonly [LineLook, ...LineLook[]] = [
  { colour: "#14527f", marker: "circle", sign: "●", dash: "solid", hatch: "/" },
  { colour: "#9c3f0c", marker: "square", sign: "■", dash: "longdash", hatch: "\\" },
  { colour: "#0b6249", marker: "triangle-up", sign: "▲", dash: "dash", hatch: "x" },
  { colour: "#7a2f63", marker: "diamond", sign: "◆", dash: "longdashdot", hatch: "|" },
  { colour: "#4a4a4a", marker: "triangle-down", sign: "▼", dash: "dashdot", hatch: "-" },
  { colour: "#5f5410", marker: "star", sign: "★", dash: "dot", hatch: "+" },
];

/** The look of the line at this place in the neck's list of lines, bass first; after six lines the looks begin again. */
export function lineLook(index: number): LineLook {
  return LOOKS[((index % LOOKS.length) + LOOKS.length) % LOOKS.length] ?? LOOKS[0];
}
