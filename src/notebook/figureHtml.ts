import type { Figure } from "../figures/figure.js";
import { escaped } from "../figures/text.js";
import { checksum } from "./checksum.js";
import { sheetChanges } from "./sheets.js";

/** A figure for a page, in parts that are shown under each other: the live one needs scripts and the plotting library, the still one needs nothing. */
export type FigureHtml = {
  /** Draws itself as soon as the plotting library is on the page, and hides the still picture of the same figure. */
  readonly live: string;
  /** The still picture from its SVG source, which may come later than the live figure. */
  readonly still: (svg: string) => string;
};

/** Where scripts are not allowed the live part stays empty, and the still picture is seen. */
export function figureHtml(figure: Figure): FigureHtml {
  const json = JSON.stringify({ data: figure.data, layout: figure.layout, config: figure.config, heightScale: figure.heightScale, fileName: figure.fileName, alt: figure.alt, sheets: sheetChanges(figure) });
  const mark = `neck-figure-${checksum(json).toString(36)}`;
  const live = `<div class="${mark} tex2jax_ignore mathjax_ignore" style="overflow:hidden"></div><script>${liveScript(mark, json.replace(/</g, "\\u003c"))}</script>`;
  return { live, still: (svg) => stillImage(figure, svg, `${mark}-still`) };
}

/**
 * The still picture as an image element that carries its own bytes.
 * @param mark the class that hides it where its live figure is drawn
 */
export function stillImage(figure: Figure, svg: string, mark = ""): string {
  const bytes = Buffer.from(svg, "utf8").toString("base64");
  return `<img${mark === "" ? "" : ` class="${mark}"`} src="data:image/svg+xml;base64,${bytes}" alt="${escaped(figure.alt)}" width="${figure.widthPx}" height="${figure.heightPx}" style="max-width:100%;height:auto;display:block">`;
}

/**
 * Found by class, not by place: a page may copy outputs, move them or show them late, so the figure is drawn wherever
 * its element is attached and laid out. Until then its place is kept free, unless the still picture stands below. Zooming changes how much too tall heights are, so the sentence that says it follows.
 * It is laid out for the widest sheet that its box holds and enlarged to fill it; a saved picture has the full width.
 */
function liveScript(mark: string, json: string): string {
  return `(function () {
  var fig = ${json};
  function button(name, title, icon, format) {
    return { name: name, title: title, icon: icon, click: function (gd) { window.Plotly.downloadImage(wide(gd), { format: format, filename: fig.fileName, width: fig.sheets[0].widthPx, height: fig.sheets[0].heightPx, scale: format === "png" ? 3 : 1 }); } };
  }
  function config() {
    var icons = window.Plotly.Icons;
    return Object.assign({}, fig.config, { modeBarButtons: [["zoom2d", "pan2d", "resetScale2d"], [button("svg", "Save as SVG (sharp in print)", icons.disk, "svg"), button("png", "Save as PNG picture", icons.camera, "png")]] });
  }
  function copy(thing) { return JSON.parse(JSON.stringify(thing)); }
  function layoutOf(sheet) {
    var layout = copy(fig.layout);
    Object.keys(sheet.changes).forEach(function (path) {
      var keys = path.split("."), last = keys.pop();
      keys.reduce(function (part, key) { return part[key]; }, layout)[last] = copy(sheet.changes[path]);
    });
    return layout;
  }
  function wide(gd) {
    var layout = copy(fig.layout);
    Object.keys(layout).forEach(function (key) { if (/^[xy]axis/.test(key)) layout[key].range = gd.layout[key].range.slice(); });
    if (fig.heightScale) layout.annotations[fig.heightScale.annotation].text = gd.layout.annotations[fig.heightScale.annotation].text;
    keptSliders(layout, gd);
    return { data: gd.data, layout: layout, config: fig.config };
  }
  function keptSliders(layout, gd) {
    (layout.sliders || []).forEach(function (slider, at) { slider.active = gd.layout.sliders[at].active; });
    return layout;
  }
  function fit(el, frame, plot) {
    var box = el.clientWidth, widest = fig.sheets[0];
    if (box === 0) return;
    var sheet = fig.sheets.find(function (one) { return one.widthPx <= box; }) || fig.sheets[fig.sheets.length - 1];
    var scale = sheet === widest ? Math.min(1, box / sheet.widthPx) : box / sheet.widthPx;
    plot.style.width = sheet.widthPx + "px";
    plot.style.transform = scale === 1 ? "" : "scale(" + scale + ")";
    frame.style.height = Math.ceil(sheet.heightPx * scale) + "px";
    if (plot.neckSheet === sheet) return;
    var isFirst = plot.neckSheet === undefined;
    plot.neckSheet = sheet;
    if (isFirst) window.Plotly.newPlot(plot, fig.data, layoutOf(sheet), config()).then(function (gd) { gd.on("plotly_relayout", function () { keepScaleTrue(gd); }); });
    else window.Plotly.relayout(plot, keptSliders(copy(sheet.changes), plot));
  }
  function keepScaleTrue(gd) {
    if (!fig.heightScale) return;
    var l = gd.layout, plotPx = l.width - l.margin.l - l.margin.r, panelPx = (l.yaxis.domain[1] - l.yaxis.domain[0]) * (l.height - l.margin.t - l.margin.b);
    var times = (panelPx / Math.abs(l.yaxis.range[1] - l.yaxis.range[0])) / (plotPx / Math.abs(l.xaxis.range[1] - l.xaxis.range[0]));
    var text = fig.heightScale.before + Number(times.toPrecision(2)) + fig.heightScale.after, update = {};
    if (!isFinite(times) || l.annotations[fig.heightScale.annotation].text.replace(/<br>/g, " ") === text) return;
    update["annotations[" + fig.heightScale.annotation + "].text"] = text;
    window.Plotly.relayout(gd, update);
  }
  function hideStill() {
    if (document.querySelector("style.${mark}-hides")) return;
    var style = document.createElement("style");
    style.className = "${mark}-hides";
    style.textContent = ".${mark}-still{display:none!important}";
    document.head.appendChild(style);
  }
  function figures() { return document.querySelectorAll(".${mark}"); }
  function keepPlace(waits) {
    var isSeen = document.querySelector("img.${mark}-still") !== null;
    figures().forEach(function (el) {
      if (!el.dataset.live && el.clientWidth > 0) el.style.minHeight = waits && !isSeen ? Math.ceil(fig.sheets[0].heightPx * Math.min(1, el.clientWidth / fig.sheets[0].widthPx)) + "px" : "";
    });
  }
  function draw() {
    if (!window.Plotly) return false;
    var found = false;
    figures().forEach(function (el) {
      if (el.dataset.live) { found = true; return; }
      if (!el.isConnected || el.offsetWidth === 0) return;
      found = true;
      el.dataset.live = "1";
      el.style.minHeight = "";
      var frame = document.createElement("div"), plot = document.createElement("div");
      plot.setAttribute("role", "group");
      plot.setAttribute("aria-label", fig.alt);
      frame.style.overflow = "hidden";
      plot.style.transformOrigin = "0 0";
      frame.appendChild(plot);
      el.appendChild(frame);
      hideStill();
      fit(el, frame, plot);
      if (window.ResizeObserver) new ResizeObserver(function () { fit(el, frame, plot); }).observe(el);
      else window.addEventListener("resize", function () { fit(el, frame, plot); });
    });
    return found;
  }
  var tries = 0;
  (function again() {
    if (draw()) return;
    keepPlace(++tries < 600);
    if (tries < 600) setTimeout(again, tries < 40 ? 50 : 500);
  })();
  window.addEventListener("neck-survey:plots", draw);
})();`;
}
