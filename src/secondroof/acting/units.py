"""Units, curbs and vents that stand on the roof: their weight on the purlins under them."""

from __future__ import annotations

from collections import Counter
from typing import TYPE_CHECKING

from secondroof.acting.model import Along, Case, Part
from secondroof.acting.where import in_words, lines_under, weight_step
from secondroof.checks.model import Need, Source
from secondroof.errors import InputError
from secondroof.loads.live import bundle_on_purlins

if TYPE_CHECKING:
    from secondroof.roof.model import Roof, RoofPlane
    from secondroof.survey.models import RoofItem, Survey

#: Kinds that weigh enough to be asked for where no weight was read; common practice, no source.
HEAVY = ("unit", "curb", "smoke vent")
_DECIDES = "gravity on the purlins under it; not counted until then"


def units_part(survey: Survey, roof: Roof) -> Part:
    """Case ``dead.units``: every weighed item with a place on the lines under it; a need for every other heavy one."""
    if survey.roof_items is None:
        return Part((), (Need("units, curbs and vents on the roof: weight and place", "walk the roof with a tape",
                              "gravity on the purlins under them; none is counted until then"),))  # fmt: skip
    along: list[Along] = []
    needs: list[Need] = []
    said: list[str] = []
    assumed: list[str] = []
    for item in survey.roof_items:
        if item.weight is None:
            if item.kind in HEAVY:
                needs.append(
                    Need(f"{item.what}: weight", "name plate, maker's sheet, or lift and weigh", _DECIDES)
                )
            continue
        plane = _plane(item, roof)
        if plane is None or item.along is None or item.up_slope is None:
            what = "place: slope, distance from frame 1, distance up the slope"
            needs.append(Need(f"{item.what} of {item.weight:g} lb: {what}", "tape on the roof", _DECIDES))
            continue
        placed = on_lines(item, plane, roof)
        if not placed:
            what = "its place or size: it stands beyond the first or last line"
            needs.append(Need(f"{item.what} of {item.weight:g} lb: {what}", "tape on the roof", _DECIDES))
            continue
        along += placed
        lines = sorted({a.line for a in placed})
        said.append(f"{item.what} {item.weight:g} lb on {plane.name} lines {in_words(lines)}")
        if item.width is None or item.length is None:
            assumed.append(f"{item.what} as one point, since its size is not written down")
        if item.support:
            assumed.append(
                f"{item.what} stands on the purlins; its own support below ({item.support}) is not counted"
            )
        if item.count > 1:
            needs.append(Need(f"{item.what}: place of the other {item.count - 1} of {item.count}", "tape on the roof",
                              _DECIDES))  # fmt: skip
    if not along:
        return Part((), tuple(needs))
    case = Case(
        "dead.units",
        "D",
        "both",
        "units on the roof",
        f"{'; '.join(_counted(said))}: shared by the lines under them by the lever rule. Not counted against uplift.",
        "dead load, units by name",
        along=tuple(along),
        checked="definition: equilibrium",
        steps=weight_step(roof, "Units on the lines under them", _weights(along), (), along),
        sources={a.what: Source("weight from the survey") for a in along}
        | {"P": Source("weights from the survey"), "x": Source("places from the survey")},
        assumed="; ".join(assumed),
    )
    return Part((case,), tuple(needs))


def _weights(along: list[Along]) -> dict[str, object]:
    found: dict[str, float] = {}
    for a in along:
        found[a.what] = found.get(a.what, 0.0) + (a.w0 if a.is_point else a.w0 * (a.x1_ft - a.x0_ft))
    return {what: (lb, "lb") for what, lb in found.items()}


def _counted(said: list[str]) -> list[str]:
    return [words if n == 1 else f"{words}, {n} such" for words, n in Counter(said).items()]


def _plane(item: RoofItem, roof: Roof) -> RoofPlane | None:
    if item.plane is None:
        return roof.planes[0] if len(roof.planes) == 1 else None
    return next((p for p in roof.planes if p.name == item.plane), None)


def on_lines(item: RoofItem, plane: RoofPlane, roof: Roof) -> tuple[Along, ...]:
    """One item on the lines under it: even over its size where that is known, else one point; empty off the lines."""
    assert item.weight is not None
    assert item.along is not None
    assert item.up_slope is not None
    weight, x, s = float(item.weight), float(item.along), float(item.up_slope)
    if item.width is None or item.length is None:
        return tuple(Along(plane.name, i, x, x, weight * share, weight * share, item.what)
                     for i, share in lines_under(plane, s))  # fmt: skip
    x0, x1 = max(x - item.width / 2, 0.0), min(x + item.width / 2, roof.frames_ft[-1])
    if x1 <= x0:
        return ()
    try:
        which, w = bundle_on_purlins(weight, x1 - x0, float(item.length), [n.s_ft for n in plane.lines], s)
    except InputError:
        return ()
    return tuple(
        Along(plane.name, plane.lines[i].index, x0, x1, float(q), float(q), item.what)
        for i, q in zip(which, w, strict=True)
    )
