"""What a survey places beside, on or under a roof where that roof is not: each is a slip to mend.

Roofs near, blocks, parapets, hung loads, bundles and entered wind zones against the outline and each other.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from itertools import accumulate, combinations

from secondroof.survey.contradiction import LENGTH_PLAY_FT, Contradiction
from secondroof.survey.document import Path
from secondroof.survey.models import Building, HungLoad, Survey

_COMPASS = ("N", "NE", "E", "SE", "S", "SW", "W", "NW")
#: Entered wind zones cover the roof once to this share of its plan.
ZONE_SHARE = 1e-3


def off_plan(survey: Survey) -> Iterator[Contradiction]:
    """Everything placed where this roof is not."""
    for check in (_roofs_near, _roofs_agree, _blocks, _parapets, _hung, _bundles, _entered, _laps):
        yield from check(survey)


def wall_lengths(building: Building) -> dict[str, float]:
    """Length of each wall by the way it faces: the two eave (or high) walls, then the end walls. [ft]"""
    k = _COMPASS.index(building.first_plane_faces)
    along, across = building.length, building.width
    return {
        _COMPASS[(k + turn) % 8]: size for turn, size in ((0, along), (4, along), (2, across), (6, across))
    }


def frame_lines(building: Building) -> tuple[float, ...]:
    """Frame lines from frame 1, at the first eave. [ft]"""
    return (0.0, *accumulate(building.bays))


def _laps(survey: Survey) -> Iterator[Contradiction]:
    shortest = min(survey.building.bays) * 12.0
    for i, group in enumerate(survey.purlins.laps_each_side):
        longest = max((r.value for r in group.readings), default=0.0)
        if 2.0 * longest >= shortest:
            yield Contradiction(
                ("purlins", "laps_each_side", i, "readings"),
                f"A lap of {longest:g} in each side meets its neighbour in the shortest bay, {shortest:g} in wide.",
                "Measure from the middle of the frame to the end of the lap, one side.",
            )


def _on_wall(survey: Survey, path: Path, side: str, field: str, at: float | None) -> Iterator[Contradiction]:
    walls = wall_lengths(survey.building)
    if side not in walls:
        yield Contradiction(
            (*path, "side"),
            f"{side} is no wall of this building.",
            f"Its walls face {', '.join(sorted(walls, key=_COMPASS.index))}.",
        )
    elif at is not None and at > walls[side] + LENGTH_PLAY_FT:
        yield Contradiction(
            (*path, field),
            f"{at:g} ft lies past the end of the {side} wall, {walls[side]:g} ft long.",
            "Measure along the wall from frame 1, or from the first eave on an end wall.",
        )


def _roofs_near(survey: Survey) -> Iterator[Contradiction]:
    for i, near in enumerate(survey.building.roofs_near or ()):
        path: Path = ("building", "roofs_near", i)
        # it may run on past the end of this wall: only its beginning must lie on it
        yield from _on_wall(survey, path, near.side, "first", near.first)
        if (
            near.stands == "lower"
            and near.step > survey.building.eave_height + LENGTH_PLAY_FT
            and near.gap == 0
        ):
            yield Contradiction(
                (*path, "step"),
                f"{near.step:g} ft below this roof's edge lies under the ground: the eave is at "
                f"{survey.building.eave_height:g} ft.",
                "Mend the step or the eave height.",
            )


def _roofs_agree(survey: Survey) -> Iterator[Contradiction]:
    b = survey.building
    if b.roofs_beside is None or b.roofs_near is None:
        return
    said = () if b.roofs_beside == "none" else tuple(b.roofs_beside.split(" and "))
    path: Path = ("building", "roofs_near")
    if said and not b.roofs_near and not (said == ("higher",) and b.blocks):
        yield Contradiction(
            path,
            f"says looked, none, and roofs_beside says {b.roofs_beside}.",
            "Measure each, or mend one of them; a block that stands through this roof goes under blocks.",
        )
    for i, near in enumerate(b.roofs_near):
        if near.stands not in said:
            yield Contradiction(
                (*path, i, "stands"),
                f"{near.what} stands {near.stands}, and roofs_beside says {b.roofs_beside}.",
                "Mend one of them.",
            )


def _blocks(survey: Survey) -> Iterator[Contradiction]:
    b = survey.building
    for i, block in enumerate(b.blocks):
        for name, most, size in (("along_to", b.length, "long"), ("across_to", b.width, "wide")):
            at = getattr(block, name)
            if at > most + LENGTH_PLAY_FT:
                yield Contradiction(
                    ("building", "blocks", i, name),
                    f"{at:g} ft lies outside the roof, {most:g} ft {size}.",
                    "Measure along from frame 1, across from the first plane's eave, in plan.",
                )
    for (i, p), (j, q) in combinations(enumerate(b.blocks), 2):
        if _overlap(
            (p.along_from, p.across_from, p.along_to, p.across_to),
            (q.along_from, q.across_from, q.along_to, q.across_to),
        ) > LENGTH_PLAY_FT * min(p.along_to - p.along_from, q.along_to - q.along_from):
            yield Contradiction(
                ("building", "blocks", j),
                f"{q.what} stands in the same place as {p.what}, block {i + 1}.",
                "Mend one of them; a block on a block is one block with the height at its foot.",
            )


def _overlap(a: tuple[float, float, float, float], b: tuple[float, float, float, float]) -> float:
    along = min(a[2], b[2]) - max(a[0], b[0])
    across = min(a[3], b[3]) - max(a[1], b[1])
    return along * across if along > 0 and across > 0 else 0.0


def _parapets(survey: Survey) -> Iterator[Contradiction]:
    edges = survey.edges
    walls = edges.parapet_walls
    for i, parapet in enumerate(walls or ()):
        yield from _on_wall(survey, ("edges", "parapet_walls", i), parapet.side, "last", parapet.last)
    if walls and says_none(edges.parapets):
        yield Contradiction(
            ("edges", "parapet_walls"), "lists parapets, and parapets says none.", "Mend one of them."
        )
    if walls == () and edges.parapet_all_round:
        yield Contradiction(
            ("edges", "parapet_walls"),
            f"says looked, none, and parapet_all_round says {edges.parapet_all_round:g} ft.",
            "Mend one of them.",
        )


def says_none(words: str | None) -> bool:
    """True where an item in words says that there is none."""
    return words is not None and words.strip().lower().rstrip(".") in (
        "none",
        "no",
        "no parapets",
        "none found",
    )


def _hung(survey: Survey) -> Iterator[Contradiction]:
    b = survey.building
    for i, load in enumerate(survey.hung_loads or ()):
        path: Path = ("hung_loads", i, "along")
        if len(load.along) > 1 and len(load.along) > load.count * len(load.lines or (0,)):
            yield Contradiction(
                path,
                f"{len(load.along)} places are given for {load.count} {load.what}.",
                "Mend the count or the places.",
            )
        for k, at in enumerate(load.along):
            yield from _hung_place((*path, k), load, at, b)


def _hung_place(path: Path, load: HungLoad, at: float, b: Building) -> Iterator[Contradiction]:
    end = at + load.length if load.length is not None and load.per_foot is not None else at
    if at > b.length + LENGTH_PLAY_FT:
        yield Contradiction(
            path, f"{at:g} ft lies outside the roof, {b.length:g} ft long.", "Measure from frame 1."
        )
        return
    if end > b.length + LENGTH_PLAY_FT:
        yield Contradiction(
            path,
            f"{load.what} begins at {at:g} ft, is {load.length:g} ft long and so ends outside the roof, "
            f"{b.length:g} ft long.",
            "Mend its length or where it begins.",
        )
    frames = frame_lines(b)
    bays = [n for n in load.bays or () if n <= len(b.bays)]
    if bays and not any(frames[n - 1] - LENGTH_PLAY_FT <= at <= frames[n] + LENGTH_PLAY_FT for n in bays):
        said = f"bay {bays[0]}" if len(bays) == 1 else f"bays {', '.join(map(str, bays))}"
        yield Contradiction(
            path,
            f"{at:g} ft does not lie in {said}.",
            f"Bay {bays[0]} runs from {frames[bays[0] - 1]:g} to {frames[bays[0]]:g} ft; mend the place or the bays.",
        )


def _bundles(survey: Survey) -> Iterator[Contradiction]:
    b = survey.building
    top = max(p.run * math.hypot(1.0, p.slope / 12) for p in b.planes)
    for i, recover in enumerate(survey.recovers):
        bundle = recover.bundle
        if bundle is None:
            continue
        for name, middle, size, most in (
            ("up_slope", bundle.middle_up_slope, bundle.up_slope, top),
            ("along", bundle.middle_along, bundle.along, b.length),
        ):
            low, high = (0.0, size) if middle is None else (middle - size / 2, middle + size / 2)
            if low < -LENGTH_PLAY_FT or high > most + LENGTH_PLAY_FT:
                field = name if middle is None else f"middle_{name}"
                yield Contradiction(
                    ("recovers", i, "bundle", field),
                    f"a bundle {size:g} ft {'up the slope' if name == 'up_slope' else 'along the purlins'}"
                    + ("" if middle is None else f" with its middle at {middle:g} ft")
                    + f" does not lie on the roof, {most:.1f} ft there.",
                    "Mend its size or its place.",
                )


def _entered(survey: Survey) -> Iterator[Contradiction]:
    rules, b = survey.ground_rules, survey.building
    names = [c.zone for c in rules.entered_coefficients]
    for i, name in enumerate(names):
        if name in names[:i]:
            yield Contradiction(
                ("ground_rules", "entered_coefficients", i, "zone"),
                f"zone {name} is entered twice.",
                "Write uplift and downward of a zone in one entry.",
            )
    all_of_them = []
    for i, zone in enumerate(rules.entered_zones):
        for k, (x0, y0, x1, y1) in enumerate(zone.rectangles):
            if x1 > b.length + LENGTH_PLAY_FT or y1 > b.width + LENGTH_PLAY_FT:
                yield Contradiction(
                    ("ground_rules", "entered_zones", i, "rectangles", k),
                    f"zone {zone.zone} reaches {x1:g} ft along and {y1:g} ft across; the roof is "
                    f"{b.length:g} by {b.width:g} ft.",
                    "Measure along from frame 1, across from the first plane's eave, in plan.",
                )
                return
            all_of_them.append((zone.zone, (x0, y0, x1, y1)))
    yield from _cover_once(all_of_them, b)


def _cover_once(
    zones: list[tuple[str, tuple[float, float, float, float]]], b: Building
) -> Iterator[Contradiction]:
    if not zones:
        return
    plan, path = b.length * b.width, ("ground_rules", "entered_zones")
    for (p, a), (q, c) in combinations(zones, 2):
        shared = _overlap(a, c)
        if shared > ZONE_SHARE * plan:
            yield Contradiction(
                path,
                f"zones {p} and {q} share {shared:.0f} ft2.",
                "Each place of the roof lies in one zone; mend a rectangle.",
            )
            return
    area = sum((x1 - x0) * (y1 - y0) for _, (x0, y0, x1, y1) in zones)
    if abs(area - plan) > ZONE_SHARE * plan:
        yield Contradiction(
            path,
            f"zones cover {area:.0f} ft2 of a roof of {plan:.0f} ft2 in plan.",
            "Together they cover the roof once; write the rectangles that are missing.",
        )
