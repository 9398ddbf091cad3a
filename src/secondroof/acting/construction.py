"""Bundles of new panels set down on the roof while building."""

from __future__ import annotations

from typing import TYPE_CHECKING

from secondroof.acting.model import Along, Case, Part
from secondroof.acting.where import bay_count, bay_ends, in_words, longest_bay
from secondroof.checks.model import Need, Source
from secondroof.formula import note_step, recording
from secondroof.loads.live import bundle_on_purlins

if TYPE_CHECKING:
    from secondroof.roof.model import Roof, RoofPlane
    from secondroof.survey.models import Survey
    from secondroof.survey.proposals import Recover

#: A bundle within this of a frame goes down mostly as shear [ft]; common practice, no source.
NEAR_FRAME_FT = 2.0
#: Purlins a bundle should stand on; common practice, no source.
FEWEST_PURLINS = 3
#: Share of a bundle that may hang over the first or last line [-]; common practice, no source.
MOST_OVER = 0.25
_CHECKED = "common practice, no source: each purlin takes its part by the lever rule"


def construction(survey: Survey, recover: Recover, roof: Roof, edition: str | None) -> Part:
    """One bundle of panels on each plane, where the recover sets it down (``bundle.after``).

    Parameters
    ----------
    survey, recover, roof : Survey, Recover, Roof
        What was found, what is proposed, and its geometry.
    edition : str or None
        Not used: no edition holds this load.
    """
    bundle = recover.bundle
    decides = "where bundles may be set down, and how heavy each may be"
    if bundle is None:
        what = "bundles of new panels: weight, size and where each is set down"
        return Part((), (Need(what, "the erector's lifting plan", decides, "erector"),))
    assumed, needs, bay = [], [], longest_bay(roof)
    x = bundle.middle_along
    if x is None:
        x = sum(bay_ends(roof, bay)) / 2
        assumed.append(f"at the middle of bay {bay}, the longest, which bends the purlins most")
    x0, x1 = float(x) - bundle.along / 2, float(x) + bundle.along / 2
    if x0 < -1e-9 or x1 > roof.frames_ft[-1] + 1e-9:
        where = f"the bundle would reach from {x0:.1f} to {x1:.1f} ft of {roof.frames_ft[-1]:.1f}"
        what = f"a place along the roof where the bundle stands whole: {where}"
        return Part((), (Need(what, "recover.bundle.middle_along", decides, "erector"),))
    along: list[Along] = []
    said = []
    fewest = 10**6
    with recording() as r:
        for plane in roof.planes:
            s = plane.slope_length_ft / 2 if bundle.middle_up_slope is None else float(bundle.middle_up_slope)
            found = shares(float(bundle.weight), float(bundle.along), float(bundle.up_slope), plane, s)
            if found is None:
                low, high = s - bundle.up_slope / 2, s + bundle.up_slope / 2
                reach = f"it would reach from {low:.1f} to {high:.1f} ft up the slope"
                what = f"a place on the {plane.name} slope where the bundle stands on purlins: {reach}"
                needs.append(Need(what, "recover.bundle.middle_up_slope", decides, "erector"))
                continue
            which, w = found
            numbers = [plane.lines[i].index for i in which]
            along += [Along(plane.name, n, x0, x1, float(q), float(q), "bundle of panels")
                      for n, q in zip(numbers, w, strict=True)]  # fmt: skip
            fewest = min(fewest, len(numbers))
            said.append(f"{plane.name} lines {in_words(numbers)}, {max(map(float, w)):.0f} lb/ft at most")
            note_step(
                f"Bundle on the purlins of the {plane.name} slope",
                symbol="w",
                unit="lb/ft",
                clause="equilibrium",
                inputs={
                    "weight": (bundle.weight, "lb"),
                    "along": (bundle.along, "ft"),
                    "up_slope": (bundle.up_slope, "ft"),
                    "middle": (s, "ft"),
                },
                result=[float(q) for q in w],
                method="each strip of the bundle goes to the two purlins beside it by the lever rule",
                checked=_CHECKED,
                self_check=f"shares sum to {sum(map(float, w)) * bundle.along:,.0f} lb of {bundle.weight:,.0f} lb",
            )
    if not along:
        return Part((), tuple(needs))
    if bundle.middle_up_slope is None:
        assumed.append("at mid-slope")
    near = min(abs(float(x) - f) for f in roof.frames_ft) <= NEAR_FRAME_FT
    advice = "" if near else " Set within 2 ft of a frame it bends the purlins far less."
    if fewest < FEWEST_PURLINS:
        advice += f" It stands on {fewest} purlins only; three or more is common practice."
    spread = f"{bundle.along:g} ft along and {bundle.up_slope:g} ft up the slope"
    told = f" Taken: {'; '.join(assumed)}." if assumed else ""
    beside = " Only one bundle on a slope is looked at." if bay_count(roof) > 1 else ""
    case = Case(
        "bundle.after",
        "C",
        "after",
        "bundle of panels",
        f"One bundle of {bundle.weight:,.0f} lb, {spread}, at {float(x):.1f} ft from frame 1: {'; '.join(said)}.{told}"
        f"{advice}{beside}",
        "equilibrium; no edition holds this load",
        along=tuple(along),
        checked=_CHECKED,
        steps=tuple(r.steps),
        sources={
            "weight": Source("stated for the recover"),
            "along": Source("stated for the recover"),
            "up_slope": Source("stated for the recover"),
            "middle": Source("stated for the recover", bool(assumed)),
        },
        assumed="; ".join(assumed),
    )
    return Part((case,), tuple(needs))


def shares(
    weight_lb: float, along_ft: float, up_slope_ft: float, plane: RoofPlane, middle_ft: float
) -> tuple[tuple[int, ...], tuple[float, ...]] | None:
    """Lines a bundle stands on, by their place in the plane, and the load on each; None where it hangs too far over.

    What reaches past the first or last line, not over a quarter of its length and not past the roof, bears on that
    line. [lb/ft]
    """
    at = [line.s_ft for line in plane.lines]
    low, high = middle_ft - up_slope_ft / 2, middle_ft + up_slope_ft / 2
    if len(at) < 2 or low < -1e-9 or high > plane.slope_length_ft + 1e-9:
        return None
    inside_low, inside_high = max(low, at[0]), min(high, at[-1])
    inside = inside_high - inside_low
    if inside < (1.0 - MOST_OVER) * up_slope_ft:
        return None
    share = inside / up_slope_ft
    which, w = bundle_on_purlins(weight_lb * share, along_ft, inside, at, (inside_low + inside_high) / 2)
    load = {int(i): float(q) for i, q in zip(which, w, strict=True)}
    for end, over in ((0, inside_low - low), (len(at) - 1, high - inside_high)):
        if over > 1e-9:
            load[end] = load.get(end, 0.0) + weight_lb * over / up_slope_ft / along_ft
    return tuple(sorted(load)), tuple(load[i] for i in sorted(load))
