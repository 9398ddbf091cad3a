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

from secondroof.acting.blocks import patches_outside
from secondroof.acting.combined import acts
from secondroof.acting.dead import blanket_psf, coating_psf, old_dead_psf
from secondroof.acting.dead_steel import purlin_weight_psf
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
#: A change of snow that is told. [psf]
LEAST_CHANGE_PSF = 0.05
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
    reckoned : str
        What of the old dead load in them was reckoned or left out, not weighed, in words; empty where all was weighed.
    snow_words : str
        How the recover changes the balanced snow, e.g. ``Snow goes from 50.4 to 55.4 psf since the roof gets colder
        (C_t 1 to 1.1).``; empty where it stays or is not known.
    """

    old_dead_psf: dict[str, float] | None
    live_psf: float | None
    snow_before_psf: float | None
    snow_after_psf: float | None
    purlins: tuple[ElementForce, ...] = ()
    frames: tuple[ElementForce, ...] = ()
    reckoned: str = ""
    snow_words: str = ""


@dataclass(frozen=True, slots=True)
class _Parts:
    """Dead, live and snow of the elements at both stages, in one unit; snow at the level of ASD.

    ``unsure`` is the part of today's dead load that is not surely there, given where the old dead load was reckoned.
    """

    dead: tuple[FloatArray, FloatArray]
    live: FloatArray
    snow: tuple[FloatArray, FloatArray]
    unsure: FloatArray | None = None

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
            before_least=None if self.unsure is None else float(self.whole(0)[i] - self.unsure[i]) / per,
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
    words = _snow_words(snow)
    stems = {k.key.split(".before")[0] for k in acting.cases}
    reckoned = "" if dead is not None else _reckoned(c)
    if (
        not {"dead.old", "dead.purlins"} <= stems
        or live is None
        or len(lying) < len(STAGES)
        or math.isnan(c.added_psf)
        or not c.roof.lines
    ):
        return Gravity(dead, live_psf, snow_0, snow_1, snow_words=words)
    weights = [
        [k for k in acting.cases if k.key.startswith(ROOF_DEAD) and acts(k, stage)] for stage in STAGES
    ]
    purlins = tuple(
        force for plane in c.roof.planes for force in _purlins_of(c, acting, plane, weights, lying)
    )
    frames = _frame_lines(c, weights, lying)
    return Gravity(dead, live_psf, snow_0, snow_1, purlins, frames, reckoned, words)


def _reckoned(c: Context) -> str:
    """What of the old dead load was not weighed, in words."""
    survey, said = c.survey, []
    if survey.old_panel.weight is None:
        said.append("the covering by its thickness")
    blanket, estimated = blanket_psf(survey)
    if blanket is None:
        said.append("a blanket not counted")
    elif estimated:
        said.append("the blanket by its thickness")
    if coating_psf(survey) is None:
        said.append("a coating not counted")
    if purlin_weight_psf(survey, c.roof) is None:
        said.append("purlins not counted where their thickness is not known")
    return ", ".join(said)


def _snow_words(snow: list[tuple[Case, ...] | None]) -> str:
    """How the balanced snow changes, and why where the thermal factor says it."""
    before, after = snow
    if not before or not after:
        return ""
    was, now = _most(before), _most(after)
    if abs(now - was) < LEAST_CHANGE_PSF:
        return ""
    C_0, C_1 = (next((s.result for s in k[0].steps if s.symbol == "C_t"), None) for k in (before, after))
    why = ""
    if C_0 is not None and C_1 is not None and C_0 != C_1:
        why = f" since the roof gets {'colder' if C_1 > C_0 else 'warmer'} (C_t {C_0:g} to {C_1:g})"
    return f"Snow goes from {was:.1f} to {now:.1f} psf{why}."


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
    known = old_dead_psf(c.survey, c.roof) is not None
    parts = _Parts(
        (lb(weights[0]), lb(weights[1])),
        lb(live),
        (factor * lb(snow[0]), factor * lb(snow[1])),
        None if known else lb([k for k in weights[0] if not k.sure]),
    )
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
    evenly = [patches_outside([whole_plane(roof, p, 1.0)], roof) for p in roof.planes]
    planes = [on_frames_kip(roof, [Case("live", "Lr", "both", "one psf", "", "", p)]) for p in evenly]
    area = 1000 * sum(planes, np.zeros(len(roof.frames_ft)))
    L_0 = float(c.survey.ground_rules.roof_live or 0.0)
    known = old_dead_psf(c.survey, roof) is not None
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
        None if known else on_frames_kip(roof, [k for k in weights[0] if not k.sure]),
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
