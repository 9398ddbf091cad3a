"""Cases turned into line loads, and combinations made of cases: own derivation, statics by hand."""

from __future__ import annotations

import math

import numpy as np
import pytest

import secondroof as sr
from secondroof.acting.combined import rows
from secondroof.acting.lineloads import line_loads
from secondroof.acting.model import Along, Case, Patch
from secondroof.findings.geometry import build_roof


@pytest.fixture(scope="module")
def roof():
    return build_roof(sr.load(sr.example("tamsel-feed-barn")), "7-16")


def whole(roof, plane, psf, **more):
    y0, y1 = sorted((plane.y_eave_ft, plane.y_top_ft))
    patch = Patch(plane.name, 0.0, roof.length_ft, y0, y1, (psf,) * 4)
    return Case("x", "S", "both", "snow", "", "", patches=(patch,), **more)


def test_a_uniform_patch_gives_every_line_its_own_width_and_the_roof_its_whole_load(roof):
    plane = roof.planes[0]
    loads = line_loads(roof, plane, [whole(roof, plane, 20.0)])
    cos = math.cos(math.radians(plane.slope_deg))
    widths = np.array([line.width_ft for line in plane.lines]) * cos
    np.testing.assert_allclose(loads.w0[0][:, 0], 20.0 * widths, rtol=1e-9)
    np.testing.assert_allclose(loads.totals_lb()[0].sum(), 20.0 * plane.run_ft * roof.length_ft, rtol=1e-9)


def test_a_load_per_foot_of_slope_is_larger_in_plan(roof):
    plane = roof.planes[0]
    loads = line_loads(roof, plane, [whole(roof, plane, 2.0, per="slope")])
    np.testing.assert_allclose(loads.totals_lb()[0].sum(), 2.0 * plane.area_ft2, rtol=1e-9)


def test_a_triangle_along_the_ridge_keeps_its_borders_and_its_total(roof):
    plane = roof.planes[0]
    y0, y1 = sorted((plane.y_eave_ft, plane.y_top_ft))
    patch = Patch(plane.name, 0.0, 13.7, y0, y1, (30.0, 0.0, 0.0, 30.0))
    case = Case("d", "S", "both", "drift", "", "", patches=(patch,))
    loads = line_loads(roof, plane, [case])
    assert 13.7 in loads.x_ft
    np.testing.assert_allclose(loads.totals_lb()[0].sum(), 0.5 * 30.0 * 13.7 * plane.run_ft, rtol=1e-9)
    beyond = loads.x_ft[:-1] >= 13.7 - 1e-9
    assert np.all(loads.w0[0][:, beyond] == 0.0)


def test_a_triangle_down_the_slope_gives_its_total(roof):
    plane = roof.planes[0]
    y0, y1 = sorted((plane.y_eave_ft, plane.y_top_ft))
    patch = Patch(plane.name, 10.0, 30.0, y0, y1, (0.0, 0.0, 24.0, 24.0))
    loads = line_loads(roof, plane, [Case("d", "S", "both", "drift", "", "", patches=(patch,))])
    np.testing.assert_allclose(loads.totals_lb()[0].sum(), 12.0 * 20.0 * plane.run_ft, rtol=1e-9)


def test_hung_things_hang_where_they_hang(roof):
    plane = roof.planes[0]
    along = (Along(plane.name, 4, 60.0, 60.0, 210.0, 210.0), Along(plane.name, 2, 5.0, 45.0, 9.0, 9.0))
    loads = line_loads(roof, plane, [Case("h", "D", "both", "hung", "", "", along=along)])
    assert loads.totals_lb()[0][4] == pytest.approx(210.0)
    assert loads.totals_lb()[0][2] == pytest.approx(360.0)
    assert loads.P[0, 4, np.argmin(abs(loads.x_ft - 60.0))] == 210.0


def test_partial_snow_halves_the_bays_it_names_only(roof):
    plane = roof.planes[0]
    loads = line_loads(roof, plane, [whole(roof, plane, 20.0, pattern=(1.0, 0.5, 0.5, 1.0))])
    w, middle = loads.w0[0][3], (loads.x_ft[1:] + loads.x_ft[:-1]) / 2
    bay = np.searchsorted(roof.frames_ft, middle) - 1
    assert w[bay == 1].max() == pytest.approx(w[bay == 0].max() / 2)
    assert w[bay == 3].min() == pytest.approx(w[bay == 0].max())


def test_normal_loads_have_no_part_down_the_slope(roof):
    plane = roof.planes[0]
    up = Case(
        "w",
        "W_up",
        "both",
        "wind up",
        "",
        "",
        along=(Along(plane.name, 1, 0.0, 50.0, -80.0, -80.0),),
        acts="normal",
    )
    loads = line_loads(roof, plane, [whole(roof, plane, 20.0), up])
    n, s = loads.square_to_roof(), loads.down_slope()
    assert np.all(s[0][1] == 0.0)
    np.testing.assert_allclose(n[0][1], loads.w0[1])
    np.testing.assert_allclose(n[0][0] ** 2 + s[0][0] ** 2, loads.w0[0] ** 2, rtol=1e-12)


CASES = (
    Case("dead.old", "D", "both", "old roof", "", "", sure=True),
    Case("dead.blanket", "D", "both", "blanket", "", ""),
    Case("dead.new", "D", "after", "new roof", "", "", sure=True),
    Case("live.roof", "Lr", "both", "live", "", ""),
    Case("snow.1", "S", "before", "snow as today", "", ""),
    Case("snow.2", "S", "after", "snow with the recover", "", ""),
    Case("wind.up", "W_up", "both", "wind up", "", ""),
    Case("man", "C", "both", "man", "", ""),
)


def test_combinations_of_7_16_asd_by_hand():
    """ASCE 7-16 2.4.1: D + S with all dead load of the stage; 0.6D + 0.6W with the sure dead load only."""
    found = rows("7-16", "ASD", CASES, "after")
    table = dict(zip(found.names, found.factors.tolist(), strict=True))
    assert [1, 1, 1, 0, 0, 1, 0, 0] in table.values()
    assert [0.6, 0, 0.6, 0, 0, 0, 0.6, 0] in table.values()
    # D + 0.75 S + 0.45 W never governs with wind that lifts: it relieves what presses and lifts less than 0.6 D + 0.6 W
    lifted = [v for v in table.values() if v[6]]
    assert lifted == [[0.6, 0, 0.6, 0, 0, 0, 0.6, 0]]
    assert not any(v[4] for v in table.values())  # today's snow is not there with the recover
    today = rows("7-16", "ASD", CASES, "before")
    assert not today.factors[:, [2, 5]].any()
    assert [0.6, 0, 0, 0, 0, 0, 0.6, 0] in today.factors.tolist()


def test_a_man_stands_on_the_old_dead_load_only_and_is_marked():
    found = rows("7-16", "ASD", CASES, "after")
    (row,) = found.factors[found.construction]
    assert row.tolist() == [1, 1, 0, 0, 0, 0, 0, 1]


def test_no_combination_twice_and_none_with_a_load_that_is_not_there():
    found = rows("7-22", "LRFD", CASES[:3], "after")
    assert found.names == ("1.4D",) or all("D" in n for n in found.names)
    assert len({r.tobytes() for r in found.factors}) == len(found.names)
