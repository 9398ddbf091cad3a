"""What must hold of wind loads whatever the numbers."""

import numpy as np
import pytest
import shapely
from hypothesis import given
from hypothesis import strategies as st
from shapely import affinity
from shapely.geometry import Polygon

from secondroof.loads import wind
from secondroof.loads.wind_figures import figures
from secondroof.roof.zones import segments, zones

HELD = [
    (f.edition, f.key, z)
    for e in wind.EDITIONS
    for f in figures(e)
    for i, z in enumerate(f.zones)
    if f.negative.known[i]
]
slopes = {"7-05": (0.0, 18.0), "7-10": (0.0, 18.0), "7-16": (0.0, 14.0), "7-22": (0.0,)}


@given(st.sampled_from(HELD), st.floats(0.5, 2000), st.floats(1.0, 10.0))
def test_suction_falls_with_area(held, area, factor):
    edition, key, zone = held
    small, large = wind.gcp(edition, key, zone, np.array([area, area * factor]), "negative")
    assert large >= small - 1e-12


@given(
    st.sampled_from(wind.EDITIONS), st.sampled_from("BCD"), st.floats(10, 59), st.floats(0, 1), st.floats(85, 200),
    st.floats(0, 40), st.sampled_from(["1", "2", "3"]), st.floats(1, 1000),
)  # fmt: skip
def test_pressures_rise_with_height_and_speed(edition, exposure, h, up, V, faster, zone, area):
    V2, h2 = V + faster, h + up
    p = wind.design_pressures(edition, np.array([V, V2, V]), exposure, np.array([h, h, h2]), None, 1.0, "enclosed",
                              "gable", 4.0, zone, area)  # fmt: skip
    for k in (1, 2):
        assert p.p_uplift_psf[k] <= p.p_uplift_psf[0] + 1e-9
        assert p.p_down_psf[k] >= p.p_down_psf[0] - 1e-9


@given(st.sampled_from(wind.EDITIONS), st.floats(85, 200), st.floats(1, 1000))
def test_partially_enclosed_is_never_less(edition, V, area):
    p = wind.design_pressures(
        edition, V, "C", 20.0, None, 1.0, np.array([[0], [1]]), "gable", 4.0, ["1", "2", "3"], area
    )
    assert np.all(p.p_uplift_psf[1] <= p.p_uplift_psf[0]) and np.all(p.p_down_psf[1] >= p.p_down_psf[0])
    assert np.all(p.p_uplift_psf <= -p.minimum_psf) and np.all(p.p_down_psf >= p.minimum_psf)


@given(
    st.sampled_from(list(slopes)), st.integers(0, 1), st.floats(20, 700), st.floats(20, 700), st.floats(8, 60),
    st.floats(0.1, 0.9),
)  # fmt: skip
def test_zones_tile_the_rectangle(edition, k, length, width, h, ridge):
    slope = slopes[edition][min(k, len(slopes[edition]) - 1)]
    found = zones(edition, "gable", slope, length, width, h, ridge_y_ft=ridge * width)
    shapes = list(found.values())
    assert sum(s.area for s in shapes) == pytest.approx(length * width, rel=1e-9)
    for i, a in enumerate(shapes):
        for b in shapes[i + 1 :]:
            assert shapely.intersection(a, b, grid_size=1e-9).area <= 1e-9 * length * width
    y = np.linspace(0.0, width, 17)
    cut = segments(found, y, 0.0, length)
    assert cut.length.sum() == pytest.approx(17 * length, rel=1e-9)


@st.composite
def outlines(draw):
    """Random outlines whose corners stand at rising angles round a centre (star-shaped, simple)."""
    n = draw(st.integers(4, 9))
    steps = np.array(draw(st.lists(st.floats(0.2, 1.0), min_size=n, max_size=n)))
    angle = np.cumsum(steps) / steps.sum() * 2 * np.pi
    r = np.array(draw(st.lists(st.floats(60, 300), min_size=n, max_size=n)))
    return Polygon(np.column_stack([r * np.cos(angle), r * np.sin(angle)]))


@given(outlines(), st.sampled_from(["7-10", "7-16", "7-22"]), st.floats(10, 60))
def test_zones_tile_any_outline(outline, edition, h):
    found = zones(edition, "gable", 3.0, 0.0, 0.0, h, outline=outline)
    shapes = list(found.values())
    assert sum(s.area for s in shapes) == pytest.approx(outline.area, rel=1e-9)
    for i, a in enumerate(shapes):
        for b in shapes[i + 1 :]:
            assert shapely.intersection(a, b, grid_size=1e-9).area <= 1e-9 * outline.area


@given(
    st.sampled_from(list(slopes)), st.integers(0, 1), st.floats(40, 300), st.floats(40, 300), st.floats(8, 40)
)
def test_symmetric_roofs_have_symmetric_zones(edition, k, length, width, h):
    slope = slopes[edition][min(k, len(slopes[edition]) - 1)]
    for shape in zones(edition, "gable", slope, length, width, h).values():
        for sx, sy in ((-1, 1), (1, -1)):
            mirror = affinity.scale(shape, sx, sy, origin=(length / 2, width / 2))
            assert shapely.symmetric_difference(mirror, shape, grid_size=1e-9).area <= 1e-7 * length * width
