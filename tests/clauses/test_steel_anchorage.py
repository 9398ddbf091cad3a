"""Anchorage of Z purlins: closed forms of superseded editions, from memory. Only their physics is tested hard."""

import numpy as np
import pytest

from secondroof.errors import InputError
from secondroof.steel import anchorage, properties, sections

COMMON = {"b_in": 2.25, "d_in": 8.0, "t_in": 0.059, "lines": 8, "load_lb": 10_000.0}


def test_by_hand_single_span_at_supports():
    # 8^0.72 = 4.4691, 8^0.90 = 6.4980, 0.059^0.60 = 0.18301: 0.220*3.375/(4.4691*6.4980*0.18301) = 0.13971
    # slope 0: 0.5*0.13971*10000 = 698.6 lb
    got = anchorage.anchorage_force("supports", slope_deg=0.0, **COMMON)
    assert got == pytest.approx(698.6, rel=2e-3)


def test_force_turns_round_with_slope():
    slopes = np.array([0.0, 4.76, 30.0])
    got = anchorage.anchorage_force("midspan", slope_deg=slopes, **COMMON)
    assert got[0] > got[1] > got[2]
    assert got[2] < 0


def test_units_do_not_matter():
    # the same purlin in any unit of length gives the same share of the load, where exponents add to zero
    for f in (anchorage.multi_span_supports, anchorage.multi_span_third_points, anchorage.multi_span_midspan):
        inch = f(0.81, 2.25, 8.0, 0.059, 300.0, 8.0, 2.0, 1.0)
        mm = f(0.81, 2.25 * 25.4, 8.0 * 25.4, 0.059 * 25.4, 300.0 * 25.4, 8.0, 2.0, 1.0)
        assert mm == pytest.approx(inch, rel=0.01)


def test_outside_its_range_there_is_no_number():
    got = anchorage.anchorage_force(
        "supports", slope_deg=2.0, **{**COMMON, "lines": np.array([3, 4, 20, 21])}
    )
    assert np.isnan(got).tolist() == [True, False, False, True]


def test_several_spans_need_their_span_and_place():
    with pytest.raises(InputError, match="span_ft"):
        anchorage.anchorage_force("supports", slope_deg=2.0, place="end", **COMMON)
    with pytest.raises(InputError, match="held at"):
        anchorage.anchorage_force("midspan", slope_deg=2.0, place="first interior", span_ft=25, **COMMON)
    end = anchorage.anchorage_force("supports", slope_deg=2.0, place="end", span_ft=25, **COMMON)
    first = anchorage.anchorage_force("supports", slope_deg=2.0, place="first interior", span_ft=25, **COMMON)
    assert end / first == pytest.approx(0.63 / 0.87)


def test_balanced_slope():
    # 8 x 2.25 Z of 0.059: Ixy/Ix = 0.268, a figure of a handbook principle
    p = properties.gross(sections.z_section(8, 2.25, 0.91, 0.059, 0.1875, 50))
    assert anchorage.balanced_slope(p.Ixy, p.Ix) == pytest.approx(0.268, abs=5e-4)
