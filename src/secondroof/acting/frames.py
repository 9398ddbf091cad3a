"""What the frames get: main-frame wind on the roof, which a recover does not change, and the weight it adds to each."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field, replace
from typing import TYPE_CHECKING, Any

import numpy as np
from numpy.typing import ArrayLike, NDArray

from secondroof.acting.wind import DECIDES, find_wind
from secondroof.checks.model import Need, Source
from secondroof.checks.steps import singled
from secondroof.errors import InputError, MissingError, Problem
from secondroof.formula import recording
from secondroof.loads.mwfrs import SURFACES, frame_pressures
from secondroof.loads.wind import edge_strip_width, ground_elevation_factor
from secondroof.survey.proposals import BracketLine

if TYPE_CHECKING:
    from collections.abc import Mapping

    from secondroof.acting.model import Case
    from secondroof.acting.wind import Wind
    from secondroof.formula import Step
    from secondroof.loads.mwfrs import FramePressures
    from secondroof.roof.model import Roof
    from secondroof.survey.models import Survey
    from secondroof.survey.proposals import Recover

FloatArray = NDArray[np.float64]
WORDS = {
    "2": "windward slope",
    "3": "leeward slope",
    "2E": "windward slope, end strip",
    "3E": "leeward slope, end strip",
}
#: Slope up to which the surfaces of the gable figure serve a single-slope roof too (own judgement: both slopes are
#: then nearly flat and the coefficients are those of the flattest roof). [deg]
FLAT_DEG = 5.0
#: Frames within this share of each other are told together.
ALIKE = 0.005


@dataclass(frozen=True, slots=True)
class FrameSurface:
    """Main-frame wind on one surface of the roof, at the edition's own level; uplift negative. [psf]

    ``across`` is wind square to the ridge, ``along`` wind along it; ``up`` with internal pressure, ``down`` with
    internal suction.
    """

    surface: str
    what: str
    across_up_psf: float
    across_down_psf: float
    along_up_psf: float
    along_down_psf: float


@dataclass(frozen=True, slots=True)
class FrameLoad:
    """Dead load of the roof on one frame line, by simple spans from frame to frame.

    Attributes
    ----------
    frame : int
        Counted from 1.
    before_kip, after_kip : float
        Today, and with the recover.
    """

    frame: int
    x_ft: float
    before_kip: float
    after_kip: float

    @property
    def added_kip(self) -> float:
        """What the recover adds. [kip]"""
        return self.after_kip - self.before_kip


@dataclass(frozen=True, slots=True)
class Frames:
    """Main-frame wind on the roof and the change in weight on each frame.

    Attributes
    ----------
    surfaces : tuple of FrameSurface
        Empty where the wind is not known or the figure is not held.
    end_strip_ft : float or None
        Width 2a of the end strips.
    rise_in, wind_change : float or None
        How far the roof rises, and the share by which the velocity pressure grows with it (0.002 is 0.2 percent).
    level : str
        ``strength`` or ``service``.
    loads : tuple of FrameLoad
        Dead load on each frame line.
    index : int
        Surface of ``surfaces`` the steps are of.
    """

    edition: str | None
    figure: str
    level: str
    asd_factor: float | None
    surfaces: tuple[FrameSurface, ...]
    end_strip_ft: float | None
    rise_in: float
    wind_change: float | None
    loads: tuple[FrameLoad, ...]
    sentence: str
    clause: str = ""
    checked: str = ""
    index: int = 0
    steps: tuple[Step, ...] = ()
    sources: Mapping[str, Source] = field(default_factory=dict)
    needs: tuple[Need, ...] = ()


def on_frames_kip(roof: Roof, cases: Sequence[Case]) -> FloatArray:
    """Vertical load of cases on every frame line, each bay a simple span. [kip]

    Parameters
    ----------
    roof : Roof
        The roof.
    cases : sequence of Case
        Their patches and line loads are added; cases that act square to the roof are left out.

    Returns
    -------
    ndarray, shape (n_frame,)
        Their sum is the whole load on the roof between the first frame and the last.
    """
    slope = {p.name: p.slope_deg for p in roof.planes}
    rows: list[tuple[float, float, float, float]] = []
    points: list[tuple[float, float]] = []
    for case in cases:
        if case.acts != "vertical":
            continue
        for p in case.patches:
            deep = p.y1_ft - p.y0_ft
            if case.per == "slope":
                deep /= float(np.cos(np.radians(slope[p.plane])))
            a, b, c, d = p.psf
            rows.append((p.x0_ft, p.x1_ft, (a + d) / 2 * deep, (b + c) / 2 * deep))
        for one in case.along:
            if one.is_point:
                points.append((one.x0_ft, one.w0))
            else:
                rows.append((one.x0_ft, one.x1_ft, one.w0, one.w1))
    frames = np.asarray(roof.frames_ft)
    found = np.zeros(frames.size)
    bay = np.diff(frames)
    if rows:
        x0, x1, w0, w1 = (v[:, None] for v in np.array(rows, dtype=float).T)
        a, b = np.maximum(x0, frames[:-1]), np.minimum(x1, frames[1:])
        long = np.maximum(b - a, 0.0)
        at_a, at_b = w0 + (w1 - w0) * (a - x0) / (x1 - x0), w0 + (w1 - w0) * (b - x0) / (x1 - x0)
        whole = (at_a + at_b) / 2 * long
        right = (whole * (a - frames[:-1]) + long**2 * (at_a + 2 * at_b) / 6) / bay
        found[1:] += right.sum(axis=0)
        found[:-1] += (whole - right).sum(axis=0)
    for x, P in points:
        k = int(np.clip(np.searchsorted(frames, x, side="right") - 1, 0, bay.size - 1))
        share = float(np.clip((x - frames[k]) / bay[k], 0.0, 1.0))
        found[k] += P * (1 - share)
        found[k + 1] += P * share
    return found / 1000


def frames(
    survey: Survey,
    recover: Recover,
    roof: Roof,
    edition: str | None,
    wind: Wind | None,
    before_kip: ArrayLike,
    after_kip: ArrayLike,
    *,
    need: Need | None = None,
) -> Frames:
    """Main-frame wind on the roof, and dead load on every frame before and after.

    Parameters
    ----------
    survey, recover, roof, edition, wind : Survey, Recover, Roof, str or None, Wind or None
        As for :func:`secondroof.acting.wind_lines.wind_cases`.
    before_kip, after_kip : array, shape (n_frame,)
        Dead load on every frame line, e.g. from :func:`on_frames_kip`; NaN where not known.
    need : Need, optional
        What is missing for the wind, where the caller knows it.

    Raises
    ------
    InputError
        Not one load for each frame line.
    """
    loads = _loads(roof, np.asarray(before_kip, dtype=float), np.asarray(after_kip, dtype=float))
    rise = rise_in(recover)
    weight = _weight_words(loads)
    if wind is None:
        missing = need or find_wind(survey, roof, edition, "enclosed")[1]
        missing = missing or Need("wind on the roof", "the ground rules", DECIDES, "estimator")
        return _no_wind(edition, loads, rise, weight, missing)
    if roof.shape == "single slope" and wind.slope_deg > FLAT_DEG:
        missing = _engineer(
            f"main-frame wind on a single-slope roof of {wind.slope_deg:.1f} degrees: the figure held here shows gables"
        )
        return _no_wind(edition, loads, rise, weight, missing)
    try:
        with recording() as recorder:
            found = main_frame_pressures(wind, roof, wind.h_ft)
        taller = main_frame_pressures(wind, roof, wind.h_ft + rise / 12)
    except (MissingError, InputError) as error:
        return _no_wind(edition, loads, rise, weight, _engineer(f"main-frame wind on the roof: {error}"))
    change = float(taller.q_h_psf) / float(found.q_h_psf) - 1
    two_a = 2 * float(edge_strip_width(wind.h_ft, min(roof.length_ft, roof.width_ft)))
    columns = (found.across_up_psf, found.across_down_psf, found.along_up_psf, found.along_down_psf)
    surfaces = tuple(
        FrameSurface(s, WORDS[s], *(float(c[i]) for c in columns)) for i, s in enumerate(SURFACES)
    )
    worst = int(np.argmin(found.across_up_psf))
    sentence = (
        "Outline and slope of the roof stay, so the wind on the frames stays: the new roof stands "
        f"{rise:.1f} in higher, which adds {100 * change:.1f} % to the velocity pressure at mean height. Main-frame "
        f"wind is {_way(found.across_up_psf[0])} on the windward slope and {_way(found.across_up_psf[1])} on the "
        f"leeward, wind square to the ridge with pressure inside ({found.level} level), more in end strips "
        f"{two_a:.1f} ft wide. Twisting cases and walls are the engineer's. {weight}"
    )
    return Frames(
        edition=edition,
        figure=found.figure,
        level=found.level,
        asd_factor=found.asd_factor,
        surfaces=surfaces,
        end_strip_ft=two_a,
        rise_in=rise,
        wind_change=change,
        loads=loads,
        sentence=sentence,
        clause=found.figure,
        checked=found.checked,
        index=worst,
        steps=(*wind.steps, *(_of_surface(s, worst) for s in singled(recorder.steps))),
        sources=frame_sources(survey, wind, found),
    )


def rise_in(recover: Recover) -> float:
    """How far the recover raises the roof: line, clip and, where there are any, brackets. [in]"""
    framing = recover.framing
    bracket = framing.bracket_height if isinstance(framing, BracketLine) else 0.0
    return float(framing.height + recover.clip.height + bracket)


def main_frame_pressures(wind: Wind, roof: Roof, h_ft: float) -> FramePressures:
    """Main-frame pressures on the roof at a mean roof height. [psf]"""
    K_e: Any = 1.0
    if wind.use_K_e and wind.elevation_ft is not None:
        K_e = ground_elevation_factor(wind.elevation_ft)
    return frame_pressures(
        wind.edition,
        wind.V_mph,
        wind.exposure,
        h_ft,
        min(roof.length_ft, roof.width_ft),
        wind.K_zt,
        wind.enclosure,
        wind.slope_deg,
        K_e=K_e,
    )


def _loads(roof: Roof, before: FloatArray, after: FloatArray) -> tuple[FrameLoad, ...]:
    count = len(roof.frames_ft)
    if before.shape != (count,) or after.shape != (count,):
        raise InputError(
            Problem(
                "before_kip, after_kip",
                f"{before.size} and {after.size} loads",
                f"This roof has {count} frame lines.",
                "Give one load for each.",
            )
        )
    rows = zip(roof.frames_ft, before, after, strict=True)
    return tuple(FrameLoad(i, x, float(b), float(a)) for i, (x, b, a) in enumerate(rows, start=1))


def _weight_words(loads: tuple[FrameLoad, ...]) -> str:
    known = [x for x in loads if np.isfinite(x.added_kip)]
    if not known:
        return "What the recover adds to each frame is not known: see the weights."
    alike, most = _largest(known, [x.after_kip for x in known])
    share = [x.added_kip / x.before_kip if x.before_kip > 0 else 0.0 for x in known]
    others, steepest = _largest(known, share)
    part = (
        f", {100 * most.added_kip / most.before_kip:.0f} % of its dead roof load" if most.before_kip else ""
    )
    text = (
        f"The frame that carries most goes from {most.before_kip:.2f} to {most.after_kip:.2f} kip of roof weight "
        f"({frame_words(alike)}, {most.added_kip:+.2f} kip{part})"
    )
    if steepest.before_kip > 0 and not set(others) & set(alike):
        text += f"; the largest share is added on {frame_words(others)}, {100 * max(share):.0f} %"
        if len(others) == 1:
            text += f", from {steepest.before_kip:.2f} to {steepest.after_kip:.2f} kip"
    return (
        f"{text}. Each bay is taken as a simple span: lines that run through put more on the second frame and less "
        "on the first. The frame's own weight is not in it."
    )


def _largest(loads: Sequence[FrameLoad], values: Sequence[float]) -> tuple[tuple[int, ...], FrameLoad]:
    """Frames whose value is within ``ALIKE`` of the largest, and the first of those that hold it outright."""
    top = max(values)
    alike = tuple(x.frame for x, v in zip(loads, values, strict=True) if v >= top - ALIKE * abs(top))
    sure = next(x for x, v in zip(loads, values, strict=True) if v >= top - 1e-9 * max(1.0, abs(top)))
    return alike, sure


def frame_words(frames: Sequence[int]) -> str:
    """``frame 2``, ``frames 2 to 10 alike``, ``frames 2, 4 and 6 to 9 alike``; those that follow each other joined."""
    runs: list[list[int]] = []
    for n in frames:
        if runs and n == runs[-1][-1] + 1:
            runs[-1].append(n)
        else:
            runs.append([n])
    said: list[str] = []
    for run in runs:
        said += [f"{run[0]} to {run[-1]}"] if len(run) > 2 else [str(n) for n in run]
    if len(frames) == 1:
        return f"frame {frames[0]}"
    joined = said[0] if len(said) == 1 else f"{', '.join(said[:-1])} and {said[-1]}"
    return f"frames {joined} alike"


def _way(psf: Any) -> str:
    return f"{abs(float(psf)):.1f} psf {'up' if float(psf) < 0 else 'down'}"


def _engineer(what: str) -> Need:
    where = "an engineer, from the printed standard"
    return Need(what, where, "wind on the frames, which this recover hardly changes", "engineer")


def _no_wind(
    edition: str | None, loads: tuple[FrameLoad, ...], rise: float, weight: str, need: Need
) -> Frames:
    text = (
        "Main-frame wind is not worked out here. Outline and slope of the roof stay; it rises by "
        f"{rise:.1f} in. Missing: {need.what} {weight}"
    )
    return Frames(edition, "", "", None, (), None, rise, None, loads, text, needs=(need,))


def _of_surface(step: Step, i: int) -> Step:
    """A step over all surfaces, read at one of them."""

    def one(value: Any) -> Any:
        array = np.asarray(value)
        return array[i].item() if array.shape == (len(SURFACES),) else value

    inputs: dict[str, Any] = {k: one(v) for k, v in step.inputs.items()}
    return replace(step, inputs=inputs, result=one(step.result))


def frame_sources(survey: Survey, wind: Wind, found: FramePressures) -> dict[str, Source]:
    """Where the numbers of main-frame wind come from."""
    rules = survey.ground_rules
    factor = wind.topographic
    site = Source(rules.source or "ground rules of the job", rules.source is None)
    terrain = Source(f"terrain constants of the exposure, ASCE {wind.edition}")
    return {
        "V": site,
        "K_zt": site if factor is None else Source(factor.source, factor.doubtful),
        "K_e": Source("1.0, always allowed" if not wind.use_K_e else "ground elevation"),
        "z_e": Source("ground elevation, ground rules"),
        "K_d": Source(f"ASCE {wind.edition}, main frame of a building"),
        "z": Source("mean roof height, survey"),
        "GC_pf": Source(found.figure),
        "GCp": Source(found.figure),
        "GCpi": Source(wind.enclosure),
        **dict.fromkeys(("alpha", "z_g", "z_min", "c"), terrain),
    }
