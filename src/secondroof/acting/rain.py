"""Rain with the drains blocked: water that stands at an eave which holds it, level, until the slope rises out of it."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING, Any

from secondroof.acting.model import Case, Part, Patch
from secondroof.acting.where import in_words, least_slope_in12
from secondroof.checks.model import Need, Source
from secondroof.formula import formula, recording
from secondroof.loads import live as numbers

if TYPE_CHECKING:
    from collections.abc import Mapping

    from secondroof.roof.model import Roof, RoofPlane
    from secondroof.survey.models import Survey
    from secondroof.survey.proposals import Recover

Numeric = Any

_DECIDES = "rain on the purlins at the eave with the drains blocked"
_HEADS = (
    ("static_head", "static head: water depth at the eave up to the overflow, with the drains blocked",
     "level or tape from the pan at the eave to the lip of the overflow, edges.static_head", "surveyor"),
    ("hydraulic_head", "hydraulic head: further depth while the overflow runs full",
     "the drain maker's table or a hydraulic table at the design rain, edges.hydraulic_head", "engineer"),
)  # fmt: skip


@formula("x_0", unit="ft", clause="level water on a sloped roof", checked="definition: level surface")
def wet_reach(d: Numeric, F: Numeric) -> Numeric:
    """Plan distance from the eave to where the roof rises out of the water. [ft]

    Parameters
    ----------
    d : numeric
        Depth of water at the eave. [in]
    F : numeric
        Slope, rise in a foot. [in/ft]
    """
    return d / F


def holds_water(survey: Survey) -> tuple[str, ...]:
    """Names of the eave sides where something holds water: all where the drains lie inside.

    Returns
    -------
    tuple of str
        ``("all",)`` for inside gutters or drains behind parapets; else the walls of measured parapets and, where one
        runs all round, ``("all",)``; empty where water runs over the eaves freely.
    """
    edges = survey.edges
    if edges.drainage == "inside gutters or behind parapets" or (edges.parapet_all_round or 0.0) > 0:
        return ("all",)
    return tuple(dict.fromkeys(p.side for p in edges.parapet_walls or ()))


def held_planes(survey: Survey, roof: Roof) -> tuple[RoofPlane, ...]:
    """Planes whose eave holds water when the drains are blocked."""
    sides = holds_water(survey)
    return tuple(p for p in roof.planes if "all" in sides or p.faces in sides)


def rain(
    survey: Survey,
    recover: Recover,
    roof: Roof,
    edition: str | None,
    ponding_head_in: Mapping[str, float] | None = None,
) -> Part:
    """Rain with the drains blocked (``rain.blocked``).

    Parameters
    ----------
    survey, recover, roof : Survey, Recover, Roof
        What was found, what is proposed, and its geometry.
    edition : str or None
        Edition of ASCE 7; the rain load of 7-22 holds the ponding head.
    ponding_head_in : mapping of plane to float, optional
        Ponding head at the eave, from the deflected roof; 7-22 only. [in]

    Returns
    -------
    Part
        No case, and a note that says why, where water runs freely over the eaves.
    """
    edges = survey.edges
    if edges.drainage is None:
        need = Need("where water leaves the roof: over the eaves, or inside gutters or behind parapets",
                    "walk the edge",
                    "whether rain can stand on the roof when the drains are blocked")  # fmt: skip
        return Part((), (need,))
    planes = held_planes(survey, roof)
    if not planes:
        needs: tuple[Need, ...] = ()
        note = "Water runs over the eaves and nothing there holds it, so blocked drains put no rain load on the roof."
        if edges.water_stands:
            note += " Water was seen standing 48 hours after rain: see ponding."
        if edges.parapet_walls is None and edges.parapets is None:
            needs = (Need("parapets: height and place, or none", "walk the edge", _DECIDES),)
        return Part((), needs, (note,))
    lacking = [
        Need(what, where, _DECIDES, who) for name, what, where, who in _HEADS if getattr(edges, name) is None
    ]
    if edition is None:
        lacking.append(Need("edition of ASCE 7 in force", "the building official", _DECIDES, "estimator"))
    if lacking or edition is None:
        return Part((), tuple(lacking))
    assert edges.static_head is not None
    assert edges.hydraulic_head is not None
    static, hydraulic = float(edges.static_head), float(edges.hydraulic_head)
    if static + hydraulic <= 0:
        return Part((), (), ("Both heads are 0: with the drains blocked no water stands on the roof.",))
    if edition == "7-22" and any(not math.isfinite(v) for v in (ponding_head_in or {}).values()):
        what = "stiffer purlins, or drains that cannot block: the water runs away, so no rain load settles"
        return Part((), (Need(what, "the ponding check of this roof", _DECIDES, "engineer"),))
    heads = {p.name: 0.0 if ponding_head_in is None else ponding_head_in.get(p.name, 0.0) for p in planes}
    lacks_head = edition == "7-22" and any(
        ponding_head_in is None or p.name not in ponding_head_in for p in planes
    )
    patches: list[Patch] = []
    said: list[str] = []
    flat: list[Need] = []
    with recording() as r:
        for plane in planes:
            d_p = heads[plane.name] if edition == "7-22" else 0.0
            eave = float(numbers.rain(edition, static, hydraulic, d_p if edition == "7-22" else None))
            slope, _ = least_slope_in12(survey, plane)
            if slope <= 0:
                what = f"slope of the {plane.name} plane read again: it falls away from the eave"
                flat.append(Need(what, "digital level", _DECIDES))
                continue
            reach = float(wet_reach(static + hydraulic + d_p, slope))
            patches.append(_wedge(roof, plane, eave, reach))
            until = f"nothing from {reach:.1f} ft on" if reach < plane.run_ft else "some up to the ridge"
            said.append(f"{plane.name}: {eave:.1f} psf at the eave, {until}")
    if not patches:
        return Part((), tuple(flat))
    assumed = "ponding head of 7-22 taken as 0 until the deflected roof is worked out" if lacks_head else ""
    if edges.secondary_drains == "none":
        words = " No overflow was found: the water rises until it runs over the edge; read the heads there."
    else:
        words = ""
    tail = f" Taken: {assumed}." if assumed else ""
    need_head = Need("ponding head: depth of water in the deflected roof",
                     "the ponding check of this roof, or an engineer", f"{_DECIDES}: it adds to the load",
                     "engineer")  # fmt: skip
    clause, checked = r.steps[0].clause, r.steps[0].checked
    where = in_words([p.name for p in planes])
    case = Case(
        "rain.blocked",
        "R",
        "both",
        "rain, drains blocked",
        f"With the drains blocked {static + hydraulic:g} in of water stands at the {where} eave "
        f"({static:g} static and {hydraulic:g} hydraulic). {'; '.join(said)}.{words}{tail}",
        clause,
        tuple(patches),
        checked=checked,
        steps=tuple(r.steps),
        sources={"d_s": Source("measured, edges.static_head"), "d_h": Source("edges.hydraulic_head"),
                 "d": Source("heads at the eave added up"),
                 "d_p": Source("not worked out" if lacks_head else "from the deflected roof", lacks_head),
                 "F": Source("least slope read, sag counted, else slope of the plane")},
        assumed=assumed,
    )  # fmt: skip
    return Part((case,), (*flat, *((need_head,) if lacks_head else ())))


def _wedge(roof: Roof, plane: RoofPlane, eave_psf: float, reach_ft: float) -> Patch:
    """Water from the eave to where it ends, or to the top of the plane where it covers it all."""
    end = min(reach_ft, plane.run_ft)
    top = eave_psf * max(1.0 - end / reach_ft, 0.0)
    if plane.y_top_ft > plane.y_eave_ft:
        y0, y1, psf = plane.y_eave_ft, plane.y_eave_ft + end, (eave_psf, eave_psf, top, top)
    else:
        y0, y1, psf = plane.y_eave_ft - end, plane.y_eave_ft, (top, top, eave_psf, eave_psf)
    return Patch(plane.name, 0.0, roof.length_ft, y0, y1, psf)
