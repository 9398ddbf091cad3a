"""Gravity on the old steel before and after the recover, element by element: what the 5 percent rule is asked about.

Loads are those of ``acting``; here they are only gathered. Hung loads, units, water in the blanket and the frames' own
weight are left out on both sides, and live load is taken as far reduced as the code allows: a smaller base makes the
share of what is added larger. Snow is the balanced one; drifts would make that share smaller.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

from secondroof.acting.combined import acts
from secondroof.acting.dead import old_dead_psf
from secondroof.acting.frames import on_frames_kip
from secondroof.acting.lineloads import line_loads
from secondroof.acting.live import line_live_psf
from secondroof.acting.model import Case
from secondroof.acting.where import in_words, plan_width_ft, whole_plane
from secondroof.loads.combinations import combinations
from secondroof.rules.facts import ElementForce
from secondroof.rules.gravity import governing_gravity

if TYPE_CHECKING:
    from secondroof.acting.combined import Stage
    from secondroof.acting.gathered import Acting
    from secondroof.findings.context import Context
    from secondroof.roof.model import RoofPlane

FloatArray = NDArray[np.float64]
STAGES: tuple[Stage, Stage] = ("before", "after")
#: Dead load of the roof itself, by the stems of its cases.
ROOF_DEAD = ("dead.old", "dead.unsure", "dead.purlins", "dead.new")


@dataclass(frozen=True, slots=True)
class Gravity:
    """Loads before and after; None where something they need is missing.

    Attributes
    ----------
    old_dead_psf : mapping of plane to float, or None
        Old covering, coating, dry blanket and purlins. [psf of roof surface]
    live_psf : float or None
        Roof live load before reduction. [psf of plan]
    snow_before_psf, snow_after_psf : float or None
        Balanced snow with its minimum, of the plane that carries most. [psf of plan]
    purlins, frames : tuple of ElementForce
        Old purlins of each plane [psf of plan], of the line whose load rises by the largest share; frame lines [kip],
        those of one rise together, by the one that carries most. Empty where something is missing.
    """

    old_dead_psf: dict[str, float] | None
    live_psf: float | None
    snow_before_psf: float | None
    snow_after_psf: float | None
    purlins: tuple[ElementForce, ...] = ()
    frames: tuple[ElementForce, ...] = ()


@dataclass(frozen=True, slots=True)
class _Parts:
    """Dead, live and snow of the elements at both stages, in one unit; snow at the level of ASD."""

    dead: tuple[FloatArray, FloatArray]
    live: FloatArray
    snow: tuple[FloatArray, FloatArray]

    def whole(self, k: int) -> FloatArray:
        """Dead with the larger of live and snow."""
        return np.asarray(governing_gravity(self.dead[k], self.live, self.snow[k]))

    def force(self, i: int, name: str, unit: str, per: float = 1.0) -> ElementForce:
        """Element ``i``, its loads divided by ``per``."""
        return ElementForce(
            name,
            before=float(self.whole(0)[i]) / per,
            after=float(self.whole(1)[i]) / per,
            dead_before=float(self.dead[0][i]) / per,
            dead_after=float(self.dead[1][i]) / per,
            snow_before=float(self.snow[0][i]) / per,
            snow_after=float(self.snow[1][i]) / per,
            unit=unit,
        )


def gravity(c: Context, acting: Acting) -> Gravity:
    """Loads before and after, from what acts.

    Parameters
    ----------
    c : Context
        What the checks are written from.
    acting : Acting
        Every load case of the roof.
    """
    dead, live = old_dead_psf(c.survey, c.roof), c.survey.ground_rules.roof_live
    live_psf = None if live is None else float(live)
    snow = [_snow(c, acting, stage) for stage in STAGES]
    snow_0, snow_1 = (None if s is None else _most(s) for s in snow)
    lying = [s for s in snow if s is not None]
    if (
        dead is None
        or live is None
        or len(lying) < len(STAGES)
        or math.isnan(c.added_psf)
        or not c.roof.lines
    ):
        return Gravity(dead, live_psf, snow_0, snow_1)
    weights = [
        [k for k in acting.cases if k.key.startswith(ROOF_DEAD) and acts(k, stage)] for stage in STAGES
    ]
    purlins = tuple(
        force for plane in c.roof.planes for force in _purlins_of(c, acting, plane, weights, lying)
    )
    return Gravity(dead, live_psf, snow_0, snow_1, purlins, _frame_lines(c, weights, lying))


def _snow(c: Context, acting: Acting, stage: Stage) -> tuple[Case, ...] | None:
    """Balanced snow of a stage; nothing where there is no snow, None where it is not known."""
    if c.survey.ground_rules.ground_snow == 0:
        return ()
    return tuple(k for k in acting.cases if k.key == f"snow.balanced.{stage}") or None


def _most(cases: tuple[Case, ...]) -> float:
    return max((k.headline_psf or 0.0 for k in cases), default=0.0)


def _snow_factor(c: Context) -> float:
    """Factor of the edition that brings its snow to the level of ASD; 1 where there is no snow."""
    if c.edition is None:
        return 1.0
    return max(dict(row.factors).get("S", 0.0) for row in combinations(c.edition, "ASD"))


def _purlins_of(
    c: Context, acting: Acting, plane: RoofPlane, weights: list[list[Case]], snow: list[tuple[Case, ...]]
) -> tuple[ElementForce, ...]:
    """The line of a plane whose gravity load rises by the largest share, per square foot of plan."""

    def lb(cases: list[Case] | tuple[Case, ...]) -> FloatArray:
        return (
            line_loads(c.roof, plane, cases).totals_lb().sum(axis=0) if cases else np.zeros(len(plane.lines))
        )

    factor = _snow_factor(c)
    live = [k for k in acting.cases if k.kind == "Lr"]
    parts = _Parts((lb(weights[0]), lb(weights[1])), lb(live), (factor * lb(snow[0]), factor * lb(snow[1])))
    area = np.array([plan_width_ft(line, plane) for line in plane.lines]) * c.roof.length_ft
    before = parts.whole(0)
    held = (area > 0) & (before > 0)
    if not held.any():
        return ()
    rise = np.where(held, parts.whole(1) / np.where(held, before, 1.0), -np.inf)
    i = int(np.argmax(rise))
    name = f"purlins, {plane.name} slope (line {plane.lines[i].name} gains most)"
    return (parts.force(i, name, "psf", float(area[i])),)


def _frame_lines(
    c: Context, weights: list[list[Case]], snow: list[tuple[Case, ...]]
) -> tuple[ElementForce, ...]:
    """Frame lines by tributary load, each bay a simple span; those that rise by the same share are one element."""
    roof, factor = c.roof, _snow_factor(c)
    planes = [
        on_frames_kip(roof, [Case("live", "Lr", "both", "one psf", "", "", (whole_plane(roof, p, 1.0),))])
        for p in roof.planes
    ]
    area = 1000 * sum(planes, np.zeros(len(roof.frames_ft)))
    L_0 = float(c.survey.ground_rules.roof_live or 0.0)
    live = sum(
        (
            kip * line_live_psf(L_0, area, np.asarray(p.slope_in12))
            for kip, p in zip(planes, roof.planes, strict=True)
        ),
        np.zeros(area.size),
    )
    parts = _Parts(
        (on_frames_kip(roof, weights[0]), on_frames_kip(roof, weights[1])),
        live,
        (factor * on_frames_kip(roof, snow[0]), factor * on_frames_kip(roof, snow[1])),
    )
    before, after = parts.whole(0), parts.whole(1)
    alike: dict[float, list[int]] = {}
    for i in np.flatnonzero(before > 0).tolist():
        alike.setdefault(round(100 * float(after[i] / before[i] - 1), 1), []).append(i)
    out = []
    for group in alike.values():
        most = max(group, key=lambda i: float(before[i]))
        which = in_words([i + 1 for i in group])
        name = f"frames {which} (frame {most + 1} carries most)" if len(group) > 1 else f"frame {which}"
        out.append(parts.force(most, f"{name}, own weight not counted", "kip"))
    return tuple(out)
