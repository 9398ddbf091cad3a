"""Enclosure classes and effective wind areas, with hand calculations in the comments."""

import numpy as np
import pytest

from secondroof.errors import InputError
from secondroof.loads import areas
from secondroof.loads.enclosure import classify, enclosure_codes
from secondroof.loads.wind import ENCLOSURES

GROSS = [3535.0, 3535.0, 6600.0, 6600.0]  # invented hall, 150 x 300 ft, eave 22 ft
ROOF = 45039.0


def test_dock_end_makes_the_hall_partially_enclosed():
    # A_o 596 in the east wall, 60 in the rest: 596 > 1.10 x 60; 596 > min(4, 35.35) = 4; 60/61,774 = 0.1 % <= 20 %
    e = classify("7-16", [596.0, 20.0, 20.0, 20.0], GROSS, 0.0, ROOF)
    assert (e.name, e.governing_wall, e.GCpi) == ("partially enclosed", 0, 0.55)
    assert e.A_oi[0] == 60.0 and e.A_gi[0] == pytest.approx(61774.0) and e.limit[0] == 4.0
    assert e.ratio[0] == pytest.approx(596 / 60)
    assert list(e.meets) == [True, False, False, False]
    assert "596 ft2" in e.reason


@pytest.mark.parametrize(
    ("openings", "edition", "name"),
    [
        ([4.0, 0.0, 0.0, 0.0], "7-10", "enclosed"),  # 4 is not more than 4
        ([4.01, 0.0, 0.0, 0.0], "7-10", "partially enclosed"),
        ([110.0, 100.0, 0.0, 0.0], "7-10", "enclosed"),  # exactly 1.10 times
        ([110.1, 100.0, 0.0, 0.0], "7-10", "partially enclosed"),
        ([100.0, 100.0, 100.0, 100.0], "7-10", "enclosed"),
        ([100.0, 100.0, 100.0, 100.0], "7-16", "partially open"),  # class from 7-16 on
        ([3.0, 3.0, 3.0, 3.0], "7-16", "enclosed"),
        ([2828.0, 2828.0, 5280.0, 5280.0], "7-16", "open"),  # every wall 80 % open
        ([2828.0, 2828.0, 5280.0, 5279.0], "7-16", "partially open"),
    ],
)
def test_limits_of_the_classes(openings, edition, name):
    assert classify(edition, openings, GROSS, 0.0, ROOF).name == name


def test_porous_rest_is_not_partially_enclosed():
    # rest: 5,000 of 15,000 ft2 open = 33 % > 20 %, though 5,600 > 1.10 x 5,000
    e = classify("7-10", [5600.0, 5000.0, 0.0], [7000.0, 7000.0, 4000.0], 0.0, 4000.0)
    assert e.name == "enclosed" and e.porosity[0] > 0.2


def test_many_buildings_at_once():
    walls = np.array([[596.0, 20.0, 20.0, 20.0], [3.0, 3.0, 3.0, 3.0], [100.0, 100.0, 100.0, 100.0]])
    codes, meets = enclosure_codes(
        "7-16", walls, np.broadcast_to(GROSS, (3, 4)), np.zeros(3), np.full(3, ROOF)
    )
    assert [ENCLOSURES[c] for c in codes] == ["partially enclosed", "enclosed", "partially open"]
    assert meets.shape == (3, 4)


def test_bad_openings():
    with pytest.raises(InputError, match="wall's own area"):
        classify("7-16", [4000.0, 0, 0, 0], GROSS, 0.0, ROOF)
    with pytest.raises(InputError, match="same walls"):
        classify("7-16", [1.0, 2.0], GROSS, 0.0, ROOF)
    with pytest.raises(InputError, match="roof's own area"):
        classify("7-16", [1.0, 2.0, 3.0, 4.0], GROSS, -1.0, ROOF)


def test_effective_areas_by_hand():
    assert float(areas.purlin_area(25.0, 5.0)) == pytest.approx(208.333, abs=1e-3)  # 25 x 25/3, not 125
    assert float(areas.purlin_area(25.0, 10.0)) == 250.0
    assert float(areas.clip_area(2.0, 5.0)) == 10.0  # never 5 x 5/3
    assert float(areas.screw_area(1.0, 5.0)) == 5.0
    assert float(areas.panel_area(5.0, 2.0)) == 10.0
    assert float(areas.panel_area(5.0, 1.0)) == pytest.approx(25 / 3)
    assert float(areas.subpurlin_area(2.0, 5.0)) == 10.0
