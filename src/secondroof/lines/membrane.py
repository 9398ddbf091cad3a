"""The same purlins under a metal roof and under a smooth membrane: where rain water can go, and which limits hold.

The model, own derivation, on frames that do not sink. One depth of water lies on the roof evenly to begin with.

*Metal.* Ribs or seams run down the slope, so water that falls near the frames cannot run along the purlin to mid-span.
Each channel keeps its own rain and every foot of purlin carries the same, however far it sinks. What can still gather
is water behind the eave: where the first purlin sinks at mid-span more than the sheet falls from it to an eave member
that stays up, the dip in front of it fills, and that water is followed until it rests. The channels keep their water
only while it is lower than the ribs and while it can leave over an open eave: a gutter that backs up joins them all
at one level. Where that is not so, or not known, the metal roof is given the membrane's figures, and the reason.

*Membrane.* Water runs along the purlin to mid-span. Two cases: the *level is held* (rain goes on, the way out is
blocked; see :mod:`secondroof.lines.wet`), and the *same water* gathers where the purlin sinks and no more is added.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

import numpy as np
from numpy.typing import ArrayLike

from secondroof.errors import InputError, Problem
from secondroof.formula import note_step
from secondroof.lines.beam import peak_deflections, unrecorded_line
from secondroof.lines.deflection import BY_KEY, DeflectionLimit
from secondroof.lines.finer import finer
from secondroof.lines.ponding import FINER, water_influence
from secondroof.lines.wet import Rest, come_to_rest, growth
from secondroof.lines.words import IN_PER_FT, PSF_PER_IN, BoolArray, FloatArray

Ceiling = Literal["none", "not plaster", "plaster"]
_ROWS: dict[Ceiling, tuple[str, str]] = {
    "none": ("plain.live", "plain.snow_wind"),
    "not plaster": ("ceiling.live", "ceiling.snow_wind"),
    "plaster": ("plaster.live", "plaster.snow_wind"),
}
_ROUNDS = 60


@dataclass(frozen=True, slots=True, eq=False)
class Lying:
    """Water on one kind of roof.

    Attributes
    ----------
    amplification : float
        Water at rest over the water that lay there first; infinite where it runs away. [-]
    moment_amplification : float
        Largest moment under water over that of the first water lying evenly. [-]
    growth : float
        Share of an added inch that comes back, over the places where water gathers. [-]
    depth_in : (n,) array
        Depth at rest. [in]
    """

    amplification: float
    moment_amplification: float
    growth: float
    depth_in: FloatArray


@dataclass(frozen=True, slots=True)
class LimitHeld:
    """One deflection limit held against the deflection of the same purlin, in its worst span.

    Attributes
    ----------
    roof : str
        ``metal`` or ``membrane``.
    limit : DeflectionLimit
        The row.
    deflection_in, allowed_in, ratio : float
        [in], [in], [-]
    """

    roof: Literal["metal", "membrane"]
    limit: DeflectionLimit
    deflection_in: float
    allowed_in: float
    ratio: float


@dataclass(frozen=True, slots=True, eq=False)
class MetalAgainstMembrane:
    """The comparison.

    Attributes
    ----------
    metal : Lying
        Under ribs or seams; the figures of ``level_held`` where ``channels_hold`` is False.
    level_held : Lying
        Under a membrane, the level held.
    same_water : Lying
        Under a membrane, the same water gathered; NaN where held water runs away, for then it may gather in any bay.
    channels_hold : bool
        True where the metal roof keeps its water in its channels.
    why_not : tuple of str
        Reasons where it does not.
    fall_in : float
        Fall of the sheet from a purlin to the next below. [in]
    sag_in : float
        Deflection of the purlin under other load and even water. [in]
    limits : tuple of LimitHeld
        Rows of each roof, for the same purlin.
    """

    metal: Lying
    level_held: Lying
    same_water: Lying
    channels_hold: bool
    why_not: tuple[str, ...]
    fall_in: float
    sag_in: float
    limits: tuple[LimitHeld, ...]


@dataclass(frozen=True, slots=True, eq=False)
class _Line:
    """One purlin line, with nodes between those given, and the weight of water on it."""

    x: FloatArray
    support: BoolArray
    EI: FloatArray
    release: BoolArray
    per_inch: float

    def bend(self, w: ArrayLike) -> FloatArray:
        """Deflection under a load given at the nodes, straight between."""
        w = np.broadcast_to(np.asarray(w, dtype=float), self.x.shape)
        return self._solved(w[:-1], w[1:])[1]

    def moment(self, w: ArrayLike) -> float:
        """Largest moment, either way."""
        w = np.broadcast_to(np.asarray(w, dtype=float), self.x.shape)
        return float(np.abs(self._solved(w[:-1], w[1:])[0]).max())

    def weight(self, depth: FloatArray) -> float:
        return self.per_inch * float(np.trapezoid(depth, self.x))

    def _solved(self, w0: FloatArray, w1: FloatArray) -> tuple[FloatArray, FloatArray]:
        r = unrecorded_line(self.x, self.support, self.EI, w0, w1, 0.0, release=self.release)
        return r.M_kip_in, r.d_in


def metal_against_membrane(
    x_ft: ArrayLike,
    support: ArrayLike,
    EI_kip_in2: ArrayLike,
    spacing_ft: float,
    water_in: float,
    live_psf: float,
    *,
    rib_height_in: float | None,
    eave_open: bool | None,
    slope_in_per_ft: float,
    other_psf: float = 0.0,
    snow_psf: float = 0.0,
    ceiling: Ceiling = "none",
    release: ArrayLike | None = None,
) -> MetalAgainstMembrane:
    """The same purlin line under a metal roof and under a smooth membrane.

    Parameters
    ----------
    x_ft, support, EI_kip_in2, release
        One purlin line, as :func:`secondroof.lines.beam.solve_line`.
    spacing_ft : float
        Purlin spacing. [ft]
    water_in : float
        Depth of water that lies on the roof evenly before anything sinks. [in]
    live_psf : float
        Live load for the deflection rows. [psf]
    rib_height_in : float or None
        Height of ribs or seams that hold water back; None where not known. [in]
    eave_open : bool or None
        True where water leaves over the eave and cannot back up; None where not known.
    slope_in_per_ft : float
        Slope of the sheet. [in/ft]
    other_psf : float, optional
        Load that is there while it rains (dead load). [psf]
    snow_psf : float, optional
        Snow load for the deflection rows. [psf]
    ceiling : str, optional
        ``none``, ``not plaster`` or ``plaster``: which ordinary row counts under a membrane.

    Raises
    ------
    InputError
        As ``solve_line``; or numbers below zero, a ceiling not known.
    """
    _check(water_in, spacing_ft, ceiling, live_psf=live_psf, snow_psf=snow_psf, slope_in_per_ft=slope_in_per_ft,
           other_psf=other_psf, rib_height_in=rib_height_in)  # fmt: skip
    x, EI = np.asarray(x_ft, dtype=float), np.asarray(EI_kip_in2, dtype=float)
    unrecorded_line(x, support, EI, 0.0, 0.0, 0.0, release=release)  # refuses a line that cannot be
    line = _Line(*finer(x, support, EI, release, FINER), PSF_PER_IN * spacing_ft)
    other, even = other_psf * spacing_ft, line.per_inch * water_in
    A = line.per_inch * water_influence(line.x, line.support, line.EI, release=line.release)
    still = line.moment(even)
    first_lb = line.weight(np.full(line.x.shape, float(water_in)))
    bent = line.bend(other)

    rest = come_to_rest(A, water_in + bent)
    level = _lying(line, rest, np.zeros_like(bent), first_lb, still)
    gathered = _same_water(line, A, bent, water_in, first_lb, still) if rest.settles else _nowhere(line, rest)

    why = _why_not(water_in, rib_height_in, eave_open)
    fall, with_water = slope_in_per_ft * spacing_ft, line.bend(other + even)
    behind_eave = come_to_rest(A, with_water - fall)
    channels = _lying(line, behind_eave, np.full_like(bent, water_in), first_lb, still)
    result = MetalAgainstMembrane(
        level if why else channels, level, gathered, not why, why, fall, float(with_water.max()),
        _limits(line, spacing_ft, {"live": live_psf, "snow or wind": snow_psf}, ceiling),
    )  # fmt: skip
    note_step(
        "The same purlins under metal and under a membrane", symbol="A_f", unit="-", clause="own derivation",
        inputs={"spacing": spacing_ft, "water": water_in, "fall": fall, "sag": result.sag_in},
        result=(result.metal.amplification, level.amplification),
        method="metal: each channel keeps its rain" + ("; here not: " + "; ".join(why) if why else ""),
        checked="own derivation",
        self_check=f"depth agrees with deflection within {max(rest.residual, behind_eave.residual):.1e}",
    )  # fmt: skip
    return result


def _check(
    water_in: float, spacing_ft: float, ceiling: str, *, rib_height_in: float | None, **others: float
) -> None:
    given = {**others, "rib_height_in": 0.0 if rib_height_in is None else rib_height_in}
    problems = [Problem(k, str(v), "must be zero or more.", "") for k, v in given.items() if not v >= 0]
    for name, value in (("water_in", water_in), ("spacing_ft", spacing_ft)):
        if not (value > 0 and np.isfinite(value)):
            problems.append(Problem(name, str(value), "must be above zero.", "Give what was measured."))
    if ceiling not in _ROWS:
        problems.append(Problem("ceiling", str(ceiling), f"must be one of {', '.join(_ROWS)}.", ""))
    if problems:
        raise InputError(problems)


def _why_not(water_in: float, rib_height_in: float | None, eave_open: bool | None) -> tuple[str, ...]:
    why = []
    if rib_height_in is None:
        why.append("height of the ribs or seams is not known: measure it")
    elif water_in > rib_height_in:
        why.append(f"water of {water_in:.2f} in stands over ribs of {rib_height_in:.2f} in")
    if eave_open is None:
        why.append("whether water can back up at the eave is not known: look at gutter, overflow and walls")
    elif not eave_open:
        why.append("water backs up at the eave and joins all channels at one level")
    return tuple(why)


def _lying(line: _Line, rest: Rest, under: FloatArray, first_lb: float, still: float) -> Lying:
    """Gathered water on top of what lies there anyway."""
    if not rest.settles:
        return Lying(np.inf, np.inf, rest.growth, rest.depth_in[::FINER])
    depth = under + rest.depth_in
    moment = line.moment(line.per_inch * depth)
    return Lying(line.weight(depth) / first_lb, moment / still, rest.growth, depth[::FINER])


def _nowhere(line: _Line, rest: Rest) -> Lying:
    return Lying(np.nan, np.nan, rest.growth, np.full(line.x[::FINER].shape, np.nan))


def _same_water(
    line: _Line, A: FloatArray, bent: FloatArray, water_in: float, first_lb: float, still: float
) -> Lying:
    """The level at which the gathered water is the water that fell.

    Over the places that are wet, depth is straight in the level, so the level follows from the water; the places are
    corrected until they agree with the depths.
    """
    share = line.per_inch * np.gradient(line.x)
    share[[0, -1]] /= 2
    wet = np.ones(line.x.shape, dtype=bool)
    for done in range(1, _ROUNDS + 1):
        part = A[np.ix_(wet, wet)]
        of_bent, of_level = np.linalg.solve(
            np.eye(part.shape[0]) - part, np.column_stack((bent[wet], np.ones(part.shape[0])))
        ).T
        level = (first_lb - share[wet] @ of_bent) / (share[wet] @ of_level)
        depth = np.zeros_like(bent)
        depth[wet] = of_bent + level * of_level
        wanted = level + bent + A @ depth
        if np.array_equal(wanted > 0, wet):
            rate = growth(part)
            rest = Rest(depth, rate, rate < 1.0, done, float(np.max(np.abs(np.maximum(wanted, 0) - depth))))
            return (
                _lying(line, rest, np.zeros_like(bent), first_lb, still)
                if rate < 1.0
                else _nowhere(line, rest)
            )
        wet = wanted > 0
        if not wet.any():
            break
    return _nowhere(line, Rest(np.full_like(bent, np.nan), growth(A), False, done, np.nan))


def _limits(line: _Line, spacing_ft: float, psf: dict[str, float], ceiling: Ceiling) -> tuple[LimitHeld, ...]:
    """The live row of metal, then the live and snow rows of a membrane."""
    held = np.flatnonzero(line.support)
    span_in = np.diff(line.x[held]) * IN_PER_FT
    rows: list[LimitHeld] = []
    for key in ("formed.purlin.live", *_ROWS[ceiling]):
        limit = BY_KEY[key]
        w = psf[limit.load] * spacing_ft
        peaks = peak_deflections(
            unrecorded_line(line.x, line.support, line.EI, w, w, 0.0, release=line.release)
        )
        most = np.maximum.reduceat(np.maximum(peaks.most, -peaks.least)[: held[-1]], held[:-1])
        worst = int(np.argmax(most * limit.over / span_in))
        allowed = float(span_in[worst]) / limit.over
        d = float(most[worst])
        rows.append(LimitHeld("membrane" if rows else "metal", limit, d, allowed, d / allowed))
    return tuple(rows)
