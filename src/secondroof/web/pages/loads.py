"""Duty 5: every load on the roof, on the plan, along a line, on the frames, and as water."""

from __future__ import annotations

from dataclasses import replace
from functools import partial
from typing import TYPE_CHECKING, Any
from urllib.parse import urlencode

from secondroof.checks.numbers import show
from secondroof.web.ask import Ask, JobAsk, Page
from secondroof.web.cards import find_load_card
from secondroof.web.contexts import Link, LoadsPage, Table, Told

if TYPE_CHECKING:
    from secondroof.acting.model import Case
    from secondroof.findings.model import Findings
    from secondroof.roof.model import RoofLine

EMPTY = Table((), ())


def address(base: str, kept: dict[str, str], **more: object) -> str:
    """Address of the page with what it shows now and what is asked for."""
    query = {**kept, **{k: str(v) for k, v in more.items()}}
    return f"{base}?{urlencode(query)}" if query else base


def show_loads(ask: Ask) -> Page:
    """Every load, or only the card where just that is asked for."""
    from secondroof.web.loadrows import case_lines, line_of, line_table
    from secondroof.web.loadtables import loads_needs, needs_table, wind_tables

    j = JobAsk(ask)
    f = j.findings
    if f is None:
        none = Told()
        return Page("loads", LoadsPage(j.frame("loads"), j.why, None, "", (), (), "", "", (), "", "", EMPTY, "", (), "",
                                       none, none, none, EMPTY, "", (), EMPTY, ()))  # fmt: skip
    kept = {k: v for k in ("recover", "case", "line") if (v := ask.query.get(k, ""))}
    href = partial(address, f"/jobs/{j.id}/loads", kept)
    card = find_load_card(f, ask.query.get("card", ""), job=j.job.name, base=f"/jobs/{j.id}/card")
    asked = ask.query.get("case", "")
    case, line = _case(f, asked), line_of(f, ask.query.get("line", ""))
    part = "beside" if ask.partial and ask.query.get("part") == "card" else ""
    at = (j.revision.text, j.recover)
    draw = not part
    record = LoadsPage(
        frame=j.frame("loads"),
        why="",
        card=card,
        close=href(),
        cases=case_lines(f, href),
        snow=tuple(c.sentence for c in f.cases if c.key.startswith("snow.balanced.")),
        chosen="" if case is None else case.key,
        map=j.desk.part(("map", *at, case.key), lambda: _map(f, case)) if case and draw else "",
        lines=_lines(f, "" if line is None else line.name, href),
        line="" if line is None else line.name,
        line_drawing=j.desk.part(("along", *at, line.name, asked), lambda: _along(f, line, asked))
        if line and draw
        else "",
        line_table=line_table(f, line, href) if line else EMPTY,
        plan=j.desk.part(("zones", *at), lambda: _zones(j, f)) if f.zones and draw else "",
        components=wind_tables(f, href),
        enclosure=" ".join(t for t in (_sentence(f.enclosure), _sentence(f.enclosure_reason)) if t),
        then_now=_then_now(f),
        frames=_frames(f),
        ponding=_ponding(f),
        weight=_weight(f),
        added=show(f.added_psf, "psf", "weight"),
        used=tuple(f.rules.items()),
        needs=needs_table(loads_needs(f)),
        notes=f.acting.notes if f.acting else (),
    )
    return Page("loads", record, block=part)


def _sentence(text: str) -> str:
    text = text.strip().rstrip(".")
    return f"{text[:1].upper()}{text[1:]}." if text else ""


def _case(f: Findings, key: str) -> Case | None:
    """Case of the key asked for, else the deepest snow or rain, else what loads a line most."""
    if f.acting is None or not f.acting.cases:
        return None
    found = next((c for c in f.acting.cases if c.key == key), None)
    if found is not None:
        return found
    wet = [c for c in f.acting.cases if c.headline_psf and c.when != "before" and c.kind in ("S", "R")]
    if wet:
        return max(wet, key=lambda c: abs(c.headline_psf or 0.0))
    rows = [r for r in f.cases if r.when != "before"]
    return f.acting.case(max(rows, key=lambda r: abs(r.w_lb_ft)).key) if rows else f.acting.cases[0]


def _map(f: Findings, case: Case) -> str:
    from secondroof.drawings.loadmap import load_map
    from secondroof.drawings.svg import to_svg

    scene = load_map(f.roof, case, most_height_px=520.0)
    return to_svg(replace(scene, name="load-map"))


def _along(f: Findings, line: RoofLine, chosen: str) -> str:
    from secondroof.drawings.svg import to_svg
    from secondroof.web.loadrows import line_scene

    return to_svg(line_scene(f, line, chosen))


def _zones(j: JobAsk, f: Findings) -> str:
    from secondroof.web.plan import zone_plan

    return zone_plan(f, j.survey)


def _lines(f: Findings, here: str, href: Any) -> tuple[tuple[str, tuple[tuple[Link, bool], ...]], ...]:
    return tuple(
        (p.name, tuple((Link(x.name, href(line=x.name) + "#line"), x.name == here) for x in p.lines))
        for p in f.roof.planes
    )


def _then_now(f: Findings) -> Told:
    from secondroof.web.loadtables import then_now_table

    found = f.then_now
    if found is None:
        return Told()
    said = [
        found.sentence,
        f"Assumed: {found.assumed}" if found.assumed else "",
        *(_needed(n) for n in found.needs),
    ]
    table = (("Uplift by zone, then and now", then_now_table(found)),) if found.rows else ()
    return Told("unknown" if found.needs else None, tuple(s for s in said if s), table)


def _needed(need: Any) -> str:
    return f"Missing: {need.what}. Get it: {need.where}. It decides {need.decides}."


def _frames(f: Findings) -> Told:
    from secondroof.web.loadtables import frame_tables

    found = f.frames
    if found is None:
        return Told()
    weights, wind = frame_tables(found)
    level = f"Main-frame wind on the roof, psf, {found.level} level, uplift negative"
    tables = tuple(
        (title, t) for title, t in ((level, wind), ("Dead load of the roof on each frame", weights)) if t.rows
    )
    source = f"{found.clause}, {found.checked}." if found.surfaces and found.clause and found.checked else ""
    said = (found.sentence, source, *(_needed(n) for n in found.needs))
    return Told("unknown" if found.needs else None, tuple(s for s in said if s), tables)


def _ponding(f: Findings) -> Told:
    from secondroof.web.loadtables import water_tables

    found = f.ponding
    if found is None:
        return Told()
    tables: tuple[tuple[str, Table], ...] = ()
    if found.comparison is not None:
        water, limits = water_tables(found.comparison)
        of = f"{found.compared}: metal against a membrane"
        tables = ((f"Water on {of}", water), (f"Deflection limits of {of}", limits))
    assumed = f"Assumed: {'; '.join(found.assumed)}." if found.assumed else ""
    source = f"{found.clause}, {found.checked}." if found.checked else found.clause
    said = (*found.sentences, assumed, source, *(_needed(n) for n in found.needs))
    return Told(found.state, tuple(s for s in said if s), tables)


def _weight(f: Findings) -> Table:
    return Table(
        ("what is added", "how", "part of the covering", "psf"),
        tuple((w.what, w.how, "yes" if w.covering else "no", show(w.psf, "psf", "weight")) for w in f.weight),
        (False, False, False, True),
        ("Added in all", "", "", show(f.added_psf, "psf", "weight")),
    )
