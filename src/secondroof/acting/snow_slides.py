"""Snow that slides: from a higher roof onto this one, and from this roof onto a lower one.

What lies on a lower roof is not on our purlins. It is told in a case without patches, with its numbers, because the
recover may change it and somebody else's steel carries it.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from typing import TYPE_CHECKING

from secondroof.acting.model import Case, Part, Patch
from secondroof.acting.snow_drifts import APART_FT, as_edition, cannot, drift_clause, join, no_wall
from secondroof.acting.snow_faces import Face, laid_over, lying, room, wall_face
from secondroof.acting.snow_roof import Names, SnowRoof, feet, psf
from secondroof.checks.model import Need, Source
from secondroof.checks.numbers import show
from secondroof.errors import InputError, MissingError
from secondroof.formula import recording
from secondroof.loads import snow_drift
from secondroof.loads import snow_formulas as f
from secondroof.loads.snow import importance_factor, thermal_factor
from secondroof.survey.proposals import BracketLine

if TYPE_CHECKING:
    from secondroof.roof.model import RoofPlane
    from secondroof.survey.around import RoofNear
    from secondroof.survey.proposals import Recover

SLIDE_CLAUSE = "ASCE 7-10 and later 7.9"
NOT_OURS = "That roof is not ours: its steel is for an engineer to look at, and its owner is to be told."


def slides(state: SnowRoof) -> Part:
    """Sliding snow, and this roof's drift on lower roofs, in one state."""
    names = Names()
    out = Part()
    for i, other in enumerate(state.site.survey.building.roofs_near or ()):
        name = names.of(other.what)
        face = wall_face(state.site.survey, state.site.roof, other.side, other.first, other.last)
        if other.stands == "higher":
            if face is not None:
                out = join(out, _tried(_onto_this, state, name, other, face))
        elif face is None:
            out = join(out, Part(needs=(no_wall(state, f"building.roofs_near[{i + 1}]", other.side),)))
        else:
            for make in (_slide_down, _drift_down):
                out = join(out, _tried(make, state, name, other, face))
    return out


def _tried(
    make: Callable[[SnowRoof, str, RoofNear, Face], Part],
    state: SnowRoof,
    name: str,
    other: RoofNear,
    face: Face,
) -> Part:
    try:
        return make(state, name, other, face)
    except (MissingError, InputError) as error:
        return Part(needs=(cannot(error, f"snow at {other.what}"),))


def _eave_plane(state: SnowRoof, face: Face) -> RoofPlane | None:
    """Plane that falls toward a wall: its eave is there; None at a gable end or a high wall."""
    if not face.along_ridge:
        return None
    return next((p for p in state.site.roof.planes if abs(p.y_eave_ft - face.at_ft) < 1e-6), None)


def _slide_down(state: SnowRoof, name: str, other: RoofNear, face: Face) -> Part:
    """Snow sliding off this roof onto a lower one."""
    plane = _eave_plane(state, face)
    if plane is None:
        return Part()
    if other.gap >= snow_drift.SLIDE_WIDTH_FT:
        return Part(
            notes=(f"Snow sliding onto {other.what}: {feet(other.gap)} off, not reached within 15 ft.",)
        )
    site = state.site
    lower = max(other.depth, 1e-6)
    with recording() as recorder:
        s = snow_drift.sliding_snow(
            site.edition, state.p_f(plane.name), plane.run_ft, plane.slope_deg, True, lower
        )
    if not bool(s.applies):
        return Part(
            notes=(f"Snow sliding onto {other.what}: none asked, the roof is not steeper than 1/4 in 12.",)
        )
    total, p = float(s.total_lb_per_ft), float(s.p_psf)
    guards = (
        " Snow guards are planned; no relief is counted for them, an engineer may."
        if state.when == "after" and site.recover.snow_guards
        else ""
    )
    sheet = "the new metal roof" if state.when == "after" else "the old metal panel"
    assumed = f"{sheet[0].upper()}{sheet[1:]} is taken as slippery."
    if other.gap > 0:
        assumed += " The gap is not counted; the standard may allow less over a gap."
    case = state.case(
        f"sliding.{name}",
        f"Snow sliding off this roof onto {other.what}",
        f"Snow sliding off the {plane.name} plane onto {other.what} {state.words}: {show(total, 'lb/ft')} lb for each "
        f"foot of eave, {psf(p)} over {feet(float(s.width_ft))} on top of its balanced snow.{guards} {NOT_OURS}",
        SLIDE_CLAUSE,
        steps=tuple(recorder.steps),
        sources={"W": Source(f"eave to ridge of the {plane.name} plane, survey")},
        assumed=assumed,
    )
    return Part((case,))


def _rise_ft(recover: Recover) -> float:
    """How much the recover lifts the roof's edge: new lines and clips, the new panel's rib not counted. [ft]"""
    framing = recover.framing
    tall = framing.height + recover.clip.height
    if isinstance(framing, BracketLine):
        tall += framing.bracket_height
    return float(tall / 12)


def _drift_down(state: SnowRoof, name: str, other: RoofNear, face: Face) -> Part:
    """Drift in the lee of this roof on a lower one."""
    site = state.site
    if other.gap >= APART_FT:
        return Part(notes=(f"Drift on {other.what}: {feet(other.gap)} off, no drift from 20 ft on.",))
    length = room(site.roof, face)
    step = other.step + (_rise_ft(site.recover) if state.when == "after" else 0.0)
    p_s = max(state.p_f(p.name) for p in site.roof.planes)
    with recording() as recorder:
        if other.gap > 0:
            d = snow_drift.drift_from_neighbour(
                site.edition, site.p_g_psf, p_s, step, other.gap, length, site.risk, W_2=site.W_2
            )
            found: tuple[snow_drift.Drift, ...] = (d,)
        else:
            lee, wind = snow_drift.drift_at_step(
                site.edition, site.p_g_psf, p_s, step, length, other.depth, site.risk, W_2=site.W_2
            )
            found = as_edition(site.edition, lee, wind)
    told = [
        f"{d.kind} drift {psf(float(d.p_d_psf))} at the wall on top of its balanced snow, down to nothing in "
        f"{feet(float(d.width_ft))}"
        + (f", cut at its {feet(other.depth)}" if float(d.width_ft) > other.depth else "")
        for d in found
        if bool(d.required) and float(d.p_d_psf) > 0
    ]
    if not told:
        return Part(notes=(f"Drift on {other.what}: none asked; the step is too low, or the gap too wide.",))
    case = state.case(
        f"drift.onto-{name}",
        f"Drift in the lee of this roof on {other.what}",
        f"Drift on {other.what} {state.words}: {'; '.join(told)}. {NOT_OURS}",
        drift_clause(other.gap),
        steps=tuple(recorder.steps),
        sources={
            "l_u": Source(f"this roof {feet(length)} square to it, that roof {feet(other.depth)}"),
            "h": Source(
                f"step to {other.what}, survey" + (", raised by the recover" if state.when == "after" else "")
            ),
            "s": Source("gap, survey"),
            "L": Source(f"{other.what}, {feet(other.depth)} square to this roof"),
            "p_s": Source("balanced snow of this roof taken for the lower one too", assumed=True),
        },
        assumed=f"{other.what}: its own balanced snow is not known; {psf(p_s)} as on this roof is taken.",
    )
    return Part((case,))


def _onto_this(state: SnowRoof, name: str, other: RoofNear, face: Face) -> Part:
    """Snow sliding off a higher roof onto this one."""
    if other.slope is None:
        return Part(
            notes=(
                f"{other.what}: no slope toward this roof stated, so no snow slides from it onto this one.",
            )
        )
    if other.slope <= 0 or other.gap >= snow_drift.SLIDE_WIDTH_FT:
        return Part()
    if other.run is None:
        text = f"eave to ridge of {other.what}, which falls toward this roof (building.roofs_near.run)"
        return Part(
            needs=(Need(text, "that roof, or its drawings", "snow sliding onto this roof", "surveyor"),)
        )
    site = state.site
    C_t = thermal_factor(site.edition, "unheated")
    slope_deg = math.degrees(math.atan(other.slope / 12))
    with recording() as recorder:
        if site.edition == "7-22":
            p_f = float(f.flat_roof_snow_22(site.C_e, C_t, site.p_g_psf))
        else:
            p_f = float(f.flat_roof_snow(site.C_e, C_t, importance_factor(site.risk), site.p_g_psf))
        wide = room(site.roof, face)
        s = snow_drift.sliding_snow(site.edition, p_f, other.run, slope_deg, True, wide)
    if not bool(s.applies):
        return Part(notes=(f"Snow sliding from {other.what}: none asked, it is not steeper than 1/4 in 12.",))
    p, width = float(s.p_psf), float(s.width_ft)
    patches: tuple[Patch, ...] = lying(site.roof, face, p, p, width)
    gap = " The gap is not counted; the standard may allow less over a gap." if other.gap > 0 else ""
    case: Case = state.case(
        f"sliding.{name}",
        f"Snow sliding off {other.what} onto this roof",
        f"Snow sliding off {other.what} {state.words}: {show(float(s.total_lb_per_ft), 'lb/ft')} lb for each "
        f"foot of its eave, {psf(p)} over {feet(width)} on top of the balanced snow.",
        SLIDE_CLAUSE,
        patches=laid_over(state.base, patches),
        steps=tuple(recorder.steps),
        sources={"W": Source(f"eave to ridge of {other.what}, survey")},
        assumed=f"{other.what}: its heat and its covering are not known; taken unheated (thermal factor {C_t:g}) and "
        f"slippery, exposed as this roof is.{gap}",
    )
    return Part((case,))
