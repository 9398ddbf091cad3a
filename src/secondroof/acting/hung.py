"""Hung loads where they hang, and units that stand on the roof: points and line loads on the purlins.

Neither is counted against uplift: a heater may be gone when the storm comes.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from secondroof.acting.model import Along, Case, Part
from secondroof.acting.units import units_part
from secondroof.acting.where import bay_count, bay_ends, in_words, weight_step
from secondroof.checks.model import Need, Source

if TYPE_CHECKING:
    from secondroof.roof.model import Roof, RoofPlane
    from secondroof.survey.models import HungLoad, Survey
    from secondroof.survey.proposals import Recover

_WHERE = "walk inside with a tape: plane, purlin line from the eave, distance from frame 1"
_DECIDES = "gravity on the purlins it hangs from; not counted until then"


@dataclass(frozen=True, slots=True)
class Hanging:
    """What one row of the survey puts on the lines.

    Attributes
    ----------
    along : tuple of Along
        Loads on lines.
    needs : tuple of Need
        What is missing for the rest.
    notes : tuple of str
        What puts nothing on a purlin, and why.
    said, assumed : tuple of str
        What is put where, and what was assumed for it.
    """

    along: tuple[Along, ...] = ()
    needs: tuple[Need, ...] = ()
    notes: tuple[str, ...] = ()
    said: tuple[str, ...] = ()
    assumed: tuple[str, ...] = ()


def hung(survey: Survey, recover: Recover, roof: Roof, edition: str | None) -> Part:
    """Hung loads (``dead.hung``) and roof units (``dead.units``), alike before and after.

    Parameters
    ----------
    survey, recover, roof : Survey, Recover, Roof
        What was found, what is proposed, and its geometry.
    edition : str or None
        Not used: dead load is alike in every edition.
    """
    units = units_part(survey, roof)
    if survey.hung_loads is None:
        need = Need("hung loads: what hangs from the roof, its weight and place", _WHERE,
                    "gravity on every purlin something hangs from; none is counted until then")  # fmt: skip
        return Part(units.cases, (need, *units.needs), units.notes)
    rows = [hanging(load, roof) for load in survey.hung_loads]
    notes = [n for row in rows for n in row.notes]
    if not survey.hung_loads:
        notes.append("Hung loads were looked for; there are none.")
    along = tuple(a for row in rows for a in row.along)
    cases: tuple[Case, ...] = ()
    if along:
        assumed = tuple(dict.fromkeys(w for row in rows for w in row.assumed))
        lips = [h.what for h in survey.hung_loads if h.hangs_from == "purlin lip"]
        twist = (
            f" Hung from a lip: {in_words(lips)}. That twists the purlin; an engineer looks at it."
            if lips
            else ""
        )
        told = f" Taken: {'; '.join(assumed)}." if assumed else ""
        case = Case(
            "dead.hung",
            "D",
            "both",
            "hung loads",
            f"{_upper('; '.join(w for row in rows for w in row.said))}.{twist}{told} Not counted against uplift.",
            "dead load, hung things by name",
            along=along,
            checked="definition: equilibrium",
            steps=weight_step(roof, "Hung loads on the purlins", _by_name(along), (), along),
            sources={
                **{a.what: Source("weight from the survey") for a in along},
                "P": Source("weights from the survey"),
                "x": Source("places from the survey", bool(assumed)),
            },
            assumed="; ".join(assumed),
        )
        cases = (case,)
    needs = tuple(n for row in rows for n in row.needs)
    return Part((*cases, *units.cases), (*needs, *units.needs), (*notes, *units.notes))


def hanging(load: HungLoad, roof: Roof) -> Hanging:
    """What one hung load of the survey puts on the lines of the roof."""
    if load.hangs_from == "frame":
        return Hanging(notes=(f"{_upper(load.what)} hangs from the frames and puts nothing on a purlin.",))
    lines = _lines(load, roof)
    bays = tuple(b for b in load.bays or () if b <= bay_count(roof))
    lacking = []
    if load.weight is None and load.per_foot is None:
        lacking.append("its weight")
    if load.lines is None:
        lacking.append("the line it hangs from")
    elif not lines:
        lacking.append(f"the line it hangs from: no plane has line {in_words(load.lines)}")
    if load.weight is not None and not load.along and not bays:
        lacking.append("its place along the line, or its bay")
    if load.weight is None and load.length is not None and not load.along and not bays:
        lacking.append("its place along the line, or its bay")
    if lacking:
        return Hanging(needs=(Need(f"{load.what}: {', '.join(lacking)}", _WHERE, _DECIDES),))
    assumed = []
    needs: list[Need] = []
    if load.hangs_from is None:
        assumed.append(f"hung from purlins, not from frames: {load.what}")
    if load.plane is None and len(lines) > 1:
        assumed.append(f"{load.what} on each slope, since which one is not written down")
        needs.append(Need(f"{load.what}: which slope it hangs under", _WHERE, "which purlins carry it"))
    along: list[Along] = []
    said = ""
    for plane, found in lines:
        if load.weight is not None:
            placed, said, taken = _points(load, plane, found, bays, roof)
        else:
            placed, said, taken = _spread(load, plane, found, bays, roof)
        along += placed
        assumed += taken
    if load.length is not None and load.weight is not None and load.per_foot is not None:
        needs.append(Need(f"{load.what}: weight of each and weight per foot are both given; which is meant", _WHERE,
                          "its weight; the weight of each is used"))  # fmt: skip
    return Hanging(tuple(along), tuple(needs), (), (said,), tuple(dict.fromkeys(assumed)))


def _lines(load: HungLoad, roof: Roof) -> tuple[tuple[RoofPlane, tuple[int, ...]], ...]:
    out = []
    for plane in roof.planes:
        have = {line.index for line in plane.lines}
        found = tuple(i for i in load.lines or () if i in have)
        if found and load.plane in (None, plane.name):
            out.append((plane, found))
    return tuple(out)


def _points(
    load: HungLoad, plane: RoofPlane, lines: tuple[int, ...], bays: tuple[int, ...], roof: Roof
) -> tuple[list[Along], str, list[str]]:
    assert load.weight is not None
    assumed: list[str] = []
    n, weight = max(load.count, len(load.along)), float(load.weight)
    if load.along:
        at = [float(load.along[k % len(load.along)]) for k in range(n)]
        if len(load.along) not in (1, n):
            assumed.append(f"{load.what}: {n} shared out over the {len(load.along)} places given")
        elif len(load.along) == 1 < n:
            assumed.append(f"all {n} {load.what} at the one place given")
    else:
        middle = [sum(bay_ends(roof, b)) / 2 for b in bays]
        at = [middle[k % len(middle)] for k in range(n)]
        assumed.append(f"{load.what} at mid-bay, which bends the purlin most")
    each = n >= len(lines) or len(lines) == 1
    along = []
    for k, x in enumerate(at):
        for line in (lines[k % len(lines)],) if each else lines:
            P = weight if each else weight / len(lines)
            along.append(Along(plane.name, line, x, x, P, P, load.what))
    if not each:
        assumed.append(f"{load.what} shared alike by lines {in_words(lines)}")
    elif len(lines) > 1:
        assumed.append(f"{load.what} one line after the other: {in_words(lines)}")
    words = f"{n} {load.what} of {weight:g} lb each" if n > 1 else f"{load.what} {weight:g} lb"
    return along, f"{words} on {_line_words(lines)}", assumed


def _spread(
    load: HungLoad, plane: RoofPlane, lines: tuple[int, ...], bays: tuple[int, ...], roof: Roof
) -> tuple[list[Along], str, list[str]]:
    """Line loads: neighbouring lines share a run alike, as a rail hung across them does; lines apart carry one each."""
    assert load.per_foot is not None
    w, assumed = float(load.per_foot), []
    runs: list[tuple[float, float, float]]
    end_ft = roof.frames_ft[-1]
    if load.along:
        if len(load.along) not in (1, load.count):
            assumed.append(f"{load.what}: one run at each of the {len(load.along)} places given")
        reach = [
            (float(x), end_ft if load.length is None else float(x) + float(load.length)) for x in load.along
        ]
        if load.length is None:
            assumed.append(f"{load.what} runs on to the last frame")
        more = max(load.count / len(load.along), 1.0)
        runs = [
            (a, min(b, end_ft), w * more * (b - a) / (min(b, end_ft) - a)) for a, b in reach if a < end_ft
        ]
        if any(b > end_ft + 1e-6 for _, b in reach):
            assumed.append(f"{load.what} runs past the last frame: its whole weight is kept on the line")
    elif bays:
        spans = _joined([bay_ends(roof, b) for b in sorted(set(bays))])
        room = sum(b - a for a, b in spans)
        total = w * load.count * (room if load.length is None else float(load.length))
        if load.length is None or abs(float(load.length) - room) < 1e-6 or float(load.length) > room:
            runs = [(a, b, total / room) for a, b in spans]
            if load.length is None:
                assumed.append(f"{load.what} runs all through bays {in_words(sorted(set(bays)))}")
            elif float(load.length) > room + 1e-6:
                assumed.append(f"{load.what} is longer than the bays named: its whole weight is put in them")
        else:
            share = float(load.length) / room
            runs = [((a + b) / 2 - (b - a) * share / 2, (a + b) / 2 + (b - a) * share / 2, total / float(load.length))
                    for a, b in spans]  # fmt: skip
            assumed.append(f"{load.what} about the middle of the bays named, which bends the purlin most")
    else:
        runs = [(0.0, end_ft, w * load.count)]
        assumed.append(f"{load.what} all along the line, since no bay or length is written down")
    along = []
    shared = len(lines) > 1 and load.count < len(lines) and lines[-1] - lines[0] == len(lines) - 1
    part = 1.0 / len(lines) if shared else max(1.0 / len(lines), 1.0 / load.count)
    for a, b, per_foot in runs:
        for line in lines:
            q = per_foot * part
            if load.spacing is not None:
                along += _hangers(plane, line, a, b, q, float(load.spacing), load.what)
            else:
                along.append(Along(plane.name, line, a, b, q, q, load.what))
    if shared:
        assumed.append(f"{load.what} shared alike by lines {in_words(lines)}")
    elif len(lines) > 1:
        assumed.append(f"{load.what} whole on each of lines {in_words(lines)}, since they lie apart")
    if load.spacing is not None:
        assumed.append(f"hangers of {load.what} even along it")
    return along, f"{load.what} {w:g} lb/ft on {_line_words(lines)}", assumed


def _hangers(
    plane: RoofPlane, line: int, a: float, b: float, q: float, spacing: float, what: str
) -> list[Along]:
    n = max(round((b - a) / spacing), 1)
    part = (b - a) / n
    return [
        Along(plane.name, line, a + (k + 0.5) * part, a + (k + 0.5) * part, q * part, q * part, what)
        for k in range(n)
    ]


def _joined(spans: list[tuple[float, float]]) -> list[tuple[float, float]]:
    out: list[tuple[float, float]] = []
    for a, b in spans:
        if out and abs(out[-1][1] - a) < 1e-9:
            out[-1] = (out[-1][0], b)
        else:
            out.append((a, b))
    return out


def _line_words(lines: tuple[int, ...]) -> str:
    return f"line{'s' if len(lines) > 1 else ''} {in_words(lines)}"


def _by_name(along: tuple[Along, ...]) -> dict[str, object]:
    """Whole weight on the purlins of each hung thing. [lb]"""
    found: dict[str, float] = {}
    for a in along:
        found[a.what] = found.get(a.what, 0.0) + (
            a.w0 if a.is_point else (a.w0 + a.w1) / 2 * (a.x1_ft - a.x0_ft)
        )
    return {what: (lb, "lb") for what, lb in found.items()}


def _upper(text: str) -> str:
    return text[:1].upper() + text[1:]
