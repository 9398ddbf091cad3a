// Small helps of the workbench: the sheet's colour, keys, the plan and its card. Every deed works without it.
"use strict";
(() => {
  const $ = (q, at = document) => at.querySelector(q);
  const all = (q, at = document) => [...at.querySelectorAll(q)];
  const kept = (k) => { try { return localStorage.getItem(k); } catch { return null; } };
  const keep = (k, v) => { try { localStorage.setItem(k, v); } catch { /* not kept: the switch still works here */ } };

  function dark() {
    const s = document.documentElement.dataset.sheet;
    return s ? s === "dark" : matchMedia("(prefers-color-scheme: dark)").matches;
  }

  function typing(e) {
    return e.target.closest("input:not([type=checkbox]),textarea,select,[contenteditable]");
  }

  // ---- the plan and its card
  function showStripe() {
    const card = $("#card"), plan = $("#plan");
    if (!plan) return;
    for (const [layer, key] of [["stripe", "stripe"], ["open-box", "box"]]) {
      const path = $(`[data-layer="${layer}"] path`, plan);
      if (path) path.setAttribute("d", card ? card.dataset[key] || "M0 0" : "M0 0");
    }
    const place = $(".workplace");
    if (place) place.classList.toggle("open", !!card);
  }

  let from = null;
  async function openCard(href, push = true) {
    const url = new URL(href, location.href);
    const shown = url.pathname + url.search;
    url.searchParams.set("part", "card");
    let answer;
    try {
      answer = await fetch(url, { headers: { "HX-Request": "true" } });
    } catch { location.href = shown; return; }
    if (!answer.ok) { location.href = shown; return; }
    const box = $("#beside");
    const held = document.createElement("template");
    held.innerHTML = await answer.text();
    const got = $("#beside", held.content) || held.content.firstElementChild;
    box.replaceWith(got);
    htmx.process(got);
    if (push) history.pushState({}, "", shown);
    showStripe();
    const card = $("#card");
    if (card) {
      card.focus({ preventScroll: innerWidth > 1200 });
      const at = card.getBoundingClientRect();
      if (innerWidth <= 1200 || at.bottom < 80 || at.top > innerHeight - 80) card.scrollIntoView({ block: "start" });
    }
  }

  function closeCard() {
    const card = $("#beside #card");
    if (!card) return false;
    const n = card.dataset.stretch, shut = $("#close", card), away = shut ? shut.getAttribute("href") : location.pathname;
    card.remove();
    history.pushState({}, "", away);
    showStripe();
    const back = from && from.isConnected ? from : n ? $(`#plan a[href$="stretch=${n}"]`) : null;
    if (back) back.focus();
    return true;
  }

  const hot = () => all('#plan [data-layer="lines"] a.hot');

  function place(a) {
    const b = a.getBoundingClientRect();
    return { x: (b.left + b.right) / 2, y: (b.top + b.bottom) / 2 };
  }

  function step(a, dx, dy) {
    const at = place(a);
    let best = null, far = Infinity;
    for (const other of hot()) {
      if (other === a) continue;
      const p = place(other), along = dx ? (p.x - at.x) * dx : (p.y - at.y) * dy, across = dx ? Math.abs(p.y - at.y) : Math.abs(p.x - at.x);
      if (along < 0.5) continue;
      const cost = along + (dx ? 6 : 0.5) * across;
      if (cost < far) { far = cost; best = other; }
    }
    if (best) { a.tabIndex = -1; best.tabIndex = 0; best.focus(); }
  }

  function nextShort(by) {
    const list = hot().filter((a) => a.dataset.state === "short").map((a) => [place(a), a]);
    list.sort(([p], [q]) => p.y - q.y || p.x - q.x);
    if (!list.length) return;
    const open = $("#card") && $("#card").dataset.stretch;
    const i = list.findIndex(([, a]) => a.getAttribute("href").endsWith(`stretch=${open}`));
    const [, a] = list[(i + by + list.length) % list.length] || list[0];
    from = a;
    openCard(a.getAttribute("href"));
  }

  // ---- the text editor's line numbers
  function numbers() {
    for (const box of all(".lined")) {
      const area = $("textarea", box), list = $(".numbers", box);
      const bad = new Set((list.dataset.marks || "").split(" "));
      const draw = () => {
        const n = area.value.split("\n").length;
        if (list.childElementCount === n) return;
        list.replaceChildren(...Array.from({ length: n }, (_, i) => {
          const li = document.createElement("li");
          li.textContent = i + 1;
          li.id = `line-${i + 1}`;
          if (bad.has(String(i + 1))) li.className = "bad";
          return li;
        }));
      };
      draw();
      area.addEventListener("input", draw);
      area.addEventListener("scroll", () => { list.scrollTop = area.scrollTop; });
    }
  }

  function toLine(n) {
    const area = $(".lined textarea");
    if (!area) return;
    const lines = area.value.split("\n");
    const start = lines.slice(0, n - 1).join("\n").length + (n > 1 ? 1 : 0);
    area.focus();
    area.setSelectionRange(start, start + (lines[n - 1] || "").length);
    area.scrollTop = Math.max(0, (n - 6) * 20);
    $(".lined .numbers").scrollTop = area.scrollTop;
  }

  function settle() {
    numbers();
    showStripe();
    const find = $(".find");
    if (find) find.hidden = true;
    const wrong = $("#wrong");
    if (wrong) wrong.focus();
    const off = $("#keys-off");
    if (off) off.checked = kept("keys") === "off";
    const here = $(".tape .here");
    if (here && !wrong) here.parentElement.parentElement.parentElement.scrollLeft = here.offsetLeft - 24;
  }

  document.addEventListener("click", (e) => {
    const sheet = e.target.closest("#sheet");
    if (sheet) {
      const to = dark() ? "light" : "dark";
      document.documentElement.dataset.sheet = to;
      document.cookie = `sheet=${to}; path=/; max-age=31536000; samesite=strict`;
      return;
    }
    if (e.target.closest("#keys-open")) { $("#keys").showModal(); return; }
    const line = e.target.closest('.wrong a[href^="#line-"]');
    if (line) { e.preventDefault(); toLine(Number(line.hash.slice(6))); return; }
    if (e.ctrlKey || e.metaKey || e.shiftKey || e.button) return;
    const a = e.target.closest("#plan a.hot, #old-steel a.hot, a[data-card]");
    if (a && $("#beside")) { e.preventDefault(); from = a; openCard(a.getAttribute("href")); return; }
    if (e.target.closest("#close")) { e.preventDefault(); closeCard(); }
  });

  document.addEventListener("input", (e) => {
    const row = e.target.closest(".row");
    if (row) row.classList.add("touched");
  });
  document.addEventListener("change", (e) => {
    if (e.target.id === "keys-off") keep("keys", e.target.checked ? "off" : "on");
    if (e.target.id === "find") {
      const want = e.target.value.trim().toLowerCase();
      const line = hot().find((a) => a.dataset.line.toLowerCase() === want);
      const row = all("a[data-card]").find((a) => a.textContent.trim().toLowerCase() === want);
      if (line || row) { from = line || row; openCard((line || row).getAttribute("href")); }
    }
    if (e.target.dataset.layers) {
      for (const name of e.target.dataset.layers.split(" ")) {
        const layer = $(`#plan [data-layer="${name}"]`);
        if (layer) layer.classList.toggle("off", !e.target.checked);
      }
    }
  });
  document.addEventListener("submit", (e) => {
    const busy = $(".busy", e.target);
    if (busy) busy.textContent = "Writing the papers";
  });
  document.addEventListener("keydown", (e) => {
    if (e.key === "Escape" && !$("dialog[open]") && closeCard()) { e.preventDefault(); return; }
    const a = e.target.closest && e.target.closest('#plan [data-layer="lines"] a.hot');
    const way = { ArrowLeft: [-1, 0], ArrowRight: [1, 0], ArrowUp: [0, -1], ArrowDown: [0, 1] }[e.key];
    if (a && way) { e.preventDefault(); step(a, ...way); return; }
    if (typing(e) || e.ctrlKey || e.metaKey || e.altKey || kept("keys") === "off" || $("dialog[open]")) return;
    if (e.key === "?") $("#keys").showModal();
    else if ((e.key === "t" || e.key === "T") && $("table.checks a")) $("table.checks a").focus();
    else if (e.key === "[" ) nextShort(-1);
    else if (e.key === "]") nextShort(1);
    else if (e.key === "/" && $(".find")) { e.preventDefault(); $(".find").hidden = false; $("#find").focus(); }
    else if ((e.key === "u" || e.key === "U") && $("#undo")) $("#undo").click();
  });
  addEventListener("popstate", () => { if ($("#beside")) location.reload(); });
  document.addEventListener("htmx:error", () => {
    const main = $("#main");
    if (!main) return;
    const told = $("#unsaved") || document.createElement("div");
    told.id = "unsaved";
    told.className = "wrong";
    told.setAttribute("role", "alert");
    told.textContent = "Not saved: the workbench does not answer. What you typed is still on this page. Start it again, then save.";
    main.prepend(told);
    told.scrollIntoView({ block: "nearest" });
  });
  document.addEventListener("htmx:after:swap", settle);
  if (document.readyState === "loading") document.addEventListener("DOMContentLoaded", settle); else settle();
})();
