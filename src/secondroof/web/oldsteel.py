"""What the old purlins carry, as the strength page shows it: maps of ratios, the worst, laps, sheet, reactions."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING

import numpy as np

from secondroof.checks.numbers import feet_inches, show
from secondroof.web.contexts import Link, OldSteel, Table, Told
from secondroof.web.loadtables import needs_table
from secondroof.web.moved import ratio_text

if TYPE_CHECKING:
    from secondroof.acting.combined import Stage
    from secondroof.acting.gathered import Acting
    from secondroof.checks.model import Check, Need, State
    from secondroof.drawings.ratiomap import RatioRows
    from secondroof.findings.model import Findings
    from secondroof.formula import Step
    from secondroof.purlins.found import PurlinsFound, Side

Href = Callable[..., str]
SIDES = (("down", "gravity", "Pressed down"), ("up", "uplift", "Lifted"))
WORST = 10
STAGE_WORDS = {"after": "with the recover", "before": "today"}
#: Over this many stretches only the worst ten of a map lead to their cards; the table under it lists them too.
MOST_LINKS = 400


def side_of(f: PurlinsFound, name: str, stage: Stage) -> Side:
    """Pressed (``down``) or lifted (``up``), at one stage."""
    return (f.down if name == "down" else f.up)[stage]


def has_side(f: Findings, name: str) -> bool:
    """Whether a side is worked out at all: no wind, no lift."""
    acting = f.acting
    return name == "down" or (acting is not None and any(c.kind == "W_up" for c in acting.cases))


def ratio_columns(f: PurlinsFound, name: str, stage: Stage, frames_ft: tuple[float, ...]) -> RatioRows:
    """Every line in every bay as one stretch."""
    from secondroof.drawings.ratiomap import RatioRows
    from secondroof.purlins.ratios import POINTS

    side = side_of(f, name, stage)
    lines, bays = side.ratio.shape
    frames = np.asarray(frames_ft)
    words = [POINTS[p][0] if p in POINTS else "" for p in side.point.ravel()]
    governs = np.where(np.isnan(side.ratio.ravel()), "", np.array(words, dtype=object))
    return RatioRows(
        plane=np.repeat([x.plane for x in f.sections.lines], bays),
        line=np.repeat([x.index for x in f.sections.lines], bays),
        x0_ft=np.tile(frames[:-1], lines),
        x1_ft=np.tile(frames[1:], lines),
        ratio=side.ratio.ravel(),
        state=side.state.ravel(),
        governs=governs,
    )


def map_svg(f: Findings, name: str, kind: str, stage: Stage, href: Href) -> str:
    """Ratio map of one side as SVG; a stretch leads to its card."""
    from secondroof.drawings.ratiomap import ratio_map
    from secondroof.drawings.scene import Tag
    from secondroof.drawings.svg import to_svg

    found = f.purlins
    assert found is not None
    rows = ratio_columns(found, name, stage, f.roof.frames_ft)
    under = f"Old lines {STAGE_WORDS[stage]}, ASCE {found.edition}, allowable stress."
    scene = ratio_map(
        f.roof, rows, kind="gravity" if kind == "gravity" else "uplift", under=under, width_px=1080.0,
        most_height_px=520.0,
    )  # fmt: skip
    every = len(rows.ratio) <= MOST_LINKS
    titles = _bays_by_title(f, rows)

    def link(tag: Tag) -> str | None:
        flag = tag.id.startswith("worst-")
        if not (every or flag):
            return None
        title = tag.title.split(": ", 1)[1] if flag else tag.title
        at = titles.get(title)
        return None if at is None else href(steel=name, line=at[0], bay=at[1], stage=stage) + "#card"

    return to_svg(scene, link=link).replace('id="worst-', f'id="{kind}-worst-')


def _bays_by_title(f: Findings, rows: RatioRows) -> dict[str, tuple[str, int]]:
    """What a drawn stretch is called, to its line and bay."""
    from secondroof.drawings.ratiomap import ratio_rows
    from secondroof.drawings.stretches import say

    frames = np.asarray(f.roof.frames_ft)
    out: dict[str, tuple[str, int]] = {}
    for r in ratio_rows(f.roof, rows):
        out.setdefault(say(r, f.roof.frames_ft), (r.name, int(np.argmin(np.abs(frames - r.x0_ft))) + 1))
    return out


# ---- the worst


def worst_of(side: Side, n: int = WORST) -> list[tuple[int, int]]:
    """Worst lines and bays by state and then ratio; what is unknown is not ranked."""
    rank = {"short": 0, "unknown": 9, "engineer": 2, "holds": 3}
    at = [
        (rank[side.state[i, j]], -float(side.ratio[i, j]), int(i), int(j))
        for i, j in zip(*np.nonzero(np.isfinite(side.ratio)), strict=True)
        if side.state[i, j] != "unknown"
    ]
    return [(i, j) for _, _, i, j in sorted(at)[:n]]


def governing(f: Findings, name: str, i: int, j: int) -> Check | None:
    """The row of the checks that stands for this very line and bay, with the recover."""
    found = f.purlins
    if found is None:
        return None
    line = found.sections.lines[i]
    key = {"down": "purlin pressed", "up": "purlin lifted"}[name]
    frames = f.roof.frames_ft
    for c in f.checks:
        same = c.key == key and c.plane == line.plane and c.line == line.index
        if same and c.x0_ft is not None and abs(c.x0_ft - frames[j]) < 0.01:
            return c
    return None


def card_href(f: Findings, name: str, i: int, j: int, stage: Stage, href: Href) -> Link:
    """Link to the governing row's card where this is it, else to a card made on demand."""
    found = f.purlins
    assert found is not None
    check = governing(f, name, i, j) if stage == "after" else None
    if check is not None:
        return Link(check.id, href(card=check.id, stage=stage) + "#card", card=True)
    line = found.sections.lines[i].name
    return Link(
        f"{line}, bay {j + 1}", href(steel=name, line=line, bay=j + 1, stage=stage) + "#card", card=True
    )


def worst_table(f: Findings, name: str, stage: Stage, href: Href) -> Table:
    """Worst ten: line, bay, place, ratio today and with the recover, the other way, combination, card."""
    from secondroof.purlins.ratios import POINTS

    found = f.purlins
    assert found is not None
    side, before, after = (side_of(found, name, s) for s in (stage, "before", "after"))
    rows = []
    for i, j in worst_of(side):
        line = found.sections.lines[i]
        point = str(side.point[i, j])
        x = float(side.x_ft[i, j])
        rows.append(
            (
                line.name,
                str(j + 1),
                f"{POINTS[point][0] if point in POINTS else point}, {feet_inches(x, False)} from frame 1",
                ratio_text(float(before.ratio[i, j])),
                ratio_text(float(after.ratio[i, j])),
                (str(side.state[i, j]), ""),
                side.combination(i, j),
                card_href(f, name, i, j, stage, href),
            )
        )
    head = (
        "line",
        "bay",
        "place",
        "today",
        "with the recover",
        f"state {STAGE_WORDS[stage]}",
        "combination",
        "card",
    )
    return Table(head, tuple(rows), (False, True, False, True, True, False, False, False))


# ---- a card made on demand


def bay_card(f: Findings, name: str, line: str, bay: int, stage: Stage) -> Check | None:
    """Check of one old line in one bay, worked alone now; None where there is no such line or bay."""
    found = f.purlins
    if found is None or f.acting is None or name not in ("down", "up") or not has_side(f, name):
        return None
    i = next((k for k, x in enumerate(found.sections.lines) if x.name == line), None)
    if i is None or not 1 <= bay <= found.down["after"].ratio.shape[1]:
        return None
    j = bay - 1
    if stage == "after" and (check := governing(f, name, i, j)) is not None:
        return check
    return _made(f, found, f.acting, i, j, name, stage)


def _made(f: Findings, found: PurlinsFound, acting: Acting, i: int, j: int, name: str, stage: Stage) -> Check:
    from secondroof.checks.model import Check, OtherWay, Source
    from secondroof.checks.steps import singled
    from secondroof.findings.purlin_rows import CLAUSE, SAME, WORDS
    from secondroof.findings.words import said
    from secondroof.purlins.card import purlin_card
    from secondroof.purlins.ratios import POINTS

    line = found.sections.lines[i]
    side, before, after = (side_of(found, name, s) for s in (stage, "before", "after"))
    ratio, was, will = (float(s.ratio[i, j]) for s in (side, before, after))
    state: State = side.state[i, j]
    known = np.isfinite(ratio)
    point = str(side.point[i, j])
    words = STAGE_WORDS[stage]
    needs: tuple[Need, ...] = ()
    reasons = (
        found.sections.reasons[int(found.sections.which[i, j])]
        if name == "down"
        else found.uplift.reasons[int(found.uplift.which[i, j])]
    )
    why = f" {'; '.join(reasons)}." if reasons else ""
    if state == "unknown":
        needs = tuple(dict.fromkeys(found.needs))
    steps: tuple[Step, ...] = ()
    sources: dict[str, Source] = {}
    if known and ratio != 0.0:
        card = purlin_card(f.roof, acting, found, i, j, name, stage)
        steps, sources = singled(card.steps), dict(card.sources)
        sources["w"] = Source("load cases of the roof; each has its own card")
    worse = bool(will > was * (1 + SAME))
    ways = []
    for label, value in (
        (f"worked as {found.other_way[i]}", found.down_other[i, j] if name == "down" else np.nan),
        ("by LRFD", (found.down_lrfd if name == "down" else found.up_lrfd)[i, j]),
    ):
        if stage == "after" and np.isfinite(value):
            of: State = state if state in ("engineer", "unknown") else "holds" if value <= 1.0 else "short"
            ways.append(OtherWay(label, float(value), of))
    text = (
        f"Line {line.name}, bay {j + 1}: {ratio_text(ratio)} of its strength {words}; {ratio_text(was)} today, "
        f"{ratio_text(will)} with the recover. Governed by {side.combination(i, j)}.{why}"
        if known
        else f"Line {line.name}, bay {j + 1}: not worked out.{why}"
    )
    k = int(found.sections.which[i, j])
    t_in, F_y = float(found.sections.t_in[k]), float(found.sections.Fy_ksi[k])
    x = f", {float(side.x_ft[i, j]):.1f} ft from frame 1" if known else ""
    return Check(
        id=f"S-{line.name}-{j + 1}",
        key=f"purlin {WORDS[name]}",
        what=f"Old {line.member} {WORDS[name]} {words}"
        + (f": {POINTS[point][0]}" if known and point in POINTS else ""),
        where=f"line {line.name}, bay {j + 1}{x}",
        whose="made worse" if worse else "was so",
        state=state,
        clause=CLAUSE[name],
        sentence=said(state, text),
        demand=float(side.demand[i, j]) if known else None,
        capacity=float(side.capacity[i, j]) if known else None,
        unit="kip-in",
        ratio=ratio if known else None,
        ratio_before=was if np.isfinite(was) and stage == "after" else None,
        asked="ask the official" if worse else "not required",
        asked_why="it carries more with the recover" if worse else "the recover does not call on it more",
        basis=(
            f"{side.combination(i, j)}; t {t_in:.4f} in; F_y {F_y:g} ksi; "
            f"{'continuous over full laps' if found.way[i] == 'continuous' else 'simple spans'}; "
            f"ASCE {found.edition}, ASD"
        ),
        steps=steps,
        sources=sources,
        both_ways=tuple(ways),
        needs=needs,
        plane=line.plane,
        line=line.index,
        x0_ft=f.roof.frames_ft[j],
        x1_ft=f.roof.frames_ft[j + 1],
    )


# ---- laps, sheet, seats, reactions


def laps_table(f: PurlinsFound) -> Table:
    """How the lines of each plane and member work, with their laps, and the worst of them worked both ways."""
    depth = f.sections.section.depth[f.sections.which]
    keys = dict.fromkeys((x.plane, x.member, str(w)) for x, w in zip(f.sections.lines, f.way, strict=True))
    rows = []
    for plane, member, way in keys:
        at = np.array([k for k, x in enumerate(f.sections.lines)
                       if (x.plane, x.member, str(f.way[k])) == (plane, member, way)])  # fmt: skip
        laps = f.lap_in[at][:, 1:-1]
        read = laps[np.isfinite(laps)]
        used, other = f.down["after"].ratio[at], f.down_other[at]
        rows.append(
            (
                plane,
                member,
                str(at.size),
                "not read" if not read.size else _range(read),
                _range(1.5 * depth[at]) if np.isfinite(depth[at]).all() else "not read",
                "continuous over full laps" if way == "continuous" else "simple spans",
                _top(used),
                " and ".join(dict.fromkeys(str(f.other_way[k]) for k in at)),
                _top(other),
            )
        )  # fmt: skip
    head = ("plane", "member", "lines", "laps each side, in", "1.5 depths, in", "worked as", "worst ratio",
            "the other way", "worst ratio so")  # fmt: skip
    return Table(head, tuple(rows), (False, False, True, True, True, False, True, False, True))


def _range(values: np.ndarray) -> str:
    low, high = show(float(values.min()), "in", "gap"), show(float(values.max()), "in", "gap")
    return low if low == high else f"{low} to {high}"


def _top(values: np.ndarray) -> str:
    return ratio_text(float(np.nanmax(values))) if np.isfinite(values).any() else "not known"


def sheet_told(f: PurlinsFound) -> tuple[tuple[str, Told], ...]:
    """What the old sheet of each plane holds, what must not be removed, and what removing would take away."""
    states: dict[str, State] = {
        "yes": "holds",
        "no": "engineer",
        "engineer": "engineer",
        "unknown": "unknown",
    }
    out: dict[Told, str] = {}
    for r in f.restraint:
        keep = Table(("must not be removed, or first restored",), tuple((k,) for k in r.keep))
        gone = Table(
            ("if somebody would", "this goes with it"),
            (
                ("tear the sheet off", r.tear_off),
                ("change it for a floating one", r.floating),
                ("cut strips out", r.strips),
            ),
        )  # fmt: skip
        tables = ((("What must stay", keep),) if r.keep else ()) + (("What removing would take away", gone),)
        told = Told(states[r.braces_after], r.sentences, tables)
        out[told] = f"{out[told]} and {r.plane}" if told in out else r.plane
    return tuple((planes, told) for told, planes in out.items())


def reactions_table(f: Findings) -> Table:
    """Reactions of all old lines on each frame, square to the roof, by load; uplift negative."""
    found, acting = f.purlins, f.acting
    assert found is not None
    assert acting is not None
    n = len(f.roof.frames_ft)

    def total(kind: str, stage: str) -> np.ndarray | None:
        rows = [found.frame_R_kip[c.key] for c in acting.cases if c.kind == kind and c.when in (stage, "both")
                and c.key in found.frame_R_kip]  # fmt: skip
        return np.sum(rows, axis=0) if rows else None

    def most(kind: str, stage: str) -> np.ndarray | None:
        rows = [found.frame_R_kip[c.key] for c in acting.cases if c.kind == kind and c.when in (stage, "both")
                and c.key in found.frame_R_kip]  # fmt: skip
        if not rows:
            return None
        stack = np.stack(rows)
        pick = np.argmax(np.abs(np.nan_to_num(stack)), axis=0)
        return np.asarray(np.take_along_axis(stack, pick[None], axis=0)[0])

    wanted = (
        ("dead today", total("D", "before")),
        ("dead, recover", total("D", "after")),
        ("live", most("Lr", "after")),
        ("most snow today", most("S", "before")),
        ("most snow, recover", most("S", "after")),
        ("rain", most("R", "after")),
        ("wind lifting", most("W_up", "after")),
        ("wind pressing", most("W_down", "after")),
    )
    columns = [(name, v) for name, v in wanted if v is not None]
    rows = tuple(
        (
            str(k + 1),
            feet_inches(f.roof.frames_ft[k]),
            *("not known" if np.isnan(v[k]) else show(float(v[k]), "kip") for _, v in columns),
        )
        for k in range(n)
    )
    head = ("frame", "from frame 1", *(f"{name}, kip" for name, _ in columns))
    return Table(head, rows, (False, *(True for _ in head[1:])))


def _told_checks(f: Findings, keys: tuple[str, ...], title: str, href: Href) -> Told:
    from secondroof.findings.words import HEAD

    rows = [c for c in f.checks if c.key in keys]
    if not rows:
        return Told()
    head = ("state", "what was found", "card")
    cells = tuple(
        (
            (c.state, ""),
            c.sentence.removeprefix(f"{HEAD[c.state]}. "),
            Link(c.id, href(card=c.id) + "#card", card=True),
        )
        for c in rows
    )
    return Told(None, (), ((title, Table(head, cells)),))


def old_steel(f: Findings, stage: Stage, href: Href, drawn: Callable[[str, str], str]) -> OldSteel | None:
    """Everything the strength page shows of the old purlins; None where they could not be worked out.

    Parameters
    ----------
    drawn : callable
        ``drawn(name, kind)`` gives the map of a side as SVG.
    """
    found = f.purlins
    if found is None:
        return None
    maps = tuple(
        (title, drawn(name, kind), worst_table(f, name, stage, href))
        for name, kind, title in SIDES
        if has_side(f, name)
    )
    stages = tuple(
        (Link(STAGE_WORDS[s].capitalize(), href(stage=s) + "#old-steel"), s == stage)
        for s in ("after", "before")
    )
    levels = {c.level for c in f.acting.cases if c.kind in ("W_up", "S")} if f.acting else set()
    note = (
        "Each line worked as the table of laps says; a continuous line loads its second frame more than simple "
        "spans do. "
        "Square to the roof; what runs down the slope is not in it. Loads as each case acts, not combined: largest "
        "snow and wind on that frame."
        + (" Wind or snow at strength level stands so here." if "strength" in levels else "")
    )
    short = "Laps shorter than 1.5 depths each side are not counted: the line is then taken as simple spans."
    return OldSteel(
        stage=STAGE_WORDS[stage],
        stages=stages,
        maps=maps,
        sheet=sheet_told(found),
        laps=laps_table(found),
        laps_note=f"{short} The other way is shown beside it.",
        seats=_told_checks(f, ("purlin seat",), "Seats on the frames", href),
        feel=_told_checks(f, ("purlin deflection", "underfoot"), "Bending and feel", href),
        frames=reactions_table(f) if f.acting else Table((), ()),
        frames_note=note,
        needs=needs_table(found.needs),
    )
