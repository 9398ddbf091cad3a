"""The drawing model, its placer and its SVG: what is drawn, what is said, nothing over anything else."""

from __future__ import annotations

import re
import sys
import xml.etree.ElementTree as ET
from itertools import pairwise
from pathlib import Path

import pytest

sys.path.insert(0, str(Path(__file__).parent))
import _drawing_sample as sample

from secondroof.drawings import styles
from secondroof.drawings.bars import shown_ratio, worst_by_line, worst_on_each_line
from secondroof.drawings.furniture import north_arrow, round_length
from secondroof.drawings.lettering import cut, text_width, wrapped
from secondroof.drawings.names import named_lines
from secondroof.drawings.place import Placer, around, overlaps, spread, thinned
from secondroof.drawings.plan import LAYERS, roof_plan
from secondroof.drawings.scene import Dimension, Group, Item, Leader, Line, Mark, Scene, Text, View
from secondroof.drawings.section import section
from secondroof.drawings.sizes import read_sizes, region_of
from secondroof.drawings.steelwork import purlin_section, screw_length
from secondroof.drawings.stretches import governing, lengths_by_state, stretches
from secondroof.drawings.svg import to_svg
from secondroof.drawings.thumb import thumb
from secondroof.drawings.zones import border_places, legs, plate_words
from secondroof.errors import NotFoundError

SVG = "{http" + "://www.w3.org/2000/svg}"
SHEDS = {"long": (600, 40), "tall": (40, 200), "small": (30, 16), "narrow": (200, 20)}


def scenes() -> dict[str, Scene]:
    out: dict[str, Scene] = {}
    for name, (f, s) in {"barn": sample.barn(), "hall": sample.hall()}.items():
        out[f"{name} plan"] = roof_plan(f, s)
        out[f"{name} plan, bars, marked"] = roof_plan(f, s, bars=True, highlight="H-02")
        out[f"{name} plan on paper"] = roof_plan(f, s, width_px=682)
        line = f.roof.planes[-1].lines[3].name
        out[f"{name} section"] = section(f, s, s.recovers[0], line)
        out[f"{name} section on paper"] = section(f, s, s.recovers[0], line, width_px=682)
        out[f"{name} bars"] = worst_on_each_line(f)
        out[f"{name} thumb"] = thumb(f.roof, None, line, zone="3", faces="S")
    for name, (length, width) in SHEDS.items():
        out[f"{name} plan"] = roof_plan(*sample.shed(length, width), bars=True)
    return out


SCENES = scenes()
every_scene = pytest.mark.parametrize("name", SCENES)


def items(scene: Scene) -> list[tuple[Item, View | None]]:
    out: list[tuple[Item, View | None]] = []
    for layer in scene.layers:
        for item in layer.items:
            parts = item.items if isinstance(item, Group) else (item,)
            out += [(part, layer.view) for part in parts]
    return out


def text_box(t: Text, view: View | None) -> tuple[float, float, float, float]:
    x, y = view.px(t.at) if view else t.at
    x, y = x + t.offset_px[0], y + t.offset_px[1]
    w = text_width(t.text, t.size_px) * 0.9  # the width table is the widest of three weights
    left = x - {"start": 0.0, "middle": w / 2, "end": w}[t.anchor]
    box = (left, y - 0.7 * t.size_px, left + w, y + 1)
    if t.rotate:
        return (x - 0.7 * t.size_px, y - w / 2, x + 1, y + w / 2)
    return box


def words_of(scene: Scene) -> list[str]:
    out = []
    for item, _ in items(scene):
        if isinstance(item, Text):
            out.append(item.text)
        if isinstance(item, Dimension):
            out += [item.text, *item.more]
    return out


# ---- lettering and places


def test_widths_follow_the_font():
    from fontTools.ttLib import TTFont

    from secondroof.fonts import FOLDER

    for weight in ("Regular", "Medium", "SemiBold"):
        font = TTFont(next(FOLDER.glob(f"BarlowSemiCondensed-{weight}-*.ttf")))
        advance, names, em = font["hmtx"], font.getBestCmap(), font["head"].unitsPerEm
        for text in ("zone 2  34.8 psf", "One 1/4-14 screw in each flat", "24'-6 1/2\""):
            # figures are tabular: each as wide as 0.48 to 0.507 em by weight, whatever its own width
            real = sum(0.48 if c.isdigit() else advance[names[ord(c)]][0] / em for c in text)
            assert real <= text_width(text, 1.0) <= 1.15 * real


def test_wrapped_and_cut():
    lines = wrapped("six skylights and three ridge turbines, places not taped", 120, 13)
    assert " ".join(lines) == "six skylights and three ridge turbines, places not taped"
    assert all(text_width(line, 13) <= 120 for line in lines)
    assert text_width(cut("six skylights and three ridge turbines", 120, 13), 13) <= 120
    assert cut("short", 120, 13) == "short"


def test_placer_never_overlaps_and_stays_inside():
    placer = Placer((0, 0, 200, 100), 3)
    got = [placer.place(50, 20, around((100, 50), 5, 150)) for _ in range(12)]
    placed = [p for p in got if p is not None]
    assert len(placed) >= 6
    assert None in [*got, placer.place(300, 20, around((100, 50)))]
    for k, a in enumerate(placer.taken):
        assert a[0] >= 0
        assert a[2] <= 200
        assert all(not overlaps(a, b) for b in placer.taken[k + 1 :])


def test_spread_moves_as_little_as_can_be():
    assert spread([0, 20, 40], 10) == [0, 20, 40]
    assert spread([0, 0], 10) == [-5, 5]
    assert spread([0, 1, 50], 10) == pytest.approx([-4.5, 5.5, 50])


def test_thinned_keeps_the_ends():
    at = [5.0 * i for i in range(61)]
    kept = thinned(at, 14)
    assert (kept[0], kept[-1]) == (0, 60)
    assert kept[1:-1] == list(range(5, 60, 5))
    assert all(at[b] - at[a] >= 14 for a, b in pairwise(kept))


@pytest.mark.parametrize(("target", "length"), [(150.0, 100.0), (37.0, 20.0), (0.9, 0.5), (5.0, 5.0)])
def test_scale_bar_is_round(target, length):
    assert round_length(target) == pytest.approx(length)


@pytest.mark.parametrize(("faces", "way"), [("S", (0, -1)), ("N", (0, 1)), ("W", (-1, 0)), ("E", (1, 0))])
def test_north_arrow_turns_with_the_building(faces, way):
    """The foot of the sheet looks to the first eave's side, so where that is west, north is at the left hand."""
    (group,) = north_arrow((0.0, 0.0), faces)
    tip = group.items[1].points[0]
    assert (tip[0] / 17, tip[1] / 17) == pytest.approx(way, abs=1e-9)


# ---- every scene


@every_scene
def test_no_lettering_is_too_small(name):
    small = [
        i.text for i, _ in items(SCENES[name]) if isinstance(i, Text) and i.size_px < styles.LEAST_TEXT_PX
    ]
    assert not small


@every_scene
def test_words_stay_on_the_sheet(name):
    scene = SCENES[name]
    for item, view in items(scene):
        if isinstance(item, Text):
            x0, y0, x1, y1 = text_box(item, view)
            assert x0 >= -1, item.text
            assert y0 >= -1, item.text
            assert x1 <= scene.width_px + 1, item.text
            assert y1 <= scene.height_px + 1, item.text


@every_scene
def test_no_words_lie_over_words(name):
    scene = SCENES[name]
    boxes = [(i.text, text_box(i, v)) for i, v in items(scene) if isinstance(i, Text)]
    for i, _ in items(scene):
        if isinstance(i, Dimension) and i.text_px is not None:
            boxes.append((i.text, text_box(Text(i.text_px, i.text, 13, anchor=i.anchor), None)))
    over = [
        (a, b)
        for k, (a, box_a) in enumerate(boxes)
        for b, box_b in boxes[k + 1 :]
        if overlaps(box_a, box_b, -0.5)
    ]
    assert not over


@every_scene
@pytest.mark.parametrize("look", ["screen", "print", "grey"])
def test_svg_is_well_formed(name, look):
    svg = to_svg(SCENES[name], look=look, standalone=True)
    root = ET.fromstring(svg)
    assert root.tag == f"{SVG}svg"
    assert root.find(f"{SVG}title").text
    assert root.find(f"{SVG}desc").text
    ids = [e.get("id") for e in root.iter() if e.get("id")]
    assert len(ids) == len(set(ids))
    used = set(re.findall(r"url\(#([^)]+)\)", svg))
    assert used <= set(ids)
    if look != "screen":
        assert "var(" not in svg
        assert "<style" not in svg
    if look == "grey":
        colours = set(re.findall(r"#[0-9A-F]{6}", svg))
        assert all(c[1:3] == c[3:5] == c[5:7] for c in colours)


def test_a_page_needs_no_style_of_ours():
    """The content policy of the page refuses style elements and attributes; colours are presentation attributes."""
    svg = to_svg(SCENES["barn plan"])
    assert "<style" not in svg
    assert "style=" not in svg
    assert "var(--short,#BF3415)" in svg


def test_names_are_escaped():
    survey = sample.barn_survey(job={"name": '<script>&"\x07', "invented": True})
    f = sample.findings_of(survey, {}, 260.0)
    svg = to_svg(roof_plan(f, survey), standalone=True)
    assert "<script" not in svg
    assert "&lt;script&gt;&amp;" in svg
    ET.fromstring(svg)


# ---- the plan


def test_every_stretch_is_drawn_once_with_its_card():
    f, s = sample.barn()
    root = ET.fromstring(to_svg(roof_plan(f, s)))
    lines = root.find(f".//{SVG}g[@data-layer='lines']")
    hot = [e for e in lines.iter() if e.get("class") == "hot"]
    assert len(hot) == len(f.segments.line)
    assert {e.get("data-state") for e in hot} == set(f.segments.state)
    assert all(e.get("aria-label") and e.find(f"{SVG}title") is not None for e in hot)
    assert {e.get("data-check") for e in hot if e.get("data-zone") == "3"} == {"H-01"}
    assert sum(e.get("tabindex") == "0" for e in hot) == 1


def test_links_and_their_place_in_the_key_order():
    f, s = sample.barn()
    svg = to_svg(roof_plan(f, s), link=lambda tag: "/card/" + dict(tag.data)["check"] + "?a=1&b=2")
    assert 'href="/card/H-01?a=1&amp;b=2"' in svg


def test_key_counts_the_feet_of_line():
    """Sum of all lengths: lines times length of the building, by hand."""
    f, _ = sample.barn()
    lengths = lengths_by_state(stretches(f))
    assert sum(lengths.values()) == pytest.approx(18 * 100.0)
    assert lengths["unknown"] == pytest.approx(100.0)
    assert lengths["engineer"] == pytest.approx(100.0)
    assert "100 lf" in words_of(SCENES["barn plan"])


def test_at_most_one_flag_a_plane_and_zone():
    f, _ = sample.hall()
    chosen = governing(stretches(f), f.roof)
    assert len(chosen) == len({(r.plane, r.zone) for r in chosen}) == 8
    assert [r.state for r in chosen][:2] == ["short", "short"]
    layer = next(x for x in SCENES["hall plan"].layers if x.name == "flags")
    assert len(layer.items) <= 8


def test_unknown_shows_no_number():
    f, _ = sample.barn()
    layer = next(x for x in SCENES["barn plan"].layers if x.name == "flags")
    flagged = [g for g in layer.items if dict(g.tag.data)["state"] == "unknown"]
    assert flagged
    for g in flagged:
        assert [t.text for t in g.items if isinstance(t, Text)] == ["unknown"]
    assert {shown_ratio(r) for r in worst_by_line(stretches(f)) if r.state == "unknown"} == {1.0}


def test_zone_borders_are_dimensioned_from_the_edges():
    """0.6 h and 1.2 h from each edge, h = (14 + 17.3) / 2 = 15.65 ft, up to 7 degrees (ASCE 7-16 figure 30.3-2A).

    By hand 9.39 ft = 9'-5" and again 9'-5"; up the slope over 1:12 they are 0.35 % longer, 9'-5" still.
    """
    f, _ = sample.barn()
    assert border_places(f.roof, 0) == pytest.approx([0, 9.39, 18.78, 81.22, 90.61, 100], abs=1e-3)
    layer = next(x for x in SCENES["barn plan"].layers if x.name == "dims")
    texts = [d.text for d in layer.items if isinstance(d, Dimension) and d.axis == "x"]
    assert texts == ["9'-5\"", "9'-5\"", "62'-5\"", "9'-5\"", "9'-5\""]


def test_corner_legs_are_told():
    """Legs 0.6 h long, 0.2 h wide: 9'-5" and 3.13 ft = 3'-2" by hand."""
    f, _ = sample.barn()
    assert legs(f.roof.zones["3"], f.roof) == "legs 9'-5\" long, 3'-2\" wide, all four corners"


def test_plates_give_uplift_at_the_panels_area():
    f, _ = sample.barn()
    assert plate_words("2", f.zones) == "zone 2  41.7 psf"
    assert plate_words("2", ()) == "zone 2  uplift not known"


def test_what_was_not_taped_is_named_not_drawn():
    scene = SCENES["hall plan"]
    assert not any(layer.name == "openings" for layer in scene.layers)
    said = " ".join(words_of(scene))
    for word in ("96 skylights", "22 rooftop units", "140 pipes", "120 sprinkler branch lines"):
        assert word in said
    taped = next(x for x in SCENES["barn plan"].layers if x.name == "openings")
    assert len(taped.items) == 2
    assert "6 skylights" in " ".join(words_of(SCENES["barn plan"]))


def test_openings_lie_where_they_were_taped():
    """Curb 22 ft up a 1:12 slope, 4 ft square: plan y = 22 cos(4.764 deg) = 21.92 ft by hand."""
    layer = next(x for x in SCENES["barn plan"].layers if x.name == "openings")
    ring = next(i.rings[0] for i in layer.items if "fan" in i.tag.title)
    assert sum(p[0] for p in ring) / 4 == pytest.approx(38.5)
    assert sum(p[1] for p in ring) / 4 == pytest.approx(21.924, abs=0.002)


def test_names_thin_out_but_keep_the_ends():
    f, _ = sample.hall()
    view = SCENES["hall plan"].views[0]
    named = [line.name for line, _, _ in named_lines(f.roof, view)]
    assert {"S0", "S60", "N0", "N60"} <= set(named)
    assert len(named) < 60
    places = sorted(p for _, _, p in named_lines(f.roof, view))
    assert min(b - a for a, b in pairwise(places)) >= 14


def test_layers_switch():
    f, s = sample.barn()
    assert len(roof_plan(f, s, show=frozenset()).layers) == 4  # outline, ridge, north arrow, scale bar
    for off in LAYERS:
        names = {layer.name for layer in roof_plan(f, s, show=LAYERS - {off}).layers}
        assert {"zones": "plates", "ratios": "flags", "walls": "walls", "dims": "dims", "names": "names"}.get(
            off
        ) not in names


def test_the_open_thing_is_marked_on_plan_and_bars():
    f, s = sample.barn()
    scene = roof_plan(f, s, bars=True, highlight="H-01")
    names = [layer.name for layer in scene.layers]
    assert "stripe" in names
    assert "marked" in names
    assert "stripe" not in [layer.name for layer in roof_plan(f, s, bars=True, highlight="X-99").layers]


def test_zones_not_known_say_so():
    survey = sample.barn_survey()
    scene = roof_plan(sample.findings_of(survey, {}, 260.0, None), survey)
    assert "Wind zones not known:" in words_of(scene)


def test_plan_scale_is_the_same_both_ways():
    f, s = sample.barn()
    view = roof_plan(f, s).views[0]
    a, b = view.px((0.0, 0.0)), view.px((f.roof.length_ft, f.roof.width_ft))
    assert (b[0] - a[0]) / 100 == pytest.approx((a[1] - b[1]) / 80)
    assert view.model(view.px((12.3, 45.6))) == pytest.approx((12.3, 45.6))


# ---- the section


def sections(name: str) -> list[tuple[Item, View | None]]:
    return items(SCENES[name])


def test_purlin_is_drawn_to_its_measured_size():
    f, s = sample.barn()
    sizes = read_sizes(f, s, f.roof.planes[1].lines[3])
    points = purlin_section(sizes.purlin, 1.0).points
    xs, ys = [p[0] for p in points], [p[1] for p in points]
    # Z 8 x 2 1/4 x 2 1/2, lips 3/4 in at 45 degrees: 0.75 cos 45 = 0.530 in beyond each flange, by hand
    assert max(xs) == pytest.approx(2.25 + 0.530, abs=1e-3)
    assert min(xs) == pytest.approx(-2.5 - 0.530, abs=1e-3)
    assert max(ys) - min(ys) == pytest.approx(8.0 - sizes.purlin.t_in)


def test_old_panel_stands_at_its_standoff():
    """Mean of .10 .11 .12 .15 .10 .11 is 0.115 in, by hand."""
    f, s = sample.barn()
    sizes = read_sizes(f, s, f.roof.planes[1].lines[3])
    assert sizes.panel.standoff_in == pytest.approx(0.115)
    assert sizes.panel.measured_in == pytest.approx(361.125 / 360 * 12, abs=1e-3)
    said = " ".join(words_of(SCENES["barn section"]))
    assert "mean of 6 readings," in said
    assert '0.10" to 0.15",' in said


def test_the_region_of_a_line():
    f, _ = sample.hall()
    plane = f.roof.planes[0]
    assert region_of(f, plane.lines[1]).region == "line 1"
    assert region_of(f, plane.lines[9]).region == "field"


def test_both_views_have_one_scale():
    for name in ("barn section", "hall section", "barn section on paper"):
        first, second = SCENES[name].views
        assert first.scale_px == second.scale_px


def test_screws_follow_the_zone():
    f, s = sample.barn()
    for zone, word in (("2", 'One 0.25" screw in each flat'), ("3", 'Two 0.25" screws in each flat')):
        assert word in words_of(section(f, s, s.recovers[0], "E1", zone=zone))


def test_screw_length_passes_all_that_lies_between():
    """0.2 in grip + three threads of 1/14 in + 0.35 in point = 0.764, so 1 in; by hand."""
    assert screw_length(0.2) == 1.0
    assert screw_length(1.5) > 1.5


def test_what_was_not_read_is_not_drawn():
    survey = sample.barn_survey(purlins={}, old_panel={})
    f = sample.findings_of(survey, {}, 260.0)
    scene = section(f, survey, survey.recovers[0], "E3")
    said = " ".join(words_of(scene))
    assert "old purlin not read, not drawn" in said
    assert "rib spacing not read" in said
    assert not any(i.tag.title.startswith("Old purlin") for i, _ in items(scene))
    assert scene.notes


def test_without_standoff_nothing_new_is_placed():
    survey = sample.barn_survey(standoff=[])
    f = sample.findings_of(survey, {}, 260.0)
    scene = section(f, survey, survey.recovers[0], "E3")
    assert not any(layer.cad in ("S-BEAM-N", "A-ROOF-N") and layer.items for layer in scene.layers)
    assert "standoff" in " ".join(scene.notes)


def test_a_line_that_meets_the_old_seams_is_told():
    survey = sample.hall_survey()
    framing = survey.recovers[0].framing.model_copy(update={"bracket_height": 3.5, "bracket_base": 3.0})
    recover = survey.recovers[0].model_copy(update={"framing": framing})
    f = sample.findings_of(survey, {}, 170.0)
    said = " ".join(words_of(section(f, survey, recover, "S7")))
    assert 'the line begins at 3.50" and meets them' in said
    assert 'do not both fall on a 2.5" flange' in said


def test_assumed_sizes_are_pencil():
    pencil = [i.text for i, _ in sections("barn section") if isinstance(i, Text) and i.assumed]
    assert any("Fy 50 ksi, chalk mark" in t for t in pencil)
    assert any("developed width" in t or "foot and top flange" in t for t in pencil)


def test_no_such_line():
    f, s = sample.barn()
    with pytest.raises(NotFoundError, match="No line is called Q9"):
        section(f, s, s.recovers[0], "Q9")


def test_marks_differ_in_outline():
    assert len({str(m) for m in styles.MARKS.values()}) == 4
    states = {i.state for i, _ in items(SCENES["barn plan"]) if isinstance(i, Mark)}
    assert states == set(styles.STATES)


def test_leaders_are_one_straight_stroke():
    assert all(
        isinstance(i, Leader) and i.dot != i.to
        for i, _ in items(SCENES["hall plan"])
        if isinstance(i, Leader)
    )


def test_a_hot_line_can_be_touched():
    line = Line((0, 0), (1, 0), "holds")
    assert 'class="hit"' not in to_svg(SCENES["barn thumb"])
    assert line.tag.hot is False
    assert 'class="hit"' in to_svg(SCENES["barn plan"])
