"""Whatever is written is read as one finite number or refused in words."""

from __future__ import annotations

import math

from hypothesis import given
from hypothesis import strategies as st

from secondroof.units import Kind, UnitError, feet_inches, parse

KINDS = st.sampled_from(list(Kind))
SIGNS = st.text(alphabet="0123456789 .,'\"/-:+ftinmgabase½°%", max_size=24)


@given(st.one_of(st.text(max_size=40), SIGNS), KINDS)
def test_any_text(text, kind):
    try:
        value = parse(text, kind)
    except UnitError as error:
        assert error.message and error.mend
    else:
        assert math.isfinite(value)


@given(st.integers(0, 5000), st.integers(0, 11), st.integers(0, 15))
def test_feet_inches_round_trip(feet, inches, sixteenths):
    length = feet + (inches + sixteenths / 16) / 12
    assert math.isclose(parse(feet_inches(length, 16), Kind.LENGTH_FT), length, abs_tol=1e-9)


@given(st.integers(1, 63), st.sampled_from([2, 4, 8, 16, 32, 64]), st.integers(0, 40))
def test_fractions(n, d, whole):
    if n >= d:
        return
    assert parse(f"{n}/{d}", Kind.LENGTH_IN) == n / d
    assert parse(f"{whole} {n}/{d} in", Kind.LENGTH_IN) == whole + n / d
    assert parse(f'{whole}-{n}/{d}"', Kind.LENGTH_IN) == whole + n / d


@given(st.floats(-1e6, 1e6, allow_nan=False), KINDS)
def test_bare_numbers_are_in_the_kinds_unit(value, kind):
    assert parse(value, kind) == value
