/** Anything that JSON can hold: what a figure is made of, so that it can be saved, sent to a page and compared. */
export type Json = string | number | boolean | null | readonly Json[] | { readonly [key: string]: Json };

/** A part of a figure: keys and values as plotly names them. */
export type JsonObject = { readonly [key: string]: Json };

/**
 * A finished drawing as plain data: `data`, `layout` and `config` are handed to plotly as they are.
 * Every text inside is already escaped for plotly's small markup.
 */
export type Figure = {
  readonly data: readonly JsonObject[];
  readonly layout: JsonObject;
  readonly config: JsonObject;
  /** The picture in words, for who cannot see it. Plain text: escape it before it goes into HTML. */
  readonly alt: string;
  /** A plain name for a saved file, without ending. */
  readonly fileName: string;
  readonly widthPx: number;
  readonly heightPx: number;
  /** Where the drawing states how much too tall heights are drawn, so that a zoomed page can keep it true; absent where no heights are drawn along the neck. */
  readonly heightScale?: HeightScale;
  /** The same drawing laid out anew for narrower pages, widest first; its data stay as they are. */
  readonly narrower: readonly NarrowerLayout[];
};

/** Which annotation of a layout states the height scale, and the words around the number. */
export type HeightScale = { readonly annotation: number; readonly before: string; readonly after: string };

/** A layout of a figure for a page that is narrower than the figure. */
export type NarrowerLayout = Pick<Figure, "layout" | "widthPx" | "heightPx">;
