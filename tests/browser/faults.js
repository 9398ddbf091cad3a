// Basic accessibility faults of the page shown: a list of words, empty where there is none.
() => {
  const out = [], seen = new Set();
  const all = (q) => document.querySelectorAll(q);
  const named = (e) => e.labels?.length || e.getAttribute("aria-label") || e.getAttribute("aria-labelledby");
  for (const e of all("input:not([type=hidden]),select,textarea"))
    if (!named(e)) out.push("no label: " + e.outerHTML.slice(0, 90));
  for (const e of all("button,a[href]"))
    if (!(e.textContent.trim() || e.getAttribute("aria-label"))) out.push("no name: " + e.outerHTML.slice(0, 90));
  if (all("h1").length !== 1) out.push("not one h1");
  for (const q of ["header", "main", "footer"]) if (!all(q).length) out.push("no " + q);
  for (const e of all("[id]")) {
    if (seen.has(e.id)) out.push("twice: " + e.id);
    seen.add(e.id);
  }
  for (const e of all("table")) if (!e.caption && !e.closest("dialog")) out.push("table without caption");
  let level = 0;
  for (const e of all("main h1,main h2,main h3,main h4")) {
    const n = +e.tagName[1];
    if (level && n > level + 1) out.push("heading jumps: " + e.textContent.slice(0, 40));
    level = n;
  }
  // Contrast by the WCAG 2.2 formula of relative luminance, from computed colours.
  const rgb = (s) => s.match(/[\d.]+/g).map(Number);
  const part = (v) => (v / 255 <= 0.04045 ? v / 255 / 12.92 : ((v / 255 + 0.055) / 1.055) ** 2.4);
  const lum = (c) => 0.2126 * part(c[0]) + 0.7152 * part(c[1]) + 0.0722 * part(c[2]);
  const ground = (e) => {
    for (; e; e = e.parentElement) {
      const c = rgb(getComputedStyle(e).backgroundColor);
      if (c.length < 4 || c[3] > 0) return c.slice(0, 3);
    }
    return [255, 255, 255];
  };
  const words =
    "h1,h2,h3,p,label,td,th,a,button,.said,.help,.state b,.blank,.unit,.source,small,dt,dd,summary,input,select";
  for (const e of all(words)) {
    if (e.closest("svg") || !e.getClientRects().length) continue;
    const a = lum(rgb(getComputedStyle(e).color)), b = lum(ground(e));
    const k = (Math.max(a, b) + 0.05) / (Math.min(a, b) + 0.05);
    if (k < 4.5) out.push("contrast " + k.toFixed(2) + ": " + e.outerHTML.slice(0, 80));
  }
  return out.slice(0, 12);
}
