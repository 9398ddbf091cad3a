"""Load maps, line diagrams and ratio maps: what is drawn is what was given, and nothing lies over anything else.

Loads and ratios are invented for the drawings; expected numbers are worked by hand in the test, or from the beam
formula named there.
"""

from __future__ import annotations

import re
import sys
import xml.etree.ElementTree as ET
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

sys.path.insert(0, str(Path(__file__).parent))
import _drawing_sample as sample
from _load_sample import (
    all_over,
    barn,
    case,
    drift,
    hall,
    ratios,
    scenes,
    simple_span,
    waves,
    wind,
)

from secondroof.acting.model import Along, Case, Patch
from secondroof.drawings import legend, styles
from secondroof.drawings.dxf import DrawingError, document, to_dxf
from secondroof.drawings.lettering import text_width
from secondroof.drawings.linediagram import Trace, line_diagram
from secondroof.drawings.linepanels import extremes, over_limit, value_text
from secondroof.drawings.loadfield import band_areas, field_of
from secondroof.drawings.loadmap import load_map, spots, total_lb
from secondroof.drawings.place import Placer, around, box_at, overlaps
from secondroof.drawings.ratiomap import RatioRows, joined_rows, ratio_map, ratio_rows, worst
from secondroof.drawings.scene import Circle, Group, Layer, Line, Polygon, Polyline, Scene, Text
from secondroof.drawings.svg import to_svg
from secondroof.errors import InputError

SVG = "{http" + "://www.w3.org/2000/svg}"
MOST_BYTES = 1_500_000


SCENES = scenes()
every_scene = pytest.mark.parametrize("name", SCENES)
every_map = pytest.mark.parametrize("name", [n for n in SCENES if not n.startswith("line")])


def layer(scene: Scene, name: str) -> Layer:
    return next(x for x in scene.layers if x.name == name)


def flat(scene: Scene):
    for x in scene.layers:
        for item in x.items:
            for part in item.items if isinstance(item, Group) else (item,):
                yield part, x.view


def words(scene: Scene) -> list[str]:
    return [i.text for i, _ in flat(scene) if isinstance(i, Text)]


def text_box(t: Text, view) -> tuple[float, float, float, float]:
    x, y = view.px(t.at) if view else t.at
    x, y = x + t.offset_px[0], y + t.offset_px[1]
    w = text_width(t.text, t.size_px) * 0.9  # the width table is the widest of three weights
    left = x - {"start": 0.0, "middle": w / 2, "end": w}[t.anchor]
    return left, y - 0.7 * t.size_px, left + w, y + 1


# ---- every scene


@every_scene
def test_lettering_is_large_enough_and_on_the_sheet(name):
    scene = SCENES[name]
    for item, view in flat(scene):
        if isinstance(item, Text):
            x0, y0, x1, y1 = text_box(item, view)
            assert item.size_px >= styles.LEAST_TEXT_PX, item.text
            assert x0 >= -1 and y0 >= -1, item.text
            assert x1 <= scene.width_px + 1 and y1 <= scene.height_px + 1, item.text


@every_scene
def test_no_words_lie_over_words(name):
    boxes = [(i.text, text_box(i, v)) for i, v in flat(SCENES[name]) if isinstance(i, Text)]
    over = [
        (a, b)
        for k, (a, box_a) in enumerate(boxes)
        for b, box_b in boxes[k + 1 :]
        if overlaps(box_a, box_b, -0.5)
    ]
    assert not over


@every_scene
@pytest.mark.parametrize("look", ["screen", "print", "grey"])
def test_svg_is_well_formed_small_and_labelled(name, look):
    svg = to_svg(SCENES[name], look=look, standalone=True)
    root = ET.fromstring(svg)
    assert len(svg.encode()) < MOST_BYTES
    assert root.find(f"{SVG}title").text and root.find(f"{SVG}desc").text
    assert not re.search(r"\bnan\b|\binf\b", svg.lower())
    ids = [e.get("id") for e in root.iter() if e.get("id")]
    assert len(ids) == len(set(ids))
    assert set(re.findall(r"url\(#([^)]+)\)", svg)) <= set(ids)
    if look == "screen":
        hot = [e for e in root.iter() if e.get("class") == "hot"]
        assert all(e.get("aria-label") and e.get("role") == "img" for e in hot)
    if look == "grey":
        colours = set(re.findall(r"#[0-9A-F]{6}", svg))
        assert all(c[1:3] == c[3:5] == c[5:7] for c in colours)


@pytest.mark.parametrize("name", ["drift", "hung", "ratio"])
def test_maps_open_as_cad_drawings(name):
    audit = document(SCENES[name]).audit()
    assert not audit.errors and not audit.fixes


def test_a_diagram_is_no_cad_drawing():
    with pytest.raises(DrawingError, match="no view"):
        to_dxf(SCENES["line"])


@every_map
def test_every_map_has_its_frames_north_and_scale(name):
    said = [x.tag.title for y in SCENES[name].layers for x in y.items]
    assert any(t.startswith("North arrow") for t in said)
    assert any(t.startswith("Scale bar") for t in said)
    assert "Frame 1" in said


# ---- load by place


def test_patches_add_and_stay_bilinear():
    """By hand: 40.3 + 34 at the eave; at (2.5, 45) of the twisted patch u = v = 1/4: 20 (9/16) + 10 (3/16) = 13.125."""
    f = field_of(drift(), barn())
    assert f.psf.max() == pytest.approx(74.3)
    twisted = (f.plane == "E") & ~f.level
    (i,) = np.flatnonzero(twisted)
    a, b, c, d = f.psf[i] - 40.3
    u = v = 0.25
    assert a * (1 - u) * (1 - v) + b * u * (1 - v) + c * u * v + d * (1 - u) * v == pytest.approx(13.125)


def test_the_sum_of_a_map():
    """By hand: 40.3 x 8,000 + 34 / 2 x 14.2 x 50 + (20 + 0 + 0 + 10) / 4 x 200 = 322,400 + 12,070 + 1,500 lb."""
    f = field_of(drift(), barn())
    assert f.total == pytest.approx(335_970.0)
    assert "335,970 lb over 8,000 ft² of plan." in words(SCENES["drift"])


def test_the_sum_over_a_slope():
    """By roof surface the area is plan / cos: 1:12 is 4.764 degrees, 8,000 / 0.99655 = 8,027.7 ft2, by hand."""
    c = case(patches=all_over(barn(), -10.0), per="slope", kind="W_up")
    assert total_lb(c, barn(), field_of(c, barn())) == pytest.approx(-80_277, abs=1)
    assert any(t.startswith("80,277 lb of uplift") for t in words(load_map(barn(), c)))


def test_bands_cover_the_load_and_cut_where_it_passes():
    """Drift falls 34 psf in 14.2 ft over 50 ft: a band of 10 psf is 10 / 34 x 14.2 x 50 = 208.8 ft2, by hand."""
    c = replace(drift(), patches=drift().patches[:-1])
    f = field_of(c, barn())
    drawn = legend.bands(f.psf[f.level, 0], f.psf.min(), f.psf.max(), sloped=True)
    areas = band_areas(f, drawn)
    assert [(b.low, b.high) for b in drawn] == [(40, 50), (50, 60), (60, 70), (70, 80)]
    assert sum(a.area for a in areas) == pytest.approx(8000.0, rel=1e-6)
    assert areas[1].area == pytest.approx(208.82, abs=0.01)
    assert areas[2].area == pytest.approx(208.82, abs=0.01)
    assert areas[3].area == pytest.approx(4.3 / 34 * 14.2 * 50, abs=0.01)


def test_a_twisted_patch_is_cut_near_its_true_curve():
    """Load 40 u v over 400 ft2: over 20 psf where u v > 1/2, (1 - 1/2 - 1/2 ln 2) of it = 61.37 ft2, by integration."""
    c = case(patches=(Patch("W", 20, 40, 10, 30, (0, 0, 40, 0)),))
    f = field_of(c, barn())
    drawn = (legend.Band(0, 20, "load 0", ""), legend.Band(20, 40, "load 6", ""))
    low, high = band_areas(f, drawn)
    assert high.area == pytest.approx(400 * (0.5 - 0.5 * np.log(2)), rel=0.01)
    assert low.area + high.area == pytest.approx(400.0, rel=1e-6)


def test_zones_of_wind_are_bands_of_their_value():
    scene = SCENES["wind"]
    wanted = {f"uplift {v} psf" for v in ("24.0", "31.6", "41.7", "58.2")}
    titles = {i.tag.title for i in layer(scene, "load").items}
    assert titles == wanted
    plates = [t.text for g in layer(scene, "values").items for t in g.items if isinstance(t, Text)]
    assert set(plates) == wanted
    assert wanted <= {t.removeprefix("Key: ") for t in (i.tag.title for i in layer(scene, "key").items)}
    area = sum(shape.area for shape in band_areas(field_of(wind(barn()), barn()), _bands(wind(barn()))))
    assert area == pytest.approx(8000.0, rel=1e-9)


def _bands(c: Case):
    f = field_of(c, barn())
    return legend.bands(f.psf[:, 0], f.psf.min(), f.psf.max(), sloped=False)


def test_extremes_stand_on_the_plan_with_the_data():
    f = field_of(drift(), barn())
    found = spots(f)
    assert (found[0].psf, found[0].at) == (pytest.approx(74.3), pytest.approx((50.0, 0.0)))
    assert found[1].psf == pytest.approx(40.3)
    assert [s.psf for s in found if s.area is None] == pytest.approx([74.3, 60.3])
    plates = layer(SCENES["drift"], "values").items
    assert plates[0].tag.title == "Largest of the map: 74.3 psf, plane W, bay 3"
    assert sum(g.tag.stop for g in plates) == 1
    assert "Largest 74.3 psf on plane W, bay 3" in SCENES["drift"].desc


def test_what_rounds_alike_is_drawn_alike():
    """20.15 prints as 20.2 (half up), so that its band and its key must say 20.2."""
    scene = SCENES["partial"]
    assert [i.tag.title for i in layer(scene, "load").items if i.tag.title == "20.2 psf"]
    said = words(scene)
    assert "20.1 psf" not in said
    assert said.count("half") == 2 and said.count("full") == 2


def test_pattern_shares_out_by_bay():
    c = case(
        patches=all_over(barn(), 40.0), pattern=(1.0, 0.5, 1.0, 0.5), along=(Along("W", 2, 0, 100, 10, 10),)
    )
    f = field_of(c, barn())
    x = f.x_ft.mean(axis=1)
    assert set(f.psf[(x > 25) & (x < 50)].ravel()) == {20.0}
    assert set(f.psf[x < 25].ravel()) == {40.0}
    bars = [i for i in layer(load_map(barn(), c), "along").items if isinstance(i, Polygon)]
    assert len(bars) == 4


def test_bare_roof_is_told_from_loaded():
    c = case("rain.blocked", patches=(Patch("W", 0, 100, 0, 20, (26.0, 26.0, 0.0, 0.0)),))
    assert "none" in words(load_map(barn(), c))
    assert "none" not in words(SCENES["drift"])
    assert "Nothing is drawn:" in words(SCENES["nothing"])


def test_card_stands_under_the_map():
    said = words(SCENES["drift"])
    for head in ("What it is:", "Assumed:", "Clause:", "Sum of the areas:"):
        assert head in said


@pytest.mark.parametrize(
    ("change", "word"),
    [
        ({"patches": (Patch("Q", 0, 1, 0, 1, (1, 1, 1, 1)),)}, "plane"),
        ({"pattern": (1.0, 0.5)}, "one share"),
        ({"patches": (Patch("W", 0, 1, 0, 1, (1, 1, np.nan, 1)),)}, "no number"),
        ({"patches": (Patch("W", 1, 1, 0, 1, (1, 1, 1, 1)),)}, "no area"),
        ({"along": (Along("W", 99, 0, 1, 1, 1),)}, "W99"),
        ({"along": (Along("W", 1, 0, 1, 1, np.nan),)}, "no number"),
    ],
)
def test_a_case_that_does_not_fit_is_refused(change, word):
    with pytest.raises(InputError, match=word):
        load_map(barn(), case(**change))


# ---- bands


@pytest.mark.parametrize(("span", "step"), [(34.0, 10.0), (24.0, 5.0), (6.0, 1.0), (12.1, 2.5), (0.6, 0.1)])
def test_steps_are_round_and_few(span, step):
    assert legend.round_step(span) == pytest.approx(step)


@pytest.mark.parametrize("n", range(8))
def test_the_ramp_rises_and_never_repeats(n):
    steps = legend.ramp(n)
    assert len(steps) == n
    assert steps == sorted(set(steps))


def test_no_band_holds_both_signs():
    found = legend.bands([-12.0, 7.0], -30.0, 22.0, sloped=True)
    assert all(b.high <= 0 or b.low >= 0 for b in found)
    assert all(b.text.startswith("uplift" if b.high <= 0 else "down") for b in found)
    assert len({b.hatch for b in found}) == len(found)
    up = [b for b in found if b.high <= 0]
    assert up[0].hatch > up[-1].hatch  # larger uplift, closer hatch


def test_closer_hatch_is_more_load():
    pitch = [styles.HATCHES[f"load {k}"].pitch_px for k in range(7)]
    ink = [styles.HATCHES[f"load {k}"].width_px / p for k, p in enumerate(pitch)]
    assert pitch == sorted(pitch, reverse=True)
    assert ink == sorted(ink)


# ---- along lines


def test_bars_are_as_thick_as_the_load():
    bars = {
        i.tag.title.split(": ")[1]: i for i in layer(SCENES["hung"], "along").items if isinstance(i, Polygon)
    }
    ring = bars["heater 30.0 lb/ft"].rings[0]
    thick = ring[3][1] - ring[0][1]
    pipe = bars["pipe 4.0 to 12.0 lb/ft"].rings[0]
    assert (pipe[2][1] - pipe[1][1]) / thick == pytest.approx(12 / 30)
    assert (ring[0][0], ring[1][0]) == (55, 70)
    y = next(x.y_ft for x in barn().lines if (x.plane, x.index) == ("E", 4))
    assert (ring[0][1] + ring[3][1]) / 2 == pytest.approx(y)


def test_points_and_labels():
    scene = SCENES["hung"]
    dots = [i for i in layer(scene, "along").items if isinstance(i, Circle)]
    assert len(dots) == 8
    labels = {t.text for g in layer(scene, "along-labels").items for t in g.items if isinstance(t, Text)}
    assert labels == {"heater 30.0 lb/ft", "light 18 lb, 8 points", "pipe 4.0 to 12.0 lb/ft"}
    assert "30.0 lb/ft along the line" in words(scene)


def test_every_load_of_a_large_roof_is_drawn():
    assert len(layer(SCENES["live hall"], "along").items) == 122 * 23
    assert len(layer(SCENES["wind hall"], "lines").items) == 122


# ---- line diagrams


def test_extremes_of_a_span_are_labelled():
    """w L^2 / 8 = 100 x 25^2 / 8 = 7,812.5 lb-ft = 93.75 kip-in at mid-span 12'-6\"."""
    scene = line_diagram("One span", [0, 25], [simple_span(100.0)])
    assert "93.75 kip-in" in words(scene)
    assert "93.75 kip-in 12'-6\" along, bay 1" in scene.desc
    assert "capacity 100.0" in words(scene)
    assert "short" not in words(scene)


def test_what_passes_its_capacity_is_hatched_to_the_crossing():
    """M = 60 kip-in where 0.6 x (25 - x) = 60, so x = 5 and 20 ft, by hand."""
    t = simple_span(60.0)
    scene = line_diagram("One span", [0, 25], [t])
    (over,) = [
        i for i, _ in flat(scene) if isinstance(i, Polygon) and i.hatch == "short" and len(i.rings[0]) > 4
    ]
    xs = [p[0] for p in over.rings[0]]
    frames = [i.a[0] for i in layer(scene, "grid").items]
    k = 25 / (frames[1] - frames[0])
    assert (min(xs) - frames[0]) * k == pytest.approx(5.0, abs=0.02)
    assert (max(xs) - frames[0]) * k == pytest.approx(20.0, abs=0.02)
    assert "short" in words(scene)
    assert "Passes its capacity in bay 1" in scene.desc


def test_exactly_at_capacity_holds():
    t = simple_span()
    at = replace(t, limit_pos=float(np.max(t.y)))
    assert not over_limit(at).any()
    assert over_limit(replace(t, limit_pos=float(np.max(t.y)) * 0.999)).sum() == 1
    assert "short" not in words(line_diagram("One span", [0, 25], [at]))


def test_capacity_is_a_size_whatever_its_sign():
    t = simple_span()
    t = replace(t, y=-t.y, limit_neg=-60.0)
    assert over_limit(t).any()
    assert (over_limit(t) == over_limit(replace(t, limit_neg=60.0))).all()


def test_what_is_not_known_is_said():
    t = simple_span()
    assert "no capacity given" in words(line_diagram("x", [0, 25], [t]))
    gone = replace(t, limit_pos=np.full(41, np.nan))
    assert "capacity not known" in words(line_diagram("x", [0, 25], [gone]))
    part = replace(t, limit_pos=np.where(t.x_ft < 9, np.nan, 100.0))
    assert "part of the capacity not known" in words(line_diagram("x", [0, 25], [part]))
    blank = replace(t, y=np.full(41, np.nan), limit_pos=100.0)
    scene = line_diagram("x", [0, 25], [blank])
    assert "curve not known" in words(scene)
    assert "Moment: not known." in scene.desc
    holed = line_diagram(
        "x", [0, 25], [replace(t, y=np.where(abs(t.x_ft - 8) < 2, np.nan, t.y), limit_pos=100.0)]
    )
    curves = [i for i, _ in flat(holed) if isinstance(i, Polyline) and i.style == "outline"]
    assert len(curves) == 2


def test_panels_have_ids_and_say_their_extremes():
    root = ET.fromstring(to_svg(SCENES["line"], standalone=True))
    found = {
        e.get("id"): e.get("aria-label") for e in root.iter() if (e.get("id") or "").startswith("line-trace")
    }
    assert set(found) == {
        "line-trace-loads",
        "line-trace-moment",
        "line-trace-shear",
        "line-trace-deflection",
    }
    assert "Snow, after 170.0 lb/ft to 230.0 lb/ft; Snow, before 120.0 lb/ft" in found["line-trace-loads"]
    _, traces = waves([0, 25, 50, 74.9, 100])
    for t, name in zip(traces, ("moment", "shear", "deflection"), strict=True):
        assert value_text(float(np.max(t.y)), t.unit) in found[f"line-trace-{name}"]


def test_labels_are_values_of_the_curve():
    frames = [29.0 * i for i in range(24)]
    _, traces = waves(frames)
    labels = [i for i in layer(SCENES["line hall"], "labels").items if isinstance(i, Group)]
    assert len(labels) > 30
    allowed = {
        f"{t.title} {value_text(float(t.y[i]), t.unit)}" for t in traces for i in extremes(t, frames)
    } | {"Snow, after 230.0 lb/ft", "Snow, after 170.0 lb/ft", "Snow, before 120.0 lb/ft"}
    for g in labels:
        assert any(g.tag.title.startswith(a) for a in allowed), g.tag.title
    first = {
        value_text(float(f(t.y)), t.unit) for t in traces for f in (np.max, np.min) if abs(f(t.y)) > 1e-9
    }
    assert first <= set(words(SCENES["line hall"]))


def test_supports_laps_and_releases():
    titles = [i.tag.title for i in layer(SCENES["line"], "line").items]
    assert sum(t.startswith("Support at frame") for t in titles) == 5
    assert next(t for t in titles if t.startswith("Lap")) == "Lap from 23'-6\" to 26'-6\""
    assert "Not continuous over frame 3" in titles
    assert {"0'-0\"", "25'-0\"", "74'-11\"", "100'-0\""} <= set(words(SCENES["line"]))


def test_deflection_is_drawn_downward():
    x = np.linspace(0, 10, 11)
    y = np.sin(np.pi * x / 10)
    for down in (True, False):
        scene = line_diagram("x", [0, 10], [Trace("Deflection", "in", x, y, down=down)])
        curve = next(i for i, _ in flat(scene) if isinstance(i, Polyline) and i.style == "outline")
        middle, end = curve.points[len(curve.points) // 2][1], curve.points[0][1]
        assert (middle > end) == down


def test_arrays_that_do_not_fit_are_refused():
    t = simple_span()
    with pytest.raises(InputError, match="one length"):
        line_diagram("x", [0, 25], [replace(t, y=t.y[:-1])])
    with pytest.raises(InputError, match="must not fall"):
        line_diagram("x", [0, 25], [replace(t, x_ft=t.x_ft[::-1])])
    with pytest.raises(InputError, match="rising"):
        line_diagram("x", [0, 0], [t])


# ---- ratio maps


def test_every_bay_is_drawn_with_its_state():
    rows = ratios(barn(), 0.02)
    root = ET.fromstring(to_svg(SCENES["ratio"]))
    lines = root.find(f".//{SVG}g[@data-layer='lines']")
    hot = [e for e in lines.iter() if e.get("class") == "hot"]
    assert len(hot) == len(rows.line) == 18 * 4
    drawn = sorted((e.get("data-line"), e.get("data-state")) for e in hot)
    names = {(x.plane, x.index): x.name for x in barn().lines}
    wanted = zip(rows.plane, rows.line, rows.state, strict=True)
    assert drawn == sorted((names[(p, int(k))], str(s)) for p, k, s in wanted)
    assert sum(e.get("tabindex") == "0" for e in hot) == 1


def test_worst_ten_are_the_worst_and_listed():
    rows = ratios(barn(), 0.02)
    known = rows.ratio[rows.state != "unknown"]
    short = np.sort(rows.ratio[rows.state == "short"])[::-1]
    ten = worst(ratio_rows(barn(), rows))
    n = min(10, len(short))
    assert [r.ratio for r in ten][:n] == pytest.approx(short[:n].tolist())
    assert len(ten) == 10 <= len(known)
    flags = [g for g in layer(SCENES["ratio"], "worst").items if isinstance(g, Group)]
    assert [g.tag.id for g in flags] == [f"worst-{k}" for k in range(1, 11)]
    said = words(SCENES["ratio"])
    assert f"{ten[0].name}, bay {legend.bay_of(barn().frames_ft, ten[0].x0_ft + 1)}" in said
    assert "Unknown, not ranked:" in said


def test_unknown_is_never_ranked_and_shows_no_number():
    rows = ratios(barn(), 0.02)
    blind = replace(rows, ratio=np.full(len(rows.line), np.nan), state=np.full(len(rows.line), "unknown"))
    scene = ratio_map(barn(), blind)
    assert "No ratio is known, so none is ranked." in words(scene)
    assert not any(x.name == "worst" for x in scene.layers)


def test_heavier_is_worse():
    rows = RatioRows(
        np.array(["W"] * 3), np.array([1, 2, 3]), np.zeros(3), np.full(3, 25.0), np.array([0.3, 0.99, 1.6]),
        np.array(["holds", "holds", "short"]),
    )  # fmt: skip
    lines = [i for i in layer(ratio_map(barn(), rows), "lines").items if isinstance(i, Line)]
    name, factor = zip(*(i.style.partition("@")[::2] for i in lines), strict=True)
    assert name == ("holds", "holds", "short")
    px = [styles.STROKES[n].px * float(k or 1) for n, k in zip(name, factor, strict=True)]
    assert px == sorted(px) and px[0] < px[1] < px[2]


@pytest.mark.parametrize("noise", [0.01, 0.3])
def test_joined_bays_never_look_better(noise):
    rows = ratio_rows(hall(), ratios(hall(), noise))
    drawn, alike = joined_rows(rows)
    assert alike > 0 and len(drawn) < len(rows)
    assert sum(r.x1_ft - r.x0_ft for r in drawn) == pytest.approx(122 * 667.0)
    at = {(r.plane, r.line): [d for d in drawn if (d.plane, d.line) == (r.plane, r.line)] for r in rows}
    for r in rows:
        (d,) = [d for d in at[(r.plane, r.line)] if d.x0_ft - 0.01 <= r.x0_ft and r.x1_ft <= d.x1_ft + 0.01]
        assert d.state == r.state
        assert (d.ratio is None) == (r.ratio is None)
        assert d.ratio is None or r.ratio <= d.ratio <= r.ratio + alike


def test_few_bays_are_not_joined():
    rows = ratio_rows(barn(), ratios(barn(), 0.0))
    assert joined_rows(rows) == (rows, 0.0)


def test_zones_a_bay_runs_through():
    rows = ratio_rows(barn(), ratios(barn(), 0.0))
    at = {(r.name, round(r.x0_ft)): r.zone for r in rows}
    assert at[("W1", 0)] == "2 and 3"
    assert at[("W6", 25)] == "1'"


@pytest.mark.parametrize(
    ("change", "word"),
    [
        ({"ratio": np.nan, "state": "holds"}, "cannot hold"),
        ({"ratio": 1.2, "state": "holds"}, "cannot hold"),
        ({"state": "fine"}, "A state is one of"),
        ({"line": 77}, "no such line"),
    ],
)
def test_rows_that_contradict_themselves_are_refused(change, word):
    rows = ratios(barn(), 0.02)
    first = {k: np.array([v, *getattr(rows, k)[1:].tolist()]) for k, v in change.items()}
    with pytest.raises(InputError, match=word):
        ratio_map(barn(), replace(rows, **first))


def test_a_ratio_of_one_holds():
    rows = RatioRows(*(np.array([v]) for v in ("W", 1, 0.0, 25.0, 1.0, "holds")))
    assert ratio_rows(barn(), rows)[0].state == "holds"


def test_hold_down_segments_are_drawn_as_they_are():
    f, _ = sample.barn()
    scene = ratio_map(f.roof, f.segments, kind="uplift")
    assert len(layer(scene, "lines").items) == len(f.segments.line)
    assert scene.name == "ratios-uplift"


def test_leaders_run_under_no_other_words():
    placer = Placer((0, 0, 400, 200), 3)
    dots = [(200.0, 100.0), (206.0, 104.0), (214.0, 100.0), (222.0, 106.0)]
    found = [legend.place_beside(placer, 80, 20, d, around(d, 9.0, 180.0)) for d in dots]
    assert None not in found
    boxes = [box_at(p, 80, 20) for p in found if p is not None]
    for dot, own in zip(dots, boxes, strict=True):
        end = legend.nearest(dot, own)
        run = [(dot[0] + k / 50 * (end[0] - dot[0]), dot[1] + k / 50 * (end[1] - dot[1])) for k in range(50)]
        others = [b for b in boxes if b is not own]
        assert not any(b[0] < x < b[2] and b[1] < y < b[3] for x, y in run[8:] for b in others)
        assert end != dot
