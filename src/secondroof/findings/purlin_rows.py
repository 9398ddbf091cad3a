"""Old purlin rows: worst line of each plane and kind of member, pressed and lifted, before and after, with its card."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from secondroof.checks.model import Check, Need, OtherWay, Source, State
from secondroof.checks.steps import singled
from secondroof.findings.words import said
from secondroof.purlins.again import Again, again
from secondroof.purlins.card import purlin_card, top_length_in
from secondroof.purlins.found import LIFTING, PRESSING
from secondroof.purlins.ratios import POINTS
from secondroof.purlins.sections import service_inertia
from secondroof.purlins.service import bent_most, softest
from secondroof.purlins.supports import nested_conditions
from secondroof.steel.numeric import MET

if TYPE_CHECKING:
    from collections.abc import Iterator

    from secondroof.acting.gathered import Acting
    from secondroof.acting.inplane import InPlane
    from secondroof.findings.context import Context
    from secondroof.formula import Step
    from secondroof.purlins.found import PurlinsFound, Side
    from secondroof.roof.model import Roof

#: A ratio that grows by less than this is rounding, not load.
SAME = 1e-6
CLAUSE = {
    "down": "AISI S100-16 F2 to F4, G2, H2; ASCE 7 combinations",
    "up": "AISI S100-16 I6.2.1 where its conditions are met, F2 to F4 else; ASCE 7 combinations",
    "bearing": "AISI S100-16 G5, H3 (from memory)",
}
#: What a deflection is under.
BENT_BY = {"Lr": "roof live load", "S": "snow"}
BENT_SOURCES = {
    "l": Source("bay, frame to frame"),
    "n": Source("row of the table of limits"),
    "d": Source("line solved under that load alone, gross section"),
    "d_a": Source("above"),
}
KIND_WORDS = {"D": "dead load", "Lr": "roof live load", "S": "snow", "R": "rain", "W": "wind"}
WORDS = {"down": "pressed", "up": "lifted", "bearing": "seat"}
BENT = {
    "l": Source("bay length"),
    "n": Source("the code's table of deflection limits"),
    "d": Source("line worked under live load or snow alone, gross section"),
}


def purlin_rows(c: Context, acting: Acting, f: PurlinsFound) -> tuple[Check, ...]:
    """Rows of the old lines: pressed down and lifted by plane and member, and the seats over the frames."""
    places = [(at, name, *_worst((f.down if name == "down" else f.up)["after"], at))
              for at in _groups(f) for name in ("down", "up")]  # fmt: skip
    asked = frozenset(f.sections.lines[i].name for _, _, i, _ in places)
    anew = again(c.survey, c.recover, c.roof, acting, f, asked)
    rows = [row for at, name, i, j in places for row in _row(c, acting, f, at, name, i, j, anew)]
    return (*rows, *_seats(f), *service_rows(c.roof, acting, f), *slope_rows(f))


def _groups(f: PurlinsFound) -> Iterator[np.ndarray]:
    """Rows of the lines of one plane and kind of member, in the order of the roof."""
    keys = dict.fromkeys((line.plane, line.member) for line in f.sections.lines)
    for key in keys:
        yield np.array([i for i, x in enumerate(f.sections.lines) if (x.plane, x.member) == key])


def _worst(side: Side, at: np.ndarray) -> tuple[int, int]:
    """Line and bay of the worst: the first of short, unknown, engineer, holds, then the fullest."""
    rank = {"short": 3, "unknown": 2, "engineer": 1, "holds": 0}
    state = np.vectorize(rank.__getitem__, otypes=[float])(side.state[at])
    order = 1e6 * state + np.nan_to_num(side.ratio[at], nan=0.0)
    i, j = np.unravel_index(int(np.argmax(order)), order.shape)
    return int(at[i]), int(j)


def _row(
    c: Context, acting: Acting, f: PurlinsFound, at: np.ndarray, name: str, i: int, j: int, anew: tuple[Again, ...]
) -> Iterator[Check]:  # fmt: skip
    sides = f.down if name == "down" else f.up
    after, before = sides["after"], sides["before"]
    line = f.sections.lines[i]
    state: State = after.state[i, j]
    ratio, was = float(after.ratio[i, j]), float(before.ratio[i, j])
    unlike = _unlike(f, name)
    worse = bool(ratio > was * (1 + SAME)) or unlike or np.isnan(ratio) or np.isnan(was)
    point = str(after.point[i, j])
    x0, x1 = c.roof.frames_ft[j], c.roof.frames_ft[j + 1]
    where = f"line {line.name}, bay {j + 1}, {float(after.x_ft[i, j]):.1f} ft from frame 1" if ratio == ratio else (
        f"line {line.name}, bay {j + 1}")  # fmt: skip
    what = f"Old {line.member}s {WORDS[name]}" + (
        f": {POINTS[point][0]}" if point in POINTS and ratio == ratio else ""
    )
    moves, settles = _moves(anew, name, i, j)
    steps, sources = _card(c, acting, f, i, j, name, ratio)
    yield Check(
        id="S",
        key=f"purlin {WORDS[name]}",
        what=what,
        where=where,
        whose="made worse" if worse else "was so",
        state=state,
        clause=CLAUSE[name],
        sentence=said(state, _sentence(f, at, name, i, j, ratio, was) + _settles(settles, state)),
        demand=_number(after.demand[i, j]),
        capacity=_number(after.capacity[i, j]),
        unit="kip-in",
        ratio=_number(ratio),
        ratio_before=_number(was),
        asked="ask the official" if worse else "not required",
        asked_why=_asked_why(ratio, was, unlike, worse),
        basis=_basis(f, i, j, after),
        steps=steps,
        sources=sources,
        both_ways=_ways(f, i, j, name, state),
        moves=moves,
        needs=_needs(c, acting, f, name, state),
        plane=line.plane,
        line=line.index,
        x0_ft=x0,
        x1_ft=x1,
    )


def _unlike(f: PurlinsFound, name: str) -> bool:
    """Whether other loads are missing today than with the recover, so that the two cannot be compared."""
    kinds = LIFTING if name == "up" else PRESSING
    there = {stage: {k for k, s in f.left_out if s == stage and k in kinds} for stage in ("before", "after")}
    return there["before"] != there["after"]


def _asked_why(ratio: float, was: float, unlike: bool, worse: bool) -> str:
    if np.isnan(ratio) or np.isnan(was) or unlike:
        return "what it carries today or with the recover is not known: nobody can say that it is not called on more"
    if worse:
        return "it carries more with the recover: see the exception for a light second covering and the 5 percent rule"
    return "an old strength the recover does not call on more; told, not hidden"


def _moves(
    anew: tuple[Again, ...], name: str, i: int, j: int
) -> tuple[tuple[OtherWay, ...], dict[str, set[State]]]:
    """The same place with a reading changed, and the states each reading could lead to."""
    ways, settles = [], dict[str, set[State]]()
    for a in anew:
        side = (a.found.down if name == "down" else a.found.up)["after"]
        ratio = float(side.ratio[i, j])
        if np.isnan(ratio):
            continue
        ways.append(OtherWay(a.label, ratio, side.state[i, j]))
        settles.setdefault(a.read_again, set()).add(side.state[i, j])
    return tuple(ways), settles


def _settles(settles: dict[str, set[State]], state: State) -> str:
    """Which reading, taken again, could change what is said; nothing where none could."""
    found = [which for which, states in settles.items() if states - {state}]
    return f" It would change with {', or '.join(found)}." if found else ""


def _number(value: float) -> float | None:
    return None if np.isnan(value) else float(value)


def _sentence(f: PurlinsFound, at: np.ndarray, name: str, i: int, j: int, ratio: float, was: float) -> str:
    sides = f.down if name == "down" else f.up
    after = sides["after"]
    line = f.sections.lines[i]
    k = int(f.sections.which[i, j])
    reasons = f.sections.reasons[k] if name == "down" else f.uplift.reasons[int(f.uplift.which[i, j])]
    why = f" {_upper('; '.join(reasons))}." if reasons else ""
    if np.isnan(ratio):
        return f"Line {line.name}, bay {j + 1}: not worked out.{why}"
    moved = "the same today" if abs(ratio - was) < 5e-3 else f"{was:.2f} today"
    upper_bound, why = _how_held(f, name, i, j, after.state[i, j], why)
    missing = [
        k for k, s in sorted(f.left_out) if s == "after" and k in (LIFTING if name == "up" else PRESSING)
    ]
    if missing:
        upper_bound += (
            f" Not all of it is counted: {', '.join(KIND_WORDS[k] for k in missing)} is not fully known."
        )
    if (line.plane, line.index) in f.shared_ridge:
        upper_bound += " One ridge purlin of both planes: it carries both."
    spread = _spread_words(after, at)
    return (
        f"Line {line.name}, bay {j + 1}: {ratio:.2f} of its strength with the recover, {moved}, under "
        f"{after.combination(i, j)}.{spread}{upper_bound}{why}"
    )


def _spread_words(after: Side, at: np.ndarray) -> str:
    """How many lines and bays of the group are short, or over 1 by numbers that are the engineer's."""
    state, ratio = after.state[at], after.ratio[at]
    short = state == "short"
    lines = f"{at.size} line{'s' if at.size > 1 else ''}"
    if short.any():
        return (
            f" {int(short.any(axis=1).sum())} of {lines} of this plane are short somewhere, "
            f"{int(short.sum())} of {short.size} bays."
        )
    over = (ratio > 1.0) & (state == "engineer")
    if over.any():
        return (
            f" By these numbers {int(over.sum())} of {over.size} bays are over 1; the engineer judges them."
        )
    return f" None of {lines} of this plane is shown to be short."


def _how_held(f: PurlinsFound, name: str, i: int, j: int, state: State, why: str) -> tuple[str, str]:
    """What was taken to hold the compressed flange, where it is not simply the sheet; and the reasons still to say."""
    row = int(f.uplift.which[i, j])
    if name == "down":
        if top_length_in(f, i, j, "after") == 0.0:
            return "", why
        text = " Worked between the sag braces; the floating sheet is not counted."
        return (text + " It is short even with the flange held all along." if state == "short" else text), why
    if np.isnan(f.uplift.fastened_if_met.asd[row]):
        braced = not np.isnan(f.uplift.between_sag.asd[row])
        text = " Worked " + ("between the sag braces found" if braced else "with no brace between the frames")
        text += ", since the rule of the fastened sheet may not be used; flange braces found are not counted."
        return (text + " It is short even with the flange held all along." if state == "short" else text), why
    if state == "short" and f.uplift.state[row] == "unknown":
        return " Taken with every open condition of the rule as met: it is short even so.", ""
    return "", why


def _upper(text: str) -> str:
    return text[:1].upper() + text[1:]


def _basis(f: PurlinsFound, i: int, j: int, side: Side) -> str:
    k = int(f.sections.which[i, j])
    t, F_y = float(f.sections.t_in[k]), float(f.sections.Fy_ksi[k])
    way = "continuous over full laps" if f.way[i] == "continuous" else "simple spans"
    return f"{side.combination(i, j)}; t {t:.4f} in; F_y {F_y:g} ksi; {way}; ASCE {f.edition}, ASD"


def _card(
    c: Context, acting: Acting, f: PurlinsFound, i: int, j: int, name: str, ratio: float
) -> tuple[tuple[Step, ...], dict[str, Source]]:
    if np.isnan(ratio) or ratio == 0.0:
        return (), {}
    card = purlin_card(c.roof, acting, f, i, j, name, "after")
    sources = dict(card.sources)
    sources["w"] = Source("load cases of the roof; each has its own card")
    return singled(card.steps), sources


def _ways(f: PurlinsFound, i: int, j: int, name: str, state: State) -> tuple[OtherWay, ...]:
    """The same with a credit or an assumption changed; an engineer's or unknown state stays what it is."""

    def said_of(ratio: float) -> State:
        return state if state in ("engineer", "unknown") else "holds" if ratio <= 1.0 else "short"

    after = (f.down if name == "down" else f.up)["after"]
    k = int(f.sections.which[i, j])
    ratio = float(after.ratio[i, j])
    ways = []
    if name == "down":
        other = float(f.down_other[i, j])
        if not np.isnan(other):
            ways.append(OtherWay(f"worked as {f.other_way[i]}", other, said_of(other)))
        if after.point[i, j] == "span":
            free = float(f.capacity.top_held.no_distortional.asd[k])
            if free > 0 and free != float(after.capacity[i, j]):
                r = ratio * float(after.capacity[i, j]) / free
                ways.append(
                    OtherWay("the sheet held the flange against turning (not measured)", r, said_of(r))
                )
        if after.point[i, j] == "lap end":
            free = float(f.capacity.bottom_held.no_distortional.asd[k])
            shear = float(after.shear[i, j]) / float(f.capacity.shear.asd[k])
            r = float(np.hypot(float(after.demand[i, j]) / free, shear))
            if free > 0 and r < ratio:
                ways.append(OtherWay("distortional buckling not counted, as before 2007", r, said_of(r)))
    else:
        row = int(f.uplift.which[i, j])
        for label, design in (
            ("rule of the fastened sheet with every open condition met", f.uplift.fastened_if_met),
            ("between the sag braces found; they may not hold the bottom flange", f.uplift.between_sag),
            ("no brace between the frames", f.uplift.unbraced),
        ):
            strength = float(design.asd[row])
            if not np.isnan(strength) and after.point[i, j] == "lifted span":
                r = float(after.demand[i, j]) / strength
                ways.append(OtherWay(label, r, said_of(r)))
    lrfd = float((f.down_lrfd if name == "down" else f.up_lrfd)[i, j])
    if not np.isnan(lrfd):
        ways.append(OtherWay("by LRFD", lrfd, said_of(lrfd)))
    return tuple(ways)


def _needs(c: Context, acting: Acting, f: PurlinsFound, name: str, state: State) -> tuple[Need, ...]:
    """What would settle a row that is not known."""
    if state != "unknown":
        return ()
    needs = [*f.sections.needs, *(f.uplift.needs if name == "up" else ())]
    if name == "up" and c.wind_need is not None:
        needs.append(c.wind_need)
    if name == "down" and acting.incomplete("after", PRESSING):
        needs += acting.needs
    return tuple(dict.fromkeys(needs))


def _seats(f: PurlinsFound) -> Iterator[Check]:
    """One row for crippling of the webs over the frames; nobody calls it short before the seats are seen."""
    side, was = f.bearing["after"], f.bearing["before"]
    if not f.capacity.crushes or not np.isfinite(side.ratio).any():
        return
    i, j = (int(k) for k in np.unravel_index(int(np.nanargmax(side.ratio)), side.ratio.shape))
    line, ratio = f.sections.lines[i], float(side.ratio[i, j])
    state: State = side.state[i, j]
    text = (
        f"Line {line.name}, bay {j + 1}: {ratio:.2f} of what the webs bear, {float(was.ratio[i, j]):.2f} today, under "
        f"{side.combination(i, j)}. {f.capacity.bearing}"
    )
    if not f.capacity.bearing_read:
        text += (
            " Where the web is bolted to a clip that keeps the flange off the rafter, this row falls away."
        )
    basis = f.capacity.bearing
    if f.way[i] == "continuous" and 0 <= j < f.sections.which.shape[1] - 1:
        rule = nested_conditions(f.sections, int(f.sections.which[i, j]), int(f.sections.which[i, j + 1]))
        unmet = "; ".join(c.text for c in rule if c.state != MET)
        basis += f" The rule for two nested Z (H3) is not used: {unmet}." if unmet else ""
    yield Check(
        id="S", key="purlin seat", what="Old purlins: webs crushed over the frames", where=f"line {line.name}",
        whose="made worse" if ratio > float(was.ratio[i, j]) * (1 + SAME) else "was so", state=state,
        clause=CLAUSE["bearing"], sentence=said(state, text), demand=float(side.demand[i, j]),
        capacity=float(side.capacity[i, j]), unit="kip", ratio=ratio, ratio_before=float(was.ratio[i, j]),
        asked="ask the official" if ratio > float(was.ratio[i, j]) * (1 + SAME) else "not required",
        asked_why="a detail to look at from below before it is called anything", basis=basis,
        needs=f.capacity.needs, plane=line.plane, line=line.index,
    )  # fmt: skip


def _softer(f: PurlinsFound, i: int, j: int) -> str:
    """How much more the effective section bends than the gross one at the usual service stress, in words."""
    k = int(f.sections.which[i, j])
    effective = float(service_inertia(f.sections, 0.6 * float(f.sections.Fy_ksi[k]))[k])
    return (
        f"{100 * (float(f.sections.properties.Ix[k]) / effective - 1):.0f} %" if effective > 0 else "somewhat"
    )


def service_rows(roof: Roof, acting: Acting, f: PurlinsFound) -> Iterator[Check]:
    """Deflection under live load or snow, and how the softest line feels underfoot."""
    bent = bent_most(roof, f)
    if bent is not None:
        line = f.sections.lines[bent.line]
        missing = f" {bent.unknown}" if bent.unknown else ""
        text = (
            f"Line {line.name}, bay {bent.bay + 1} bends {bent.d_in:.2f} in under {BENT_BY[bent.load]} alone, of "
            f"{bent.allowed_in:.2f} in (span over {bent.limit.over:g}). {bent.over_covered}{missing} Gross section; "
            f"the effective one at 0.6 F_y bends {_softer(f, bent.line, bent.bay)} more."
        )
        ways = tuple(
            OtherWay(
                f"{BENT_BY[r.load]}, span over {r.limit.over:g}",
                r.ratio,
                "holds" if r.ratio <= 1.0 else "short",
            )
            for r in bent.rows
        )
        worse = not bent.ratio <= bent.ratio_before * (1 + SAME)  # also where today is not known
        yield Check(
            id="S", key="purlin deflection", what="Old purlins bending under live load or snow",
            where=f"line {line.name}, bay {bent.bay + 1}", whose="made worse" if worse else "was so",
            state=bent.state, clause=f"{bent.clause} ({bent.checked})", sentence=said(bent.state, text),
            demand=bent.d_in,
            capacity=bent.allowed_in, unit="in", ratio=bent.ratio, ratio_before=_number(bent.ratio_before),
            asked="ask the official" if worse else "not required",
            asked_why="a limit of use, not of strength; only a colder roof adds to what bends it",
            steps=bent.steps, sources=BENT_SOURCES, both_ways=ways, plane=line.plane, line=line.index,
        )  # fmt: skip
    feel = softest(roof, acting, f)
    if feel is not None:
        line = f.sections.lines[feel.line]
        words = feel.after.feel or ()
        soft = feel.soft
        d, f_1 = float(np.max(feel.after.d_in)), float(feel.after.f_1_Hz)
        text = (
            f"Line {line.name} is the softest: 300 lb at mid-span bends it {d:.2f} in (span over "
            f"{float(np.min(feel.after.span_over_d)):.0f}), alone and without help from the sheet; first frequency "
            f"{float(feel.before.f_1_Hz):.1f} Hz today, {f_1:.1f} Hz with {feel.weight_after_lb_ft:.0f} lb/ft on it. "
            f"It feels {'soft' if soft else 'springy' if 'springy' in words else 'firm'} (common practice, no source)."
        )
        yield Check(
            id="S", key="underfoot", what="How the old purlins feel underfoot", where=f"line {line.name}",
            whose="was so", state="engineer" if soft else "holds", clause="common practice, no source",
            sentence=said("engineer" if soft else "holds", text), demand=d, unit="in", asked="not required",
            asked_why="no code limit: crews and owners ask", steps=feel.steps, plane=line.plane, line=line.index,
        )  # fmt: skip


def slope_rows(f: PurlinsFound) -> Iterator[Check]:
    """What pushes the purlins of each plane down the slope, for whoever holds them: sheet, sag braces, anchors."""
    for name, loads in f.loads.items():
        if not loads.lines.size:
            continue
        w0, w1, P = loads.down_slope()
        each = np.sum((w0 + w1) / 2 * np.diff(loads.x_ft), axis=(1, 2)) + P.sum(axis=(1, 2))
        force = {}
        for stage in ("before", "after"):
            there = [
                (c.kind, float(lb))
                for c, lb in zip(loads.cases, each, strict=True)
                if c.when in (stage, "both")
            ]
            dead = sum(lb for kind, lb in there if kind == "D")
            force[stage] = dead + max((lb for kind, lb in there if kind in ("Lr", "S")), default=0.0)
        text = (
            f"Weight with the larger of live load and snow pushes plane {name} down its slope with "
            f"{force['before'] / 1000:.1f} kip today, {force['after'] / 1000:.1f} kip with the recover, loads as each "
            "gives them. Z purlins roll as well; forces of roll and anchorage (AISI S100-16 I6.4) are not worked out: "
            "its constants are not held. The engineer looks at what anchors the sheet at eave and ridge."
        )
        yield Check(
            id="S", key="down the slope", what="What pushes the old purlins down the slope", where=f"plane {name}",
            whose="made worse" if force["after"] > force["before"] * (1 + SAME) else "was so", state="engineer",
            clause="statics; AISI S100-16 I6.4 not worked out", sentence=said("engineer", text),
            demand=force["after"] / 1000, unit="kip", asked="not required",
            asked_why="the old sheet and its anchors stay; an engineer judges them with the purlins", plane=name,
        )  # fmt: skip


def sheet_rows(f: PurlinsFound, shear: InPlane | None) -> tuple[Check, ...]:
    """What the old sheet does for the purlins and the roof, plane by plane, and what must not be taken away."""
    rows = []
    passed = "" if shear is None else f" {shear.sentence}"
    for r in f.restraint:
        states: dict[str, State] = {
            "yes": "holds",
            "no": "engineer",
            "engineer": "engineer",
            "unknown": "unknown",
        }
        state = states[r.braces_after]
        keep = f" Keep: {'; '.join(r.keep)}." if r.keep else ""
        rows.append(
            Check(
                id="S",
                key="old sheet",
                what="What the old sheet holds",
                where=f"plane {r.plane}",
                whose="was so",
                state=state,
                clause="AISI S100-16 I6.2 (from memory); common practice",
                sentence=said(state, " ".join(r.sentences) + passed + keep),
                asked="not required",
                asked_why="a recover leaves the old sheet in place; taking it off is another job",
                both_ways=(),
                needs=(*r.needs, *(() if shear is None else shear.needs)),
                plane=r.plane,
                basis=f"{r.tear_off} {r.floating} {r.strips}",
                steps=() if shear is None else shear.steps,
                sources={} if shear is None else shear.sources,
            )
        )
    return tuple(rows)
