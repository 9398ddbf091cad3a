"""Cold-formed sections from measured dimensions, and their centre lines with true corners.

All dimensions are out to out and broadcast over arrays of sections. ``x`` points along the top flange, ``y`` up;
the top is the flange that touches the roof sheet. A lip is measured to the sharp outer corner of lip and flange,
its angle is the one it is bent away from the flange (90 for a square lip). ``R`` is the inside bend radius.

Rust is thickness lost by element, taken from both faces alike: the centre line stays where it was.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Any

import numpy as np

from secondroof.errors import InputError, Problem
from secondroof.steel.numeric import BoolArray, FloatArray, Numeric

Z_ELEMENTS = ("top lip", "top flange", "web", "bottom flange", "bottom lip")
HAT_ELEMENTS = ("left foot", "left web", "top", "right web", "right foot")
KINDS = ("Z", "C", "hat")
CORNER_STRIPS = 6


@dataclass(frozen=True, slots=True, eq=False)
class Section:
    """Dimensions of one section or of an array of sections of one kind.

    Attributes
    ----------
    kind : str
        ``Z``, ``C`` or ``hat``. A plain (unlipped) section has lips of zero; an eave strut is a C or Z whose top
        flange is not square to the web.
    depth : (...) array
        Out to out along the web. [in]
    top, bottom : (...) array
        Flange widths out to out; for a hat the top width and the width of one foot. [in]
    top_lip, bottom_lip : (...) array
        Lips, zero where plain. [in]
    t : (...) array
        Base thickness as rolled. [in]
    R : (...) array
        Inside bend radius. [in]
    top_angle, bottom_angle : (...) array
        Angle each lip is bent away from its flange. [deg]
    top_bend, bottom_bend : (...) array
        Bend between web and flange, 90 where square; for a hat the slope of the webs to the horizontal. [deg]
    t_elements : (..., 5) array
        Thickness left of each element, in the order of ``elements``. [in]
    """

    kind: str
    depth: FloatArray
    top: FloatArray
    bottom: FloatArray
    top_lip: FloatArray
    bottom_lip: FloatArray
    t: FloatArray
    R: FloatArray
    top_angle: FloatArray
    bottom_angle: FloatArray
    top_bend: FloatArray
    bottom_bend: FloatArray
    t_elements: FloatArray

    @property
    def elements(self) -> tuple[str, ...]:
        """Names of the flat elements, in order along the section."""
        return HAT_ELEMENTS if self.kind == "hat" else Z_ELEMENTS

    @property
    def shape(self) -> tuple[int, ...]:
        """Shape of the array of sections, ``()`` for one."""
        return self.depth.shape

    @property
    def t_web(self) -> FloatArray:
        """Thickness left in the web (the thinner web of a hat) [in]."""
        if self.kind == "hat":
            return np.asarray(np.minimum(self.t_elements[..., 1], self.t_elements[..., 3]))
        return self.t_elements[..., 2]

    @property
    def flats(self) -> FloatArray:
        """Flat width of each element, (..., 5) [in]."""
        return _flats(self, self.R)

    @property
    def web_flat(self) -> FloatArray:
        """Flat depth h of the web [in]."""
        return self.flats[..., 1 if self.kind == "hat" else 2]

    @property
    def possible(self) -> BoolArray:
        """Whether such a section can exist: positive sizes, room for its bends, lips no longer than flanges."""
        return np.asarray(np.logical_and.reduce([ok for _, ok, _ in _checks(self)]), dtype=bool)


def _make(kind: str, **dims: Numeric) -> Section:
    arrays = np.broadcast_arrays(*(np.asarray(v, dtype=float) for v in dims.values()))
    named = dict(zip(dims, (a.copy() for a in arrays), strict=True))
    t5 = np.repeat(named["t"][..., None], 5, axis=-1)
    return Section(kind=kind, t_elements=t5, **named)


def z_section(
    depth: Numeric, flange: Numeric, lip: Numeric, t: Numeric, R: Numeric, lip_angle: Numeric = 50.0, *,
    bottom_flange: Numeric | None = None, bottom_lip: Numeric | None = None,
    bottom_lip_angle: Numeric | None = None, top_bend: Numeric = 90.0,
) -> Section:  # fmt: skip
    """Z section, lipped or plain (``lip`` 0), flanges equal or not [in, deg].

    Parameters
    ----------
    depth, flange, lip : numeric
        Out to out; ``flange`` and ``lip`` are the top ones, and the bottom ones too where not given. [in]
    t, R : numeric
        Base thickness and inside bend radius. [in]
    lip_angle : numeric, optional
        Angle of the lip to the flange. [deg]
    bottom_flange, bottom_lip : numeric, optional
        Bottom flange and lip. [in]
    bottom_lip_angle : numeric, optional
        Angle of the bottom lip. [deg]
    top_bend : numeric, optional
        Bend between web and top flange, other than 90 for an eave strut. [deg]
    """
    return _make(
        "Z", depth=depth, top=flange, bottom=flange if bottom_flange is None else bottom_flange, top_lip=lip,
        bottom_lip=lip if bottom_lip is None else bottom_lip, t=t, R=R, top_angle=lip_angle,
        bottom_angle=lip_angle if bottom_lip_angle is None else bottom_lip_angle, top_bend=top_bend,
        bottom_bend=90.0,
    )  # fmt: skip


def c_section(
    depth: Numeric, flange: Numeric, lip: Numeric, t: Numeric, R: Numeric, lip_angle: Numeric = 90.0, *,
    bottom_flange: Numeric | None = None, bottom_lip: Numeric | None = None,
    bottom_lip_angle: Numeric | None = None, top_bend: Numeric = 90.0,
) -> Section:  # fmt: skip
    """C section, lipped or plain (``lip`` 0); arguments as :func:`z_section` [in, deg]."""
    return replace(
        z_section(depth, flange, lip, t, R, lip_angle, bottom_flange=bottom_flange, bottom_lip=bottom_lip,
                  bottom_lip_angle=bottom_lip_angle, top_bend=top_bend),
        kind="C",
    )  # fmt: skip


def eave_strut(
    depth: Numeric, top: Numeric, bottom: Numeric, lip: Numeric, t: Numeric, R: Numeric, slope_in_12: Numeric, *,
    rises_over_flange: bool = True, kind: str = "C", lip_angle: Numeric = 90.0,
) -> Section:  # fmt: skip
    """Eave strut: a C or Z whose top flange lies in the roof plane [in, deg].

    Parameters
    ----------
    depth, top, bottom, lip : numeric
        Depth along the web to the sharp outer corners, flanges, lips. [in]
    t, R : numeric
        Base thickness and inside bend radius. [in]
    slope_in_12 : numeric
        Roof slope, rise in 12. [in]
    rises_over_flange : bool, optional
        True where the top flange climbs away from the web, False where it falls.
    kind : str, optional
        ``C`` or ``Z``.
    lip_angle : numeric, optional
        Angle of the lips to the flanges. [deg]
    """
    slope = np.degrees(np.arctan2(np.asarray(slope_in_12, dtype=float), 12.0))
    make = c_section if kind == "C" else z_section
    bend = 90.0 - slope if rises_over_flange else 90.0 + slope
    return make(depth, top, lip, t, R, lip_angle, bottom_flange=bottom, top_bend=bend)


def hat_section(
    depth: Numeric, top: Numeric, foot: Numeric, t: Numeric, R: Numeric, web_slope: Numeric = 90.0
) -> Section:
    """Hat section, feet out [in, deg].

    Parameters
    ----------
    depth, top, foot : numeric
        Height, top width between sharp outer corners, width of one foot. [in]
    t, R : numeric
        Base thickness and inside bend radius. [in]
    web_slope : numeric, optional
        Slope of the webs to the horizontal. [deg]
    """
    return _make("hat", depth=depth, top=top, bottom=foot, top_lip=0.0, bottom_lip=0.0, t=t, R=R,
                 top_angle=90.0, bottom_angle=90.0, top_bend=web_slope, bottom_bend=web_slope)  # fmt: skip


def rusted(section: Section, loss_in: Numeric) -> Section:
    """The section with thickness lost to rust.

    Parameters
    ----------
    section : Section
        As rolled.
    loss_in : numeric or (..., 5) array
        Thickness lost: one figure for all elements (shape of the section), or one for each element in the last
        axis, in the order of ``section.elements``. [in]

    Raises
    ------
    InputError
        For a negative loss, or one that leaves no steel.
    """
    loss = np.asarray(loss_in, dtype=float)
    by_element = loss.ndim > len(section.shape) and loss.shape[-1] == 5
    left = section.t_elements - (loss if by_element else loss[..., None])
    if not (np.all(loss >= 0) and np.all(left > 0)):
        raise InputError(Problem("section.loss_in", str(loss_in), "must be zero or more and leave some steel.",
                                 "A rusted-through element has no strength: leave the member out."))  # fmt: skip
    return replace(section, t_elements=left)


def _set(section: Section, R: Numeric, bend: Numeric) -> Any:
    """Setback from the sharp outer corner to the end of the flat."""
    return (R + section.t) * np.tan(np.radians(bend) / 2.0)


def _flats(s: Section, R: Numeric) -> FloatArray:
    if s.kind == "hat":
        a = np.radians(s.top_bend)
        web = (s.depth - s.t - 2.0 * (R + s.t / 2.0) * (1.0 - np.cos(a))) / np.sin(a)
        top, foot = s.top - 2.0 * _set(s, R, s.top_bend), s.bottom - _set(s, R, s.top_bend)
        return np.stack([foot, web, top, web, foot], axis=-1)
    web = s.depth - _set(s, R, s.top_bend) - _set(s, R, s.bottom_bend)
    parts = []
    for width, lip, angle, bend in (
        (s.top, s.top_lip, s.top_angle, s.top_bend),
        (s.bottom, s.bottom_lip, s.bottom_angle, s.bottom_bend),
    ):
        at_lip = np.where(lip > 0, _set(s, R, angle), 0.0)
        parts.append((np.where(lip > 0, lip - at_lip, 0.0), width - _set(s, R, bend) - at_lip))
    return np.stack([parts[0][0], parts[0][1], web, parts[1][1], parts[1][0]], axis=-1)


@dataclass(frozen=True, slots=True, eq=False)
class Midline:
    """Centre line of a section as a chain of strips.

    Attributes
    ----------
    x, y : (..., n + 1) array
        Points. [in]
    length, t : (..., n) array
        True length (of the arc, in a bend) and thickness of each strip. [in]
    element : (n,) int array
        Flat element of the strip, -1 in a bend.
    """

    x: FloatArray
    y: FloatArray
    length: FloatArray
    t: FloatArray
    element: Any


def midline(
    section: Section,
    *,
    sharp: bool = False,
    strips: Sequence[int] = (1, 1, 1, 1, 1),
    corner: int = CORNER_STRIPS,
) -> Midline:
    """Centre line with true bends, or with square corners as older tables have it.

    Parameters
    ----------
    section : Section
        The section.
    sharp : bool, optional
        Square corners of the centre line instead of bends.
    strips : sequence of int, optional
        Strips in each flat element.
    corner : int, optional
        Strips in each bend.
    """
    s = section
    R = -s.t / 2.0 if sharp else s.R
    r_mid = R + s.t / 2.0
    flats = _flats(s, R)
    if s.kind == "hat":
        turns = [s.top_bend, -s.top_bend, -s.top_bend, s.top_bend]
        heading = np.zeros(s.shape)
    else:
        top_turn = np.where(s.top_lip > 0, s.top_angle, 0.0)
        bottom_turn = np.where(s.bottom_lip > 0, s.bottom_angle, 0.0)
        side = 1.0 if s.kind == "C" else -1.0
        turns = [top_turn, s.top_bend, side * s.bottom_bend, side * bottom_turn]
        heading = np.radians(270.0 - s.top_bend - top_turn)
    xs, ys = [np.zeros(s.shape)], [np.zeros(s.shape)]
    length, thick, element = [], [], []

    def go(step: Any, way: Any, true: Any, t: Any, name: int) -> None:
        xs.append(xs[-1] + step * np.cos(way))
        ys.append(ys[-1] + step * np.sin(way))
        length.append(np.broadcast_to(true, s.shape))
        thick.append(np.broadcast_to(t, s.shape))
        element.append(name)

    for k in range(5):
        for _ in range(strips[k]):
            go(flats[..., k] / strips[k], heading, flats[..., k] / strips[k], s.t_elements[..., k], k)
        if k < 4:
            part = np.radians(turns[k]) / corner
            t = np.minimum(s.t_elements[..., k], s.t_elements[..., k + 1])
            for _ in range(corner):
                go(
                    2.0 * r_mid * np.sin(np.abs(part) / 2.0),
                    heading + part / 2.0,
                    r_mid * np.abs(part),
                    t,
                    -1,
                )
                heading = heading + part
    return Midline(
        np.stack(xs, -1), np.stack(ys, -1), np.stack(length, -1), np.stack(thick, -1), np.array(element)
    )


def _checks(s: Section) -> list[tuple[str, Any, str]]:
    flats = s.flats
    numbers = [s.depth, s.top, s.bottom, s.t]
    lips = [s.top_lip, s.bottom_lip]
    finite = np.logical_and.reduce(
        [np.isfinite(a) for a in (*numbers, *lips, s.R, s.top_angle, s.bottom_angle)]
    )
    positive = (
        np.logical_and.reduce([a > 0 for a in numbers]) & (s.R >= 0) & (s.top_lip >= 0) & (s.bottom_lip >= 0)
    )
    fits = np.all(flats[..., 1:4] > 0, axis=-1)
    lip_fits = np.ones(s.shape, dtype=bool) if s.kind == "hat" else np.logical_and.reduce(
        [(lip == 0) | (flats[..., k] > 0) for lip, k in ((s.top_lip, 0), (s.bottom_lip, 4))]
    )  # fmt: skip
    foot_fits = np.all(flats[..., [0, 4]] > 0, axis=-1) if s.kind == "hat" else np.ones(s.shape, dtype=bool)
    bends = (s.top_bend >= 45) & (s.top_bend <= 135) & np.logical_and.reduce(
        [(lip == 0) | ((a >= 20) & (a <= 140)) for lip, a in ((s.top_lip, s.top_angle), (s.bottom_lip, s.bottom_angle))]
    )  # fmt: skip
    room = np.logical_and.reduce(
        [lip * np.sin(np.radians(a)) < s.depth / 2 for lip, a in
         ((s.top_lip, s.top_angle), (s.bottom_lip, s.bottom_angle))]
    )  # fmt: skip
    return [
        ("section", finite, "has a dimension that is not a number"),
        ("section", positive, "has a dimension that is zero or negative"),
        ("section", fits, "has no room for its bends: a flange or web is shorter than its bend radii"),
        ("section.lip", lip_fits & foot_fits, "has a lip or foot shorter than its bend"),
        (
            "section.lip",
            (s.top_lip <= s.top) & (s.bottom_lip <= s.bottom),
            "has a lip longer than its flange",
        ),
        ("section.lip", room, "has lips that would meet inside"),
        (
            "section.lip_angle",
            bends,
            "has a lip angle outside 20 to 140 degrees or a web bend outside 45 to 135",
        ),
    ]


def impossibilities(section: Section) -> tuple[tuple[str, BoolArray], ...]:
    """Every reason why a section cannot exist, in words after *it*, and where it holds.

    Parameters
    ----------
    section : Section
        One section or an array.
    """
    return tuple((why, ~np.asarray(ok, dtype=bool)) for _, ok, why in _checks(section))


def take(section: Section, index: Any) -> Section:
    """Sections picked from an array of them.

    Parameters
    ----------
    section : Section
        Shape (n,).
    index : int or (...) int array
        Which; the result has its shape.
    """
    at = np.asarray(index)
    named: dict[str, Any] = {
        f: np.asarray(getattr(section, f)[at]) for f in Section.__dataclass_fields__ if f != "kind"
    }
    return replace(section, **named)


def require_possible(section: Section) -> Section:
    """Give the section back, or refuse it with every reason.

    Raises
    ------
    InputError
        Where any section of the array cannot exist.
    """
    problems = [
        Problem(place, f"{int(np.sum(~np.asarray(ok)))} of {max(1, int(np.prod(section.shape)))}", f"{why}.",
                "Measure depth, flanges, lips, thickness and bend radius again.")
        for place, ok, why in _checks(section) if not np.all(ok)
    ]  # fmt: skip
    if problems:
        raise InputError(problems)
    return section
