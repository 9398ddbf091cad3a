"""Loads of a survey written in SI are those of the same survey written in feet and pounds."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

import secondroof as sr
from secondroof.loads import mwfrs, snow, wind
from secondroof.roof.zones import zones
from secondroof.units import Kind, parse

PSF_PER_KPA = 1000 / (4.4482216152605 / 0.3048**2)  # exact from the pound and the foot
KIND = {"mph": Kind.SPEED_MPH, "ft": Kind.LENGTH_FT, "psf": Kind.PRESSURE_PSF, "ft2": Kind.AREA_FT2}
SI = {"mph": (0.44704, "m/s"), "ft": (0.3048, "m"), "ft2": (0.3048**2, "m2"), "psf": (1 / PSF_PER_KPA, "kPa")}


def both(value, unit):
    """One quantity read from its own unit and from SI."""
    factor, name = SI[unit]
    return parse(f"{value!r} {unit}", KIND[unit]), parse(f"{value * factor:.17f} {name}", KIND[unit])


@given(st.sampled_from(wind.EDITIONS), st.floats(85, 200), st.floats(8, 59), st.floats(1, 1000), st.floats(5, 100),
       st.floats(10, 200))  # fmt: skip
def test_si_in_gives_the_loads_of_us_in(edition, V, h, area, p_g, run):
    pair = list(
        zip(both(V, "mph"), both(h, "ft"), both(area, "ft2"), both(p_g, "psf"), both(run, "ft"), strict=True)
    )
    ours, metric = (
        (
            wind.design_pressures(
                edition, v, "C", z, None, 1.0, "enclosed", "gable", 4.0, ["1", "2", "3"], a
            ),
            snow.balanced_snow(edition, s, 1.0, 1.1, "II", 4.0, False, w),
        )
        for v, z, a, s, w in pair
    )
    assert metric[0].p_uplift_asd_psf == pytest.approx(ours[0].p_uplift_asd_psf, rel=1e-9)
    assert metric[0].p_down_asd_psf == pytest.approx(ours[0].p_down_asd_psf, rel=1e-9)
    assert float(metric[1].p_uniform_psf) == pytest.approx(float(ours[1].p_uniform_psf), rel=1e-9)


def in_si(text):
    """Tamsel's ground rules and building sizes written in SI; everything else as it stands."""
    for field, unit, us in (
        ("wind_speed", "mph", "  wind_speed: 112 mph"),
        ("ground_snow", "psf", "  ground_snow: 15 psf"),
        ("roof_live", "psf", "  roof_live: 20 psf"),
        ("ground_elevation", "ft", "  ground_elevation: 1250 ft"),
        ("length", "ft", "  length: 100\n"),
        ("width", "ft", "  width: 80\n"),
        ("run", "ft", "      run: 40\n"),
    ):
        assert us in text, us
        factor, name = SI[unit]
        value = float(us.split(":")[1].split()[0])
        tail = "\n" if us.endswith("\n") else ""
        text = text.replace(us, f"{us.split(field)[0]}{field}: {value * factor:.14f} {name}{tail}")
    return text


def test_a_survey_in_si_has_the_loads_of_one_in_us_units():
    text = sr.api.example("tamsel-feed-barn").read_text(encoding="utf-8")
    assert " m/s" in in_si(text)
    ours, metric = (sr.api.read(t) for t in (text, in_si(text)))
    assert metric.ground_rules.wind_speed == pytest.approx(ours.ground_rules.wind_speed, rel=1e-12)
    one, other = (sr.check(s) for s in (ours, metric))
    assert one.loads
    assert [(x.id, x.what, x.where) for x in one.loads] == [(x.id, x.what, x.where) for x in other.loads]
    assert [x.value for x in other.loads] == pytest.approx([x.value for x in one.loads], rel=1e-9)
    assert [z.area_ft2 for z in other.zones] == pytest.approx([z.area_ft2 for z in one.zones], rel=1e-9)


@given(st.sampled_from(["7-10", "7-16", "7-22"]), st.floats(85, 200), st.floats(10, 40), st.floats(50, 200),
       st.floats(0.5, 2000), st.floats(1, 10))  # fmt: skip
@settings(max_examples=50)
def test_down_pressure_falls_with_area_and_frames_rise_with_speed(edition, V, h, width, area, factor):
    p = wind.design_pressures(
        edition, V, "C", h, None, 1.0, "enclosed", "gable", 4.0, "1", np.array([area, area * factor])
    )
    assert p.p_down_psf[1] <= p.p_down_psf[0] + 1e-9
    assert p.p_uplift_psf[1] >= p.p_uplift_psf[0] - 1e-9
    slow, fast = (
        mwfrs.frame_pressures(edition, v, "C", h, width, 1.0, "enclosed", 4.0) for v in (V, V * 1.1)
    )
    assert np.all(np.abs(fast.across_up_psf) >= np.abs(slow.across_up_psf))


@given(st.floats(60, 300), st.floats(60, 200), st.floats(10, 30), st.sampled_from(["7-10", "7-16", "7-22"]))
@settings(max_examples=30)
def test_both_halves_of_a_symmetric_roof_carry_the_same_uplift(length, width, h, edition):
    """Pressure times zone area, side by side of the ridge and end by end. [lb]."""
    from shapely.geometry import box

    halves = (box(0, 0, length, width / 2), box(0, width / 2, length, width), box(0, 0, length / 2, width),
              box(length / 2, 0, length, width))  # fmt: skip
    found = zones(edition, "gable", 4.0, length, width, h)
    names = list(found)
    p = wind.design_pressures(
        edition, 115.0, "C", h, None, 1.0, "enclosed", "gable", 4.0, names, 10.0
    ).p_uplift_psf
    total = [
        sum(float(q) * found[z].intersection(half).area for z, q in zip(names, p, strict=True))
        for half in halves
    ]
    assert total[0] == pytest.approx(total[1], rel=1e-9)
    assert total[2] == pytest.approx(total[3], rel=1e-9)
