"""Every old line of a roof, pressed and lifted, today and with the recover: the join of loads, effects and strength."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

from secondroof.acting.combined import STAGES, Rows, Stage, rows
from secondroof.acting.lineloads import LineLoads, line_loads
from secondroof.purlins.effects import Way, all_lap_ends, effects
from secondroof.purlins.limits import Held, hog_table, limits_of
from secondroof.purlins.places import shortest_laps
from secondroof.purlins.ratios import POINTS, Found, places_of, rank, ratios
from secondroof.purlins.restraint import Restraint, restraint
from secondroof.purlins.sections import LAP_DEPTHS, LineSections, line_sections
from secondroof.purlins.strength import Capacity, capacity
from secondroof.purlins.uplift import UpliftStrengths, uplift_strengths
from secondroof.roof.ridge import shared_ridge

if TYPE_CHECKING:
    from secondroof.acting.gathered import Acting
    from secondroof.checks.model import Need
    from secondroof.loads.combinations import Method
    from secondroof.roof.model import Roof, RoofPlane
    from secondroof.survey.models import Survey
    from secondroof.survey.proposals import Recover

FloatArray = NDArray[np.float64]
DOWN, UP = ("span", "lap end", "seat"), ("lifted span", "lifted seat")
TURNED = ("turned",)
#: Loads that press a purlin down, and that lift it.
PRESSING, LIFTING = ("D", "Lr", "S", "R", "W"), ("W",)


@dataclass(frozen=True, slots=True, eq=False)
class Side:
    """Worst point of every line and bay, pressed down or lifted, at one stage; all (n_line, n_bay).

    Attributes
    ----------
    ratio : array
        Demand over capacity; NaN where not known.
    state : str array
        holds, short, unknown or engineer.
    point : str array
        Key of ``ratios.POINTS``.
    x_ft : array
        Where along the line. [ft]
    row : int array
        Row of ``names``.
    names : tuple of str
        Combinations.
    demand, capacity : array
        Moment and its strength; reaction and crippling strength for bearing. [kip-in], [kip]
    shear : array
        Shear that stands with it. [kip]
    """

    ratio: FloatArray
    state: np.ndarray
    point: np.ndarray
    x_ft: FloatArray
    row: NDArray[np.intp]
    names: tuple[str, ...]
    demand: FloatArray
    capacity: FloatArray
    shear: FloatArray

    def combination(self, line: int, bay: int) -> str:
        """Governing combination at one line and bay (rows of the arrays)."""
        return self.names[self.row[line, bay]] if self.names else ""


@dataclass(frozen=True, slots=True, eq=False)
class PurlinsFound:
    """What the old lines carry; arrays (n_line, n_bay) in the order of ``sections.lines``.

    Attributes
    ----------
    edition : str
        Edition of ASCE 7.
    sections, capacity, uplift, restraint
        What it stands on.
    way : (n_line,) str array
        How each line was taken to work.
    lap_in : (n_line, n_frame) array
        Shortest lap each side; NaN where not read. [in]
    down, up, bearing : mapping of stage to Side
        Pressed down, lifted, and web crippling over the frames.
    down_lrfd, up_lrfd : array
        Ratios with the recover by LRFD.
    down_other : array
        Pressed down with the recover, worked the other way (``other_way`` says which).
    other_way : (n_line,) str array
        The other way.
    deflection_by : mapping of (kind, stage) to array
        Largest deflection under roof live load (``Lr``) or snow (``S``) alone, at the level of the load. [in]
    frame_R_kip : mapping of case key to (n_frame,) array
        Reactions of all lines on each frame line, square to the roof. [kip]
    uplift_before : UpliftStrengths
        Strength in uplift today; ``uplift`` is with the recover.
    shared_ridge : frozenset of (plane, line)
        Lines that are one ridge purlin of both planes; each carries the whole of it.
    left_out : frozenset of (kind, stage)
        Loads not fully known.
    loads : mapping of plane to LineLoads
        Line loads of every case.
    residual : float
        Largest self-check of the solver. [-]
    needs : tuple of Need
        What is missing.
    """

    edition: str
    sections: LineSections
    capacity: Capacity
    uplift: UpliftStrengths
    restraint: tuple[Restraint, ...]
    way: np.ndarray
    lap_in: FloatArray
    down: Mapping[Stage, Side]
    up: Mapping[Stage, Side]
    bearing: Mapping[Stage, Side]
    down_lrfd: FloatArray
    up_lrfd: FloatArray
    down_other: FloatArray
    other_way: np.ndarray
    deflection_by: Mapping[tuple[str, Stage], FloatArray]
    frame_R_kip: Mapping[str, FloatArray]
    uplift_before: UpliftStrengths
    shared_ridge: frozenset[tuple[str, int]]
    left_out: frozenset[tuple[str, Stage]]
    loads: Mapping[str, LineLoads]
    residual: float
    needs: tuple[Need, ...]


def ways_of(found: LineSections, lap_in: FloatArray) -> np.ndarray:
    """How each line is taken to work: continuous where every lap each side is 1.5 depths or more, else simple spans.

    Eave struts butt at the frames (common practice, no source) and are simple spans.
    """
    depth = found.section.depth[found.which]
    need = LAP_DEPTHS * np.maximum(depth[:, :-1], depth[:, 1:])
    inner = lap_in[:, 1:-1]
    full = np.all(inner >= need - 1e-9, axis=1) if inner.size else np.zeros(len(found.lines), bool)
    strut = np.array([line.member == "eave strut" for line in found.lines], dtype=bool)
    return np.where(full & ~strut, "continuous", "simple spans").astype(object)


def purlins_found(
    survey: Survey, recover: Recover | None, roof: Roof, acting: Acting, edition: str, *,
    only: frozenset[str] | None = None, loads: Mapping[str, LineLoads] | None = None, brief: bool = False,
) -> PurlinsFound:  # fmt: skip
    """Ratios of every old line of a roof.

    Parameters
    ----------
    survey, recover, roof : Survey, Recover or None, Roof
        What was found, what is proposed, and its geometry.
    acting : Acting
        Every load case.
    edition : str
        Edition of ASCE 7 whose combinations are used.
    only : frozenset of str, optional
        Names of the lines to work; the others stay NaN.
    loads : mapping of plane to LineLoads, optional
        Line loads worked before with the same laps.
    brief : bool
        Work with the recover on and by ASD alone; everything else stays NaN. For asking again with a reading changed.
    """
    found = line_sections(survey, roof)
    cap = capacity(found, bearing_in=survey.purlins.seat_length, seat=survey.purlins.seat)
    lap = shortest_laps(survey, roof)
    held = restraint(survey, recover)
    way = ways_of(found, lap)
    counted = np.where((way == "simple spans")[:, None] & np.isfinite(lap), 0.0, lap)
    lifts: dict[Stage, UpliftStrengths] = {
        "before": uplift_strengths(survey, None, roof, found, cap, lap_in=counted),
        "after": uplift_strengths(survey, recover, roof, found, cap, lap_in=counted),
    }
    longest = 12.0 * float(np.max(np.diff(roof.frames_ft)))
    hogs: dict[Method, FloatArray] = {
        "ASD": hog_table(found, longest, "asd"),
        "LRFD": hog_table(found, longest, "lrfd"),
    }
    if loads is None:
        loads = loads_of(roof, acting, all_lap_ends(roof.frames_ft, lap).tolist())
    parts = []
    for plane in roof.planes:
        for continuous in (True, False):
            at = np.array([
                i for i, line in enumerate(found.lines)
                if line.plane == plane.name and (way[i] == "continuous") == continuous
                and (only is None or line.name in only)
            ], dtype=int)  # fmt: skip
            if at.size:
                job = _Lines(roof, plane, at, continuous, loads[plane.name], edition, found, cap, lifts, lap, held,
                             hogs, brief, acting)  # fmt: skip
                parts.append((at, _worked(job)))
    shared = frozenset(shared_ridge(roof) or ())
    return _joined(edition, found, cap, lifts, held, way, lap, parts, acting, loads, shared)


def loads_of(roof: Roof, acting: Acting, extra_ft: list[float]) -> dict[str, LineLoads]:
    """Line loads by plane; a ridge purlin that two planes share carries both their loads."""
    made = {plane.name: line_loads(roof, plane, acting.cases, extra_ft) for plane in roof.planes}
    shared = shared_ridge(roof)
    if shared is None:
        return made
    every = sorted({*extra_ft, *(x for part in made.values() for x in part.x_ft.tolist())})
    made = {plane.name: line_loads(roof, plane, acting.cases, every) for plane in roof.planes}
    (a, i), (b, j) = ((name, int(np.flatnonzero(made[name].lines == line)[0])) for name, line in shared)
    for name in ("w0", "w1", "P"):
        one, two = getattr(made[a], name), getattr(made[b], name)
        both = one[:, i] + two[:, j]
        one[:, i], two[:, j] = both, both
    return made


@dataclass(frozen=True, slots=True, eq=False)
class _Lines:
    """Lines of one plane that work one way and everything they are worked with; ``at`` are rows of ``found.lines``."""

    roof: Roof
    plane: RoofPlane
    at: NDArray[np.intp]
    continuous: bool
    loads: LineLoads
    edition: str
    found: LineSections
    cap: Capacity
    lifts: Mapping[Stage, UpliftStrengths]
    lap: FloatArray
    held: tuple[Restraint, ...]
    hogs: Mapping[Method, FloatArray]
    brief: bool
    acting: Acting


@dataclass(frozen=True, slots=True, eq=False)
class _Worked:
    sides: Mapping[tuple[str, Stage], Side]
    lrfd: Mapping[str, FloatArray]
    other: FloatArray
    deflection_by: Mapping[tuple[str, Stage], FloatArray]
    R_kip: FloatArray
    residual: float


def _worked(job: _Lines) -> _Worked:
    """Work the distinct lines once and lay them out again."""
    row = np.array([int(np.flatnonzero(job.loads.lines == job.found.lines[i].index)[0]) for i in job.at])
    loads = _take(job.loads, row)
    keys = [
        (loads.w0[:, k].round(6).tobytes(), loads.w1[:, k].round(6).tobytes(), loads.P[:, k].round(6).tobytes(),
         job.found.which[i].tobytes(), job.lap[i].tobytes(), job.lifts["after"].which[i].tobytes())
        for k, i in enumerate(job.at)
    ]  # fmt: skip
    first = {key: k for k, key in reversed(list(enumerate(keys)))}
    distinct = sorted(first.values())
    back = np.array([distinct.index(first[key]) for key in keys])
    return _laid_out(_solve(replace(job, at=job.at[distinct], loads=_take(loads, np.array(distinct)))), back)


def _take(loads: LineLoads, rows_: NDArray[np.intp]) -> LineLoads:
    return replace(
        loads, lines=loads.lines[rows_], w0=loads.w0[:, rows_], w1=loads.w1[:, rows_], P=loads.P[:, rows_]
    )


def _laid_out(w: _Worked, back: NDArray[np.intp]) -> _Worked:
    def side(s: Side) -> Side:
        return Side(s.ratio[back], s.state[back], s.point[back], s.x_ft[back], s.row[back], s.names, s.demand[back],
                    s.capacity[back], s.shear[back])  # fmt: skip

    return _Worked(
        {k: side(s) for k, s in w.sides.items()}, {k: v[back] for k, v in w.lrfd.items()}, w.other[back],
        {k: v[back] for k, v in w.deflection_by.items()}, w.R_kip[:, back], w.residual,
    )  # fmt: skip


def _solve(job: _Lines) -> _Worked:
    loads, frames = job.loads, np.asarray(job.roof.frames_ft)
    Ix, lap = job.found.Ix_in4[job.at], job.lap[job.at]
    cut = np.full_like(lap, np.nan)
    ways: tuple[Way, ...] = ("laps counted", "laps not counted") if job.continuous else ("simple spans",)
    other: Way = "simple spans" if job.continuous else "laps not counted"
    solved = {
        way: effects(loads, job.roof.frames_ft, Ix, lap, way)
        for way in (ways if job.brief else (*ways, other))
    }
    held = next(r for r in job.held if r.plane == job.plane.name)

    def work(way: Way, stage: Stage, method: Method, laps: FloatArray) -> tuple[Mapping[str, Found], Rows]:
        places = places_of(loads.x_ft, frames, laps)
        table = rows(job.edition, method, loads.cases, stage)
        answer = held.braces if stage == "before" else held.braces_after
        lift = job.lifts[stage]
        top = Held(answer, lift.sag_length_in)
        limits = limits_of(job.found, job.cap, lift, job.at, laps, method, way, top, job.hogs[method])
        return ratios(solved[way], table.factors, _lifts(table, loads), limits, places), table

    def worst(stage: Stage, method: Method) -> tuple[Mapping[str, Found], Rows]:
        found = [work(way, stage, method, lap if job.continuous else cut) for way in ways]
        used = found[0][0] if len(found) == 1 else {k: _worse(found[0][0][k], found[1][0][k]) for k in POINTS}
        return used, found[0][1]

    sides: dict[tuple[str, Stage], Side] = {}
    for stage in STAGES[1:] if job.brief else STAGES:
        used, table = worst(stage, "ASD")
        answer = held.braces if stage == "before" else held.braces_after
        for name, keys in (("down", DOWN), ("up", UP), ("bearing", ("bearing",))):
            side = _side(used, keys, loads.x_ft, table.names)
            if name == "up" and job.acting.incomplete(stage, LIFTING):
                side = replace(side, ratio=np.full(side.ratio.shape, np.nan))
            turned = _top(used, TURNED) if name == "down" else np.zeros(side.ratio.shape)
            best = _at_best(job, name, used)
            sides[name, stage] = replace(side, state=_states(job, name, stage, side, answer, turned, best))
    shape = (job.at.size, frames.size - 1)
    lrfd = {"down": np.full(shape, np.nan), "up": np.full(shape, np.nan)}
    beside = np.full(shape, np.nan)
    if not job.brief:
        used, _ = worst("after", "LRFD")
        lrfd = {"down": _top(used, DOWN), "up": _top(used, UP)}
        beside = _top(work(other, "after", "ASD", cut)[0], DOWN)
    bay = np.clip(np.searchsorted(frames, loads.x_ft, side="right") - 1, 0, frames.size - 2)
    deflection = {}
    for kind in ("Lr", "S"):
        for stage in STAGES:
            served = [k for k, c in enumerate(loads.cases) if c.kind == kind and c.when in (stage, "both")]
            d = np.max([np.abs(solved[way].d[served]).max(axis=0, initial=0.0) for way in ways], axis=0)
            deflection[kind, stage] = np.stack(
                [d[:, bay == b].max(axis=1) for b in range(frames.size - 1)], axis=-1
            )
    at_frame = np.argmin(np.abs(frames[:, None] - loads.x_ft), axis=-1)
    R = solved[ways[0]].R[:, :, at_frame] * 1e-3
    return _Worked(sides, lrfd, beside, deflection, R, max(e.residual for e in solved.values()))


def _lifts(table: Rows, loads: LineLoads) -> NDArray[np.bool_]:
    lifting = np.array([c.kind == "W_up" for c in loads.cases])
    return (
        np.asarray((table.factors[:, lifting] != 0).any(axis=1))
        if lifting.any()
        else np.zeros(len(table.names), bool)
    )


def _worse(a: Found, b: Found) -> Found:
    take = rank(b.ratio) > rank(a.ratio)
    return Found(*(np.where(take, getattr(b, f), getattr(a, f)) for f in Found.__dataclass_fields__))


def _top(found: Mapping[str, Found], keys: tuple[str, ...]) -> FloatArray:
    every = np.stack([found[k].ratio for k in keys])
    return np.asarray(np.take_along_axis(every, np.argmax(rank(every), axis=0)[None], axis=0)[0])


def _at_best(job: _Lines, name: str, used: Mapping[str, Found]) -> FloatArray:
    """Ratio were the compressed flange of the span held all along and against turning: no bracing does better."""
    which = job.found.which[job.at]
    span, bending = ("lifted span", job.cap.bottom_held) if name == "up" else ("span", job.cap.top_held)
    with np.errstate(invalid="ignore", divide="ignore"):
        held = np.nan_to_num(used[span].demand) / bending.no_distortional.asd[which]
    others = _top(used, ("lifted seat",) if name == "up" else ("lap end", "seat"))
    return np.asarray(np.fmax(held, others))


def _side(
    found: Mapping[str, Found], keys: tuple[str, ...], x_ft: FloatArray, names: tuple[str, ...]
) -> Side:
    pick = np.argmax(np.stack([rank(found[k].ratio) for k in keys]), axis=0)[None]

    def of(field: str) -> np.ndarray:
        return np.asarray(
            np.take_along_axis(np.stack([getattr(found[k], field) for k in keys]), pick, axis=0)[0]
        )

    point = np.array(keys, dtype=object)[pick[0]]
    ratio = of("ratio")
    return Side(ratio, np.full(ratio.shape, "unknown", dtype=object), point, x_ft[of("node")], of("row"), names,
                of("demand"), of("capacity"), of("shear"))  # fmt: skip


def _states(
    job: _Lines, name: str, stage: Stage, side: Side, answer: str, turned: FloatArray, best: FloatArray
) -> np.ndarray:
    """State of every line and bay; a shortage that stands whatever is missing is a shortage.

    Where what holds the compressed flange is not known or not ours to judge, a span is short if it were short with that
    flange held all along (``best``). A span bent upward throughout beside loaded neighbours stands on what holds its
    bare bottom flange: past its strength, or where that is not known, an engineer looks. What holds without a load
    that is not known, or on a continuous line with a section that is not known, is not known to hold.
    """
    which = job.found.which[job.at]
    known = job.found.state[which]
    over = side.ratio > 1.0
    out = np.where(over, "short", "holds").astype(object)
    if name == "up":
        lifted = job.lifts[stage].state[job.lifts[stage].which[job.at]]
        out = np.where((lifted == "unknown") & ~over, "unknown", out)
        out = np.where((lifted == "engineer") & ~(best > 1.0), "engineer", out)
    elif name == "down":
        out = np.where(~(turned <= 1.0) & ~over, "engineer", out)
        out = np.where((answer == "unknown") & ~over, "unknown", out)
        out = np.where(np.isin(answer, ("no", "engineer")) & ~(best > 1.0), "engineer", out)
    else:
        out = _seat_states(job, side, out, over)
    kinds = LIFTING if name == "up" else PRESSING
    half = np.asarray(np.isnan(job.found.Ix_in4[job.at]).any(axis=1)) & job.continuous
    open_ = np.full(out.shape, job.acting.incomplete(stage, kinds)) | half[:, None]
    out = np.where(open_ & (out == "holds"), "unknown", out)
    out = np.where(known == "engineer", "engineer", out)
    out = np.where(np.isnan(side.ratio) | (known == "unknown"), "unknown", out)
    return np.asarray(out, dtype=object)


def _seat_states(job: _Lines, side: Side, out: np.ndarray, over: NDArray[np.bool_]) -> np.ndarray:
    """Seats: an engineer's where the clause does not reach, or where the bearing was not read and matters."""
    which, cap = job.found.which[job.at], job.cap
    if not cap.bearing_read:
        with np.errstate(invalid="ignore", divide="ignore"):
            least = np.fmax(
                cap.interior.P.asd / cap.interior_least.P.asd, cap.end.P.asd / cap.end_least.P.asd
            )
        out = np.where(over | (side.ratio * least[which] > 1.0), "engineer", out)
    return np.where(cap.interior.in_range[which] & cap.end.in_range[which], out, "engineer")


def _joined(
    edition: str, found: LineSections, cap: Capacity, lifts: Mapping[Stage, UpliftStrengths],
    held: tuple[Restraint, ...], way: np.ndarray, lap: FloatArray, parts: list[tuple[NDArray[np.intp], _Worked]],
    acting: Acting, loads: Mapping[str, LineLoads], shared: frozenset[tuple[str, int]],
) -> PurlinsFound:  # fmt: skip
    shape = found.which.shape

    def side(name: str, stage: Stage) -> Side:
        done = [(at, part) for at, part in parts if (name, stage) in part.sides]
        names = done[0][1].sides[name, stage].names if done else ()
        out = Side(np.full(shape, np.nan), np.full(shape, "unknown", dtype=object), np.full(shape, "", dtype=object),
                   np.full(shape, np.nan), np.zeros(shape, dtype=int), names,
                   *(np.full(shape, np.nan) for _ in range(3)))  # fmt: skip
        for at, part in done:
            for f in ("ratio", "state", "point", "x_ft", "row", "demand", "capacity", "shear"):
                getattr(out, f)[at] = getattr(part.sides[name, stage], f)
        return out

    def laid(get: object) -> FloatArray:
        out = np.full(shape, np.nan)
        for at, part in parts:
            out[at] = get(part)  # type: ignore[operator]
        return out

    one = np.ones(len(found.lines))
    if shared:
        one[[i for i, line in enumerate(found.lines) if (line.plane, line.index) in shared]] = 0.5
    R: dict[str, FloatArray] = {}
    for at, part in parts:
        for k, case in enumerate(acting.cases):
            R[case.key] = R.get(case.key, 0.0) + (one[at, None] * part.R_kip[k]).sum(axis=0)
    needs = dict.fromkeys((*found.needs, *lifts["after"].needs, *cap.needs))
    other = np.where(way == "continuous", "simple spans", "continuous, laps not counted")
    return PurlinsFound(
        edition=edition, sections=found, capacity=cap, uplift=lifts["after"], uplift_before=lifts["before"],
        restraint=held, way=way, lap_in=lap, shared_ridge=shared, left_out=acting.left_out,
        down={s: side("down", s) for s in STAGES}, up={s: side("up", s) for s in STAGES},
        bearing={s: side("bearing", s) for s in STAGES},
        down_lrfd=laid(lambda p: p.lrfd["down"]), up_lrfd=laid(lambda p: p.lrfd["up"]),
        down_other=laid(lambda p: p.other),
        other_way=other, frame_R_kip=R, loads=loads,
        deflection_by={(k, s): laid(lambda p, k=k, s=s: p.deflection_by[k, s]) for k in ("Lr", "S") for s in STAGES},
        residual=max((p.residual for _, p in parts), default=0.0), needs=tuple(needs),
    )  # fmt: skip
