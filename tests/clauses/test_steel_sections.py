"""Sections and gross properties; hand calculations in the comments."""

import numpy as np
import pytest

from secondroof.errors import InputError
from secondroof.steel import properties, sections


def test_plain_channel_by_hand_on_square_corners():
    # plain C 6 x 2, t 0.1, square centre lines: web 5.9, flanges 1.95 each. A = 9.8*0.1 = 0.98
    # Ix = 0.1*5.9^3/12 + 2*(0.195*2.95^2) + 2*1.95*0.1^3/12 = 1.711492 + 3.393975 + 0.000325 = 5.105792
    # xbar from web = 2*1.95*0.1*0.975/0.98 = 0.388010; shear centre from web e = 3b^2/(h+6b) = 3*1.95^2/(5.9+11.7)
    #   = 0.648153 (thin plain channel), xo = -(0.388010+0.648153) = -1.036163
    # Cw = t b^3 h^2/12 * (3b+2h)/(6b+h), thin plain channel
    p = properties.gross(sections.c_section(6, 2, 0, 0.1, 0.1), sharp_corners=True)
    assert pytest.approx(0.98, rel=1e-9) == p.A
    assert p.Ix == pytest.approx(5.105792, rel=1e-6)
    assert p.xo == pytest.approx(-1.036163, rel=1e-5)
    assert p.Cw == pytest.approx(
        0.1 * 1.95**3 * 5.9**2 / 12 * (3 * 1.95 + 2 * 5.9) / (6 * 1.95 + 5.9), rel=1e-6
    )
    assert pytest.approx(9.8 * 0.1**3 / 3, rel=1e-9) == p.J
    assert p.Ixy == pytest.approx(0, abs=1e-12)


def test_plain_z_by_hand_on_square_corners():
    # plain Z 6 x 2, t 0.1: Iy = 2*(0.1*1.95^3/3) + 5.9*0.1^3/12 = 0.494325 + 0.000492 = 0.494817
    # Ixy = 2*(0.195*0.975*2.95) = 1.121738; shear centre at the centroid; Cw = t b^3 h^2 (b+2h)/(12 (2b+h))
    p = properties.gross(sections.z_section(6, 2, 0, 0.1, 0.1), sharp_corners=True)
    assert p.Iy == pytest.approx(0.494817, rel=1e-5)
    assert p.Ixy == pytest.approx(1.121738, rel=1e-5)
    assert p.xo == pytest.approx(0, abs=1e-9)
    assert p.yo == pytest.approx(0, abs=1e-9)
    assert p.Cw == pytest.approx(
        0.1 * 1.95**3 * 5.9**2 * (1.95 + 2 * 5.9) / (12 * (2 * 1.95 + 5.9)), rel=1e-6
    )


def test_plate_element_cross_section_library():
    # 8 x 2.25 Z, t 0.059, R 0.1875, lip 0.91 at 50 deg, true corners, by a 2-D finite element cross-section library
    # (sectionproperties 3.10): A 0.82212, Ix 7.7613, Iy 1.0763, Ixy 2.0818, J 0.000952, Cw 12.448
    p = properties.gross(sections.z_section(8, 2.25, 0.91, 0.059, 0.1875, 50))
    for name, want, tol in (
        ("A", 0.82212, 1e-4), ("Ix", 7.7613, 2e-4), ("Iy", 1.0763, 5e-4), ("Ixy", 2.0818, 2e-4), ("Cw", 12.448, 2e-3),
        ("J", 0.000952, 3e-3),
    ):  # fmt: skip
        assert getattr(p, name) == pytest.approx(want, rel=tol), name


def test_hat_by_hand_on_square_corners():
    # hat 3 deep, top 2, feet 1, t 0.05: centre lines: top 1.95, webs 2.95, feet 0.975
    # A = 0.05*(1.95 + 2*2.95 + 2*0.975) = 0.49; ybar from feet = 0.05*(1.95*2.95 + 2*2.95*1.475)/0.49 = 1.475
    p = properties.gross(sections.hat_section(3, 2, 1, 0.05, 0.05), sharp_corners=True)
    assert pytest.approx(0.05 * (1.95 + 5.9 + 1.95), rel=1e-9) == p.A
    assert p.y_bottom == pytest.approx(1.475 + 0.025, rel=1e-6)
    # Ix = 2*0.05*2.95^3/12 + (1.95+1.95)*0.05*1.475^2 + 3.9*0.05^3/12 = 0.213936 + 0.424247 + 0.000041
    assert p.Ix == pytest.approx(0.638224, rel=1e-5)


def test_unequal_flanges_nest_and_lower_the_centroid():
    p = properties.gross(sections.z_section(8, 2.25, 0.9, 0.06, 0.1875, 50, bottom_flange=2.5))
    assert p.y_bottom < p.y_top
    assert p.y_top + p.y_bottom == pytest.approx(8, abs=1e-9)


def test_eave_strut_of_a_flat_roof_is_a_channel():
    flat = properties.gross(sections.eave_strut(8, 3, 3, 0.9, 0.06, 0.1875, 0.0))
    c = properties.gross(sections.c_section(8, 3, 0.9, 0.06, 0.1875))
    assert flat.Ix == pytest.approx(c.Ix, rel=1e-12)
    tilted = properties.gross(sections.eave_strut(8, 3, 3, 0.9, 0.06, 0.1875, 1.0))
    assert tilted.Ix != pytest.approx(c.Ix, rel=1e-3)
    assert tilted.y_top + tilted.y_bottom > 8.0, "the tip of the rising flange is higher than the corner"


def test_rust_by_element():
    s = sections.z_section(8, 2.5, 0.8, 0.06, 0.1875)
    p0 = properties.gross(s)
    even = properties.gross(sections.rusted(s, 0.012))
    # all of it at 0.048: area falls by exactly a fifth
    assert pytest.approx(0.8 * p0.A, rel=1e-12) == even.A
    assert pytest.approx(0.8**3 * p0.J, rel=1e-12) == even.J
    # bottom flange only, flat of 2.5 - 0.2475 - 0.2475*tan(25 deg), and both its bends at the thinner steel
    loss = sections.rusted(s, np.array([0, 0, 0, 0.02, 0]))
    flat = 2.5 - 0.2475 - 0.2475 * np.tan(np.radians(25))
    bends = (0.1875 + 0.03) * np.radians(90 + 50)
    assert pytest.approx(0.02 * (flat + bends), rel=1e-9) == p0.A - properties.gross(loss).A
    with pytest.raises(InputError, match="leave some steel"):
        sections.rusted(s, 0.06)
    with pytest.raises(InputError):
        sections.rusted(s, -0.001)


@pytest.mark.parametrize(
    ("change", "why"),
    [
        ({"lip": 2.6}, "longer than its flange"), ({"t": -0.06}, "zero or negative"), ({"t": 0.0}, "zero or negative"),
        ({"depth": float("nan")}, "not a number"), ({"R": 2.0}, "no room"), ({"lip": 0.05}, "shorter than its bend"),
        ({"lip_angle": 170.0}, "lip angle"), ({"depth": 1.2, "lip": 0.9, "lip_angle": 90.0}, "meet inside"),
    ],
)  # fmt: skip
def test_impossible_sections_say_so_and_give_no_number(change, why):
    s = sections.z_section(**{"depth": 8, "flange": 2.5, "lip": 0.8, "t": 0.06, "R": 0.1875, **change})
    assert not s.possible
    assert all(np.isnan(getattr(properties.gross(s), n)) for n in properties.Properties.__dataclass_fields__)
    with pytest.raises(InputError, match=why):
        sections.require_possible(s)


def test_weight():
    # 490 lb/ft3 / 144 = 3.403 lb/ft for each square inch
    p = properties.gross(sections.z_section(8, 2.25, 0.91, 0.059, 0.1875))
    assert p.weight_plf == pytest.approx(p.A * 490 / 144, rel=1e-12)
