"""Wind zones in plan, with areas and lengths worked out by hand."""

import math

import numpy as np
import pytest

from secondroof.errors import InputError, MissingError
from secondroof.roof.zones import entered_zones, hip_lines, segments, strip_width, zones

L_SHAPE = [(0, 0), (100, 0), (100, 40), (50, 40), (50, 90), (0, 90)]


def areas(found):
    return {name: shape.area for name, shape in found.items()}


def test_height_zones_of_a_barn_by_hand():
    # 100 x 80, h 15.7: 0.6h 9.42, 0.2h 3.14, 1.2h 18.84
    a = areas(zones("7-16", "gable", 4.76, 100.0, 80.0, 15.7))
    corner = 4 * (2 * 9.42 * 3.14 - 3.14**2)  # L: two legs less the shared square
    inner = (100 - 2 * 9.42) * (80 - 2 * 9.42)
    middle = (100 - 2 * 18.84) * (80 - 2 * 18.84)
    assert a["3"] == pytest.approx(corner, rel=1e-12)
    assert a["2"] == pytest.approx(8000 - inner - corner, rel=1e-12)
    assert a["1"] == pytest.approx(inner - middle, rel=1e-12)
    assert a["1'"] == pytest.approx(middle, rel=1e-12)


def test_line_lengths_of_the_barn():
    # invented job, hand figures: zone 3 50 lf, zone 2 614, zone 1 513, zone 1' 623, sum 1,800 over both slopes
    s = np.array([0, 4.90, 9.88, 14.86, 19.85, 24.90, 29.80, 34.80, 39.00])
    y = s * math.cos(math.atan(1 / 12))
    both = np.concatenate([y, 80 - y])
    cut = segments(zones("7-16", "gable", 4.76, 100.0, 80.0, 15.7), both, 0.0, 100.0)
    by_zone = cut.lengths_by_zone()
    assert {k: round(v) for k, v in by_zone.items()} == {"3": 50, "2": 614, "1": 513, "1'": 623}
    assert sum(by_zone.values()) == pytest.approx(1800.0, abs=1e-9)


@pytest.mark.parametrize(
    ("width", "expected"), [(36.0, {"1", "2", "3"}), (20.0, {"2", "3"}), (60.0, {"1", "1'", "2", "3"})]
)
def test_narrow_buildings_lose_inner_zones(width, expected):
    # h 20: 2.4h = 48 ft for zone 1', 1.2h = 24 ft for zone 1
    assert set(zones("7-16", "gable", 4.0, 300.0, width, 20.0)) == expected


def test_strips_of_7_10():
    # 100 x 80, h 15.7: a = min(8, 6.28) = 6.28; below 7 degrees no ridge strip, corners a x a
    a = 6.28
    low = areas(zones("7-10", "gable", 4.0, 100.0, 80.0, 15.7))
    assert low["3"] == pytest.approx(4 * a**2)
    assert low["2"] == pytest.approx(2 * a * (100 + 80 - 2 * a) - 4 * a**2)
    # above: strip each side of the ridge, a x a on each side of each ridge end
    steep = areas(zones("7-05", "gable", 14.0, 100.0, 80.0, 15.7))
    assert steep["3"] == pytest.approx(8 * a**2)
    # the band 2a x 100 comes in; its two ends (2a x a each) and the rake strips under them are zone 3
    assert steep["2"] == pytest.approx(low["2"] + 2 * a * (100 - 2 * a) - 2 * 2 * a * a, rel=1e-12)


def test_named_strips_of_7_16():
    a = 6.28
    got = areas(zones("7-16", "gable", 14.0, 100.0, 80.0, 15.7))
    assert got["3r"] == pytest.approx(2 * 2 * a * a)
    assert got["3e"] == pytest.approx(4 * a * a)
    assert got["2e"] == pytest.approx(2 * a * (100 - 2 * a))
    assert got["2r"] == pytest.approx(2 * a * (100 - 2 * a))
    assert got["2n"] == pytest.approx(2 * a * (80 - 4 * a))


def test_ridge_follows_its_place():
    near = zones("7-16", "gable", 14.0, 100.0, 80.0, 15.7, ridge_y_ft=30.0)
    assert near["2r"].bounds[1::2] == pytest.approx((30 - 6.28, 30 + 6.28))
    with pytest.raises(InputError, match="ridge_y_ft"):
        zones("7-16", "gable", 14.0, 100.0, 80.0, 15.7, ridge_y_ft=80.0)


def test_hip_strips_run_along_hips():
    assert hip_lines(100.0, 80.0)[0] == ((40.0, 40.0), (60.0, 40.0))
    got = zones("7-10", "hip", 14.0, 100.0, 80.0, 15.7)
    assert areas(got)["3"] == pytest.approx(4 * 6.28**2)  # corners only, no ridge ends at an edge
    from shapely.geometry import Point

    assert (
        got["2"].covers(Point(20, 20)) and got["2"].covers(Point(50, 40)) and got["1"].covers(Point(50, 20))
    )


def test_inside_corner_of_an_l_shape_is_no_corner_zone():
    a = areas(zones("7-10", "gable", 4.0, 0.0, 0.0, 15.7, outline=L_SHAPE))
    strip = strip_width("7-10", 4.0, 15.7, 90.0)
    assert a["3"] == pytest.approx(5 * strip**2)  # five outside corners
    assert sum(a.values()) == pytest.approx(6500.0, rel=1e-12)


def test_lines_on_edges_belong_to_the_zone_inside():
    found = zones("7-16", "gable", 3.0, 0.0, 0.0, 15.7, outline=L_SHAPE)
    cut = segments(found, [0.0, 40.0, 90.0], 0.0, 100.0)
    length = [cut.length[cut.line == i].sum() for i in range(3)]
    assert length == pytest.approx([100.0, 100.0, 50.0])
    eave = cut.zone[cut.line == 0]
    assert list(eave) == ["3", "2", "3"]
    # y = 40 runs inside to x = 50, then along an edge
    assert list(cut.zone[cut.line == 1]) == ["2", "1", "1'", "1", "2", "3"]


def test_line_on_a_common_boundary_takes_the_more_severe_zone():
    found = zones("7-10", "gable", 4.0, 100.0, 80.0, 15.7)
    cut = segments(found, [6.28, 6.28 + 1e-9], 0.0, 100.0)
    assert set(cut.zone) == {"3", "2"}
    assert list(segments(found, 6.29, 0.0, 100.0).zone) == ["2", "1", "2"]


def test_rounded_eave_distance_is_still_on_the_roof():
    found = zones("7-16", "gable", 4.76, 100.0, 80.0, 15.7)
    assert segments(found, [80.0 + 1e-9, -1e-9], 0.0, 100.0).length.sum() == pytest.approx(200.0)
    assert segments(found, [80.1], 0.0, 100.0).length.size == 0


def test_zone_maps_not_held_say_so():
    for edition, shape, slope in (("7-16", "monoslope", 5.0), ("7-22", "gable", 14.0), ("7-16", "hip", 14.0),
                                  ("7-10", "multispan gable", 15.0)):  # fmt: skip
        with pytest.raises(MissingError, match="figure"):
            zones(edition, shape, slope, 100.0, 80.0, 15.7)


def test_entered_zones_must_tile():
    box = [(0, 0), (10, 0), (10, 10), (0, 10)]
    left, right = [(0, 0), (4, 0), (4, 10), (0, 10)], [(4, 0), (10, 0), (10, 10), (4, 10)]
    assert set(entered_zones(box, {"2": left, "1": right})) == {"1", "2"}
    with pytest.raises(InputError, match="uncovered"):
        entered_zones(box, {"2": left})
    with pytest.raises(InputError, match="overlap"):
        entered_zones(box, {"2": left, "1": box})


@pytest.mark.parametrize(
    "bad",
    [
        dict(length_ft=0.0),
        dict(width_ft=float("nan")),
        dict(h_ft=0.0),
        dict(outline=[(0, 0), (1, 1), (1, 0), (0, 1)]),
    ],
)
def test_bad_geometry(bad):
    good = dict(edition="7-16", roof_shape="gable", slope_deg=4.0, length_ft=100.0, width_ft=80.0, h_ft=15.0)
    with pytest.raises(InputError):
        zones(**(good | bad))


def test_line_loads_follow_the_zones():
    found = zones("7-10", "gable", 4.0, 100.0, 80.0, 15.7)
    cut = segments(found, [0.0, 20.0], 0.0, 100.0)
    w = cut.line_loads({"1": -10.0, "2": -20.0, "3": -30.0}, [2.5, 5.0])
    assert list(w) == [-75.0, -50.0, -75.0, -100.0, -50.0, -100.0]  # zone pressure x 2.5 ft, then x 5 ft
    with pytest.raises(MissingError, match="zone 3"):
        cut.line_loads({"1": -10.0, "2": -20.0}, [2.5, 5.0])
