"""What a survey says twice and differently. Each is a slip to mend, never a finding about the roof."""

from __future__ import annotations

import math
from collections.abc import Iterator
from typing import Any

from secondroof.survey.contradiction import LENGTH_PLAY_FT, Contradiction
from secondroof.survey.document import Path
from secondroof.survey.fields import Place
from secondroof.survey.form import known_paths, nearest_name
from secondroof.survey.models import Building, Plane, Survey
from secondroof.survey.off_plan import off_plan, says_none
from secondroof.units import feet_inches

#: A last line may lie this far past the ridge by its own measure [ft].
RIDGE_PLAY_FT = 0.5
#: Runs of a gable with equal runs may differ by this [ft].
RUN_PLAY_FT = 0.25
#: Slopes that should agree may differ by this, or by this share [in/ft].
SLOPE_PLAY, SLOPE_SHARE = 0.1, 0.15
#: Height readings are trusted to this [ft].
HEIGHT_PLAY_FT = 0.1
#: Stated slope against the readings [in/ft].
READINGS_PLAY = 0.15

#: Wind zones of roofs in any edition known.
ZONES = frozenset(("1'", "1", "2", "3", "2'", "3'", "2e", "2n", "2r", "3e", "3r"))


def contradictions(survey: Survey) -> list[Contradiction]:
    """Everything in a survey that disagrees with something else in it."""
    checks = (
        _bays,
        _runs,
        _planes,
        _lines,
        _heights,
        _slopes,
        _places,
        _items,
        _steel,
        _proposals,
        off_plan,
        _not_read,
    )
    return [c for check in checks for c in check(survey)]


def _bays(survey: Survey) -> Iterator[Contradiction]:
    b = survey.building
    for name, bays in (("bays", b.bays), ("bays_far_eave", b.bays_far_eave)):
        if bays is None:
            continue
        total = sum(bays)
        if abs(total - b.length) > LENGTH_PLAY_FT:
            yield Contradiction(
                ("building", name),
                f"{len(bays)} bays add to {feet_inches(total)}, the length is {feet_inches(b.length)}: "
                f"{feet_inches(abs(total - b.length))} apart, 6 in allowed.",
                "Mend a bay width or the length.",
            )
    if b.bays_far_eave is not None and len(b.bays_far_eave) != len(b.bays):
        yield Contradiction(
            ("building", "bays_far_eave"),
            f"has {len(b.bays_far_eave)} bays, the first eave {len(b.bays)}.",
            "Count again.",
        )


def _runs(survey: Survey) -> Iterator[Contradiction]:
    b = survey.building
    runs = [p.run for p in b.planes]
    wanted = 1 if b.shape == "single slope" else 2
    if len(runs) != wanted:
        yield Contradiction(
            ("building", "planes"),
            f"has {len(runs)} plane{'s' * (len(runs) > 1)}; a {b.shape} has {wanted}.",
            "Mend shape or planes.",
        )
        return
    if abs(sum(runs) - b.width) > LENGTH_PLAY_FT:
        said = " + ".join(feet_inches(r) for r in runs)
        yield Contradiction(
            ("building", "width"),
            f"runs {said} add to {feet_inches(sum(runs))}, the width is {feet_inches(b.width)}; 6 in apart is allowed.",
            "Mend a run or the width; both are plan distances, strut to strut.",
        )
    if b.shape == "gable" and abs(runs[0] - runs[1]) > RUN_PLAY_FT:
        yield Contradiction(
            ("building", "shape"),
            f"is gable, but the runs differ: {feet_inches(runs[0])} and {feet_inches(runs[1])}.",
            "Write unequal gable, or mend a run.",
        )


def _planes(survey: Survey) -> Iterator[Contradiction]:
    names = [p.name for p in survey.building.planes]
    for i, name in enumerate(names):
        if name in names[:i]:
            yield Contradiction(
                ("building", "planes", i, "name"),
                "is the name of two planes.",
                "Name them N and S, or E and W.",
            )
    for i, name in enumerate(survey.old_panel.coating_planes):
        if name not in names:
            yield Contradiction(
                ("old_panel", "coating_planes", i), "is not a plane of this roof.", _planes_known(names)
            )


def _planes_known(names: list[str]) -> str:
    return f"Planes named in building: {', '.join(names)}."


def _slope_length(plane: Plane) -> float:
    return float(plane.run * math.hypot(1.0, plane.slope / 12))


def _lines(survey: Survey) -> Iterator[Contradiction]:
    for p, plane in enumerate(survey.building.planes):
        top = _slope_length(plane)
        last = -1.0
        if len(plane.lines) == 1:
            yield Contradiction(
                ("building", "planes", p, "lines"),
                "one line alone carries no roof.",
                "Tape the others and list them all; where none was taped, leave lines out.",
            )
        for i, line in enumerate(plane.lines):
            path: Path = ("building", "planes", p, "lines", i)
            at = line.from_eave
            if i == 0 and at > 0.01:
                yield Contradiction(
                    path,
                    f"the first line is {feet_inches(at)} from the eave; line 0 is the eave strut, at 0.",
                    "Begin the list with 0.",
                )
            if at <= last:
                yield Contradiction(
                    path,
                    f"line {i} at {at:g} ft does not lie above line {i - 1} at {last:g} ft.",
                    "Lines rise from the eave, each once.",
                )
            if at > top + RIDGE_PLAY_FT:
                yield Contradiction(
                    path,
                    f"line {i} at {at:g} ft lies outside the roof: the slope is "
                    f"{top:.2f} ft long ({plane.run:g} ft run at {plane.slope:g} in 12).",
                    "Measure along the slope from the eave strut, or mend the run.",
                )
            last = max(last, at)


def _heights(survey: Survey) -> Iterator[Contradiction]:
    b = survey.building
    if b.ridge_height is None:
        return
    rise = b.ridge_height - b.eave_height
    if rise < 0:
        yield Contradiction(
            ("building", "ridge_height"),
            f"{b.ridge_height:g} ft lies below the eave at {b.eave_height:g} ft.",
            "Mend one of them.",
        )
        return
    for p, plane in enumerate(b.planes if b.shape != "unequal gable" else b.planes[:1]):
        implied = 12 * rise / plane.run
        apart = abs(implied - plane.slope)
        sure = apart - 12 * HEIGHT_PLAY_FT / plane.run
        if sure > SLOPE_PLAY or (plane.slope > 0 and sure > SLOPE_SHARE * plane.slope):
            yield Contradiction(
                ("building", "planes", p, "slope"),
                f"{plane.slope:g} in 12 disagrees with the heights: {rise:.2f} ft "
                f"of rise over a run of {plane.run:g} ft is {implied:.2f} in 12.",
                "Mend the slope, the run, the eave height or the ridge height.",
            )


def _slopes(survey: Survey) -> Iterator[Contradiction]:
    for p, plane in enumerate(survey.building.planes):
        values = slope_readings(survey, plane.name)
        if not values:
            continue
        mean = sum(values) / len(values)
        if mean - plane.slope > READINGS_PLAY or plane.slope - max(values) > READINGS_PLAY:
            yield Contradiction(
                ("building", "planes", p, "slope"),
                f"{plane.slope:g} in 12 disagrees with its {len(values)} "
                f"readings, {min(values):g} to {max(values):g}, mean {mean:.2f}.",
                "Mend the slope; sag shows as some readings below it, not as all of them.",
            )


def slope_readings(survey: Survey, plane: str) -> list[float]:
    """Slope readings of a plane, those of no stated plane included, without what was set aside. [in/ft]"""
    return [
        r.value if r.read_again is None else r.read_again
        for g in survey.slope_readings
        if g.plane in (None, plane)
        for r in g.readings
        if r.set_aside is None
    ]


def places(survey: Survey) -> Iterator[tuple[Path, Place]]:
    """Every record that says where it was read, with its path."""
    yield from _places_in(survey, ())


def _places_in(value: Any, path: Path) -> Iterator[tuple[Path, Place]]:
    if isinstance(value, Place):
        yield path, value
    if isinstance(value, tuple):
        for i, item in enumerate(value):
            if isinstance(item, tuple) or hasattr(type(item), "model_fields"):
                yield from _places_in(item, (*path, i))
    elif hasattr(type(value), "model_fields"):
        for name in type(value).model_fields:
            inner = getattr(value, name)
            if inner and (isinstance(inner, tuple) or hasattr(type(inner), "model_fields")):
                yield from _places_in(inner, (*path, name))


def _places(survey: Survey) -> Iterator[Contradiction]:
    b: Building = survey.building
    names = [p.name for p in b.planes]
    counts = {p.name: len(p.lines) for p in b.planes}
    for path, place in places(survey):
        if place.plane is not None and place.plane not in names:
            yield Contradiction(
                (*path, "plane"), f"{place.plane} is not a plane of this roof.", _planes_known(names)
            )
            continue
        lines = counts[place.plane] if place.plane is not None else max(counts.values())
        for i, line in enumerate(place.lines or ()):
            if lines and line >= lines:
                yield Contradiction(
                    (*path, "lines", i),
                    f"there is no line {line}: lines are 0 (strut) to {lines - 1}.",
                    "Count from the eave strut, 0.",
                )
        for name, most in (("bays", len(b.bays)), ("frames", len(b.bays) + 1)):
            for i, n in enumerate(getattr(place, name) or ()):
                if n > most:
                    yield Contradiction(
                        (*path, name, i),
                        f"there is no {name[:-1]} {n}: there are {most}.",
                        "Count from frame 1.",
                    )


def _items(survey: Survey) -> Iterator[Contradiction]:
    b = survey.building
    top = max(_slope_length(p) for p in b.planes)
    for i, item in enumerate(survey.roof_items or ()):
        if item.along is not None and item.along > b.length + LENGTH_PLAY_FT:
            yield Contradiction(
                ("roof_items", i, "along"),
                f"lies outside the roof, {b.length:g} ft long.",
                "Measure from frame 1.",
            )
        if item.up_slope is not None and item.up_slope > top + LENGTH_PLAY_FT:
            yield Contradiction(
                ("roof_items", i, "up_slope"),
                f"lies outside the slope, {top:.1f} ft long.",
                "Measure from the eave.",
            )
    cut, wet = survey.insulation.spots_cut, survey.insulation.spots_wet
    if cut is not None and wet is not None and wet > cut:
        yield Contradiction(("insulation", "spots_wet"), f"{wet} wet of {cut} cut.", "Mend one of them.")
    panel = survey.old_panel
    if panel.rib_top is not None and panel.rib_base is not None and panel.rib_top > panel.rib_base:
        yield Contradiction(
            ("old_panel", "rib_top"),
            f"{panel.rib_top:g} in is wider than the base, {panel.rib_base:g} in.",
            "Mend one of them.",
        )
    if panel.rib_base is not None and panel.rib_module is not None and panel.rib_base >= panel.rib_module:
        yield Contradiction(
            ("old_panel", "rib_base"),
            f"{panel.rib_base:g} in leaves no flat at a module of {panel.rib_module:g} in.",
            "Mend one of them.",
        )


def _steel(survey: Survey) -> Iterator[Contradiction]:
    p = survey.purlins
    pairs: list[tuple[Path, float | None, float | None]] = [
        (("purlins", "tensile_strength"), p.yield_strength, p.tensile_strength)
    ]
    for i, recover in enumerate(survey.recovers):
        f = recover.framing
        pairs.append(
            (("recovers", i, "framing", f.kind, "tensile_strength"), f.yield_strength, f.tensile_strength)
        )
    for path, F_y, F_u in pairs:
        if F_y is not None and F_u is not None and F_u < F_y:
            yield Contradiction(
                path,
                f"F_u {F_u:g} ksi is below F_y {F_y:g} ksi.",
                "Tensile strength is the larger; mend one of them.",
            )
    if p.lip is not None and p.depth is not None and p.lip > p.depth / 2:
        yield Contradiction(
            ("purlins", "lip"),
            f"{p.lip:g} in is more than half the depth, {p.depth:g} in.",
            "Mend one of them.",
        )
    yield from _old_parts(survey)


def _old_parts(survey: Survey) -> Iterator[Contradiction]:
    """Seats, struts, screws and sag braces against themselves."""
    p, screws, bracing = survey.purlins, survey.old_panel.screws, survey.bracing
    if p.seat == "web bolted to a clip" and p.seat_length is not None:
        yield Contradiction(
            ("purlins", "seat_length"),
            f"is {p.seat_length:g} in, and a clip keeps the flange off the frame.",
            "Leave it out, or write seat: flange on the frame.",
        )
    s = p.eave_strut
    if s is not None:
        for name, size in (
            ("depth", s.depth),
            ("top_flange", s.top_flange),
            ("bottom_flange", s.bottom_flange),
        ):
            if size <= 0:
                yield Contradiction(
                    ("purlins", "eave_strut", name), "is 0.", "Measure it, or leave the strut out."
                )
        if s.depth > 0 and s.lip > s.depth / 2:
            yield Contradiction(
                ("purlins", "eave_strut", "lip"),
                f"{s.lip:g} in is more than half the depth, {s.depth:g} in.",
                "Mend one of them.",
            )
    if screws.washer is not None and screws.diameter is not None and screws.washer <= screws.diameter:
        yield Contradiction(
            ("old_panel", "screws", "washer"),
            f"{screws.washer:g} in is no wider than the screw, {screws.diameter:g} in.",
            "Measure across the washer, or across the head.",
        )
    if bracing.sag_lines_per_bay and says_none(bracing.sag):
        yield Contradiction(
            ("bracing", "sag_lines_per_bay"),
            f"is {bracing.sag_lines_per_bay}, and sag says none.",
            "Mend one of them.",
        )


def _proposals(survey: Survey) -> Iterator[Contradiction]:
    tests = [t.name for t in survey.uplift_tests]
    for i, name in enumerate(tests):
        if name in tests[:i]:
            yield Contradiction(
                ("uplift_tests", i, "name"), "is the name of two tests.", "Give each its own."
            )
    zones = ZONES.union(
        (c.zone for c in survey.ground_rules.entered_coefficients),
        (z.zone for z in survey.ground_rules.entered_zones),
    )
    names = [r.name for r in survey.recovers]
    for i, recover in enumerate(survey.recovers):
        if recover.name in names[:i]:
            yield Contradiction(
                ("recovers", i, "name"), "is the name of two recovers.", "Give each its own: R1, R2."
            )
        named = recover.panel.uplift_test
        if named is not None and named not in tests:
            near = nearest_name(named, tests)
            known = (
                f"Did you mean {near}?"
                if near
                else f"Tests given: {', '.join(tests)}."
                if tests
                else "No test is given."
            )
            yield Contradiction(
                ("recovers", i, "panel", "uplift_test"), "names a test that is not under uplift_tests.",
                f"{known} Leave it blank where there is none yet.",
            )  # fmt: skip
        for field in ("screws_per_flat", "screws_per_bracket"):
            count = getattr(recover.framing, field, None)
            for zone in count.by_zone if count is not None else ():
                if zone not in zones:
                    yield Contradiction(
                        ("recovers", i, "framing", recover.framing.kind, field, "by_zone", zone),
                        f"{zone} is not a wind zone.",
                        f"Zones known: {', '.join(sorted(zones))}; write them in double quotes.",
                    )


def _not_read(survey: Survey) -> Iterator[Contradiction]:
    known = known_paths()
    for name in survey.not_read:
        if name not in known:
            near = nearest_name(name, sorted(known))
            yield Contradiction(
                ("not_read", name),
                "is not an item of the form.",
                f"Did you mean {near}?" if near else "Write its path, such as purlins.laps_each_side.",
            )
