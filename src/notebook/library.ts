import { readFileSync } from "node:fs";
import { gzipSync } from "node:zlib";
import { plotlyFile } from "./still.js";

let made: string | undefined;

/**
 * The plotting library as HTML for a page, about 0.7 MB: it unpacks itself once, asks nothing of the network, and tells waiting figures that it is there.
 * Module systems of the page are hidden from it, so that it always arrives as `window.Plotly`.
 */
export function libraryHtml(): string {
  made ??= `<script>${loader(gzipSync(readFileSync(plotlyFile()), { level: 9 }).toString("base64"))}</script>`;
  return made;
}

function loader(packed: string): string {
  return `(function () {
  function ready() { window.dispatchEvent(new Event("neck-survey:plots")); }
  if (window.Plotly) return ready();
  if (typeof DecompressionStream === "undefined") return;
  var raw = atob("${packed}"), bytes = new Uint8Array(raw.length);
  for (var i = 0; i < raw.length; i++) bytes[i] = raw.charCodeAt(i);
  new Response(new Blob([bytes]).stream().pipeThrough(new DecompressionStream("gzip"))).text().then(function (source) {
    if (!window.Plotly) new Function("define", "module", "exports", source).call(window);
    ready();
  });
})();`;
}
