"""Stretches of line: lengths and shares add up, zones fall where they fall."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest

from secondroof.acting.lineloads import line_loads
from secondroof.acting.model import Case
from secondroof.acting.where import whole_plane
from secondroof.roof.model import Roof, RoofLine, RoofPlane
from secondroof.roof.strips import band, strips
from secondroof.roof.zones import zones

LINES_FT = (0.0, 4.90, 9.88, 14.86, 19.85, 24.90, 29.80, 34.80, 39.00)  # invented barn, taped along the slope


def barn(h: float = 15.65) -> Roof:
    theta = math.atan(1 / 12)
    planes = []
    for name, y0, way in (("W", 0.0, 1.0), ("E", 80.0, -1.0)):
        slope = 40 / math.cos(theta)
        lines = []
        for i, s in enumerate(LINES_FT):
            low = s if i == 0 else (s - LINES_FT[i - 1]) / 2
            high = slope - s if i + 1 == len(LINES_FT) else (LINES_FT[i + 1] - s) / 2
            gap = max(
                s - LINES_FT[i - 1] if i else 0.0, LINES_FT[i + 1] - s if i + 1 < len(LINES_FT) else 0.0
            )
            y = y0 + way * s * math.cos(theta)
            lines.append(RoofLine(name, i, f"{name}{i}", "purlin", s, y, low + high, gap))
        planes.append(
            RoofPlane(
                name,
                name,
                y0,
                y0 + way * 40,
                40.0,
                1.0,
                math.degrees(theta),
                slope,
                100 * slope,
                tuple(lines),
            )
        )
    drawn = zones("7-16", "gable", math.degrees(theta), 100.0, 80.0, h)
    return Roof(
        "gable", 100.0, 80.0, 14.0, 17.3, h, (0.0, 25.0, 50.0, 74.9, 100.0), tuple(planes), drawn, "7-16"
    )


def test_line_lengths_by_zone() -> None:
    # Hand geometry with h = 15.65: zone 3 legs 3.13 ft wide and 9.39 long, zone 2 to 9.39, zone 1 to 18.78.
    # Per slope: strut: 2 x 9.39 zone 3, rest 2; lines 4.90 (y 4.883): 2 x 3.13 zone 3, rest 2; ...
    s = strips(barn())
    length = s.x1_ft - s.x0_ft
    by_zone = {z: length[s.zone == z].sum() for z in ("3", "2", "1", "1'")}
    assert by_zone["3"] == pytest.approx(2 * (2 * 9.39 + 2 * 3.13), abs=0.01)
    assert sum(by_zone.values()) == pytest.approx(1800.0, abs=1e-9)
    # check figures of the invented job, rounded to whole feet
    assert [round(v) for v in by_zone.values()] == pytest.approx([50, 614, 513, 623], abs=1.5)


def test_every_line_is_whole_and_shares_add_up() -> None:
    s = strips(barn())
    assert s.share.sum(axis=1) == pytest.approx(np.ones(s.line.size))
    for plane in ("W", "E"):
        for line in range(len(LINES_FT)):
            here = (s.plane == plane) & (s.line == line)
            assert (s.x1_ft - s.x0_ft)[here].sum() == pytest.approx(100.0, abs=1e-9)


def test_line_just_outside_the_edge_strip_carries_part_of_it() -> None:
    # Line 2 lies at y = 9.846, zone 2 ends at 9.39; its strip runs from y = 7.365 to 12.327 (slope 4.98 + 4.98 halves).
    cos = math.cos(math.atan(1 / 12))
    s = strips(barn())
    mid = (s.plane == "W") & (s.line == 2) & (s.x0_ft > 20) & (s.x1_ft < 80)
    mid |= (s.plane == "W") & (s.line == 2) & (s.x0_ft < 50) & (s.x1_ft > 50)
    i = int(np.flatnonzero(mid)[0])
    low, high = (4.90 + 9.88) / 2 * cos, (9.88 + 14.86) / 2 * cos
    assert s.share[i][s.names.index("2")] == pytest.approx((9.39 - low) / (high - low), abs=1e-6)
    assert s.zone[i] == "1"


def test_symmetric_roof_gets_symmetric_stretches() -> None:
    s = strips(barn())
    west, east = s.plane == "W", s.plane == "E"
    assert np.allclose(s.share[west], s.share[east])
    assert np.allclose(s.x0_ft[west], s.x0_ft[east])


def test_split_where_the_thickness_changes() -> None:
    roof = barn()
    tags = {(p.name, line.index): [1, 0, 0, 1] for p in roof.planes for line in p.lines}
    s = strips(roof, tags)
    for at in (25.0, 74.9):
        assert np.isclose(s.x0_ft, at).sum() == 18
    assert set(s.tag[s.x1_ft <= 25.0 + 1e-9]) == {1}


def test_the_first_line_holds_the_overhang() -> None:
    # 1 ft of overhang beyond the strut: its strip is 4.90 / 2 + 1 = 3.45 ft along the slope, from y = -cos to 2.45 cos;
    # all of it lies in the zones at the eave (zones 2 and 3 reach y = 3.13), the overhang with them
    roof = barn()
    wide = []
    for plane in roof.planes:
        strut = replace(plane.lines[0], width_ft=plane.lines[0].width_ft + 1.0)
        wide.append(replace(plane, area_ft2=plane.area_ft2 + 100.0, lines=(strut, *plane.lines[1:])))
    roof = replace(roof, planes=tuple(wide))
    cos = math.cos(math.atan(1 / 12))
    assert band(roof.planes[0].lines[0], roof.planes[0]) == pytest.approx((-cos, 2.45 * cos))
    assert band(roof.planes[1].lines[0], roof.planes[1]) == pytest.approx((80 - 2.45 * cos, 80 + cos))
    assert band(roof.planes[0].lines[1], roof.planes[0]) == pytest.approx((2.45 * cos, 7.39 * cos))
    s = strips(roof)
    strut = s.line == 0
    assert s.share[strut].max(axis=1) == pytest.approx(np.ones(strut.sum()))
    assert set(s.zone[strut]) == {"2", "3"}
    # 10 psf on the plane and its overhang weighs all of it, and the strut gets 3.45 ft of it
    case = Case(
        "dead.old", "D", "both", "old", "", "", (whole_plane(roof, roof.planes[0], 10.0),), per="slope"
    )
    total = line_loads(roof, roof.planes[0], [case]).totals_lb()[0]
    assert total[0] == pytest.approx(10 * 3.45 * 100)
    assert total.sum() == pytest.approx(10 * (40 / cos + 1.0) * 100)
