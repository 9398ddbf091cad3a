"""Screws, seats, struts, bends and sag lines of the survey: read, missing, contradicting."""

import pytest

from secondroof.errors import InputError
from secondroof.survey.missing import what_is_missing
from secondroof.survey.reading import load_survey, read_survey
from secondroof.survey.remarks import remarks
from secondroof.survey.template import template

SCREWS = "old screws: outside of thread, washer, spacing along the purlin"
PLACE = "where the old screws stand: near the middle of the flange beside the rib, sheet on the flange or held off it"
SHEET = "yield strength of the old sheet, and what it rests on"
SEAT = "how the purlins sit on the frames: web bolted to a clip, or flange on the frame and on what length"
STRUT = "sizes and bare thickness of the eave struts"


def text(**parts):
    """The least a survey can be, with lines put into a section."""
    body = {"old_panel": "", "purlins": "", "bracing": ""} | parts
    return f"""
secondroof: 1
job: {{name: Trial, invented: true}}
building:
  shape: gable
  length: 50
  width: 40
  planes:
    - {{name: N, run: 20, slope: "1:12", lines: [0, 5, 10, 15, 20]}}
    - {{name: S, run: 20, slope: "1:12", lines: [0, 5, 10, 15, 20]}}
  bays: [25, 25]
  eave_height: 14
  first_plane_faces: N
old_panel: {{{body["old_panel"]}}}
purlins: {{{body["purlins"]}}}
bracing: {{{body["bracing"]}}}
"""


def missing(**parts):
    return {n.what: n for n in what_is_missing(read_survey(text(**parts)))}


def refused(**parts):
    with pytest.raises(InputError) as caught:
        read_survey(text(**parts))
    return str(caught.value)


def test_everything_is_read_in_peoples_units():
    s = read_survey(text(
        old_panel="kind: corrugated, yield_strength: 345 MPa, yield_basis: drawings, "
                  "screws: {diameter: 1/4 in, washer: 16 mm, spacing: 1'-0\", in_middle_of_flange: true, "
                  "off_flange: false}",
        purlins="seat: flange on the frame, seat_length: 5 in, held_at_supports: true, inside_radius: 3/16 in, "
                "eave_strut: {shape: sloped C, depth: 8 in, top_flange: 3, bottom_flange: 2.5, lip: 0.9}",
        bracing="sag_lines_per_bay: 2",
    ))  # fmt: skip
    assert s.old_panel.yield_strength == pytest.approx(50.04, abs=0.01)  # 345 / 6.894757
    screws = s.old_panel.screws
    assert (screws.diameter, screws.spacing) == (0.25, 12.0)
    assert screws.washer == pytest.approx(0.62992, abs=1e-5)  # 16 / 25.4
    assert (s.purlins.seat_length, s.purlins.inside_radius) == (5.0, 0.1875)
    assert s.purlins.eave_strut.top_flange == 3.0
    assert s.bracing.sag_lines_per_bay == 2


def test_a_blank_section_of_screws_says_nothing():
    s = read_survey(text(old_panel="screws: {diameter: , washer: }"))
    assert s.old_panel.screws.diameter is None
    assert read_survey(text(old_panel="screws: ")).old_panel.screws.off_flange is None


def test_screws_are_asked_for_under_a_screwed_sheet_only():
    asked = missing(old_panel="kind: through-fastened ribbed")
    assert {SCREWS, PLACE, SHEET} <= set(asked)
    assert asked[SCREWS].who == "surveyor"
    assert asked[SCREWS].where
    assert "uplift" in asked[SCREWS].decides
    assert not {SCREWS, PLACE, SHEET} & set(missing(old_panel="kind: snap seam"))
    assert not {SCREWS, PLACE, SHEET} & set(missing())


def test_part_of_the_screws_is_not_all_of_them():
    kind = "kind: corrugated, "
    assert SCREWS in missing(old_panel=kind + "screws: {diameter: 0.25, washer: 0.5}")
    assert PLACE in missing(old_panel=kind + "screws: {off_flange: false}")
    whole = "screws: {diameter: 0.25, washer: 0.5, spacing: 12, in_middle_of_flange: false, off_flange: true}"
    assert not {SCREWS, PLACE} & set(missing(old_panel=kind + whole))


@pytest.mark.parametrize(("basis", "still"), [("", True), (", yield_basis: assumed", True),
                                              (", yield_basis: coupon", False)])  # fmt: skip
def test_a_sheet_strength_needs_its_basis(basis, still):
    assert (SHEET in missing(old_panel=f"kind: corrugated, yield_strength: 80{basis}")) is still


@pytest.mark.parametrize(("seat", "still"), [("", True), ("seat: flange on the frame", True),
                                             ("seat: flange on the frame, seat_length: 4", False),
                                             ("seat: web bolted to a clip", False)])  # fmt: skip
def test_a_seat_is_known_by_its_clip_or_by_its_length(seat, still):
    assert (SEAT in missing(purlins=seat)) is still


def test_a_strut_needs_sizes_and_thickness():
    sizes = "eave_strut: {shape: C, depth: 8, top_flange: 3, bottom_flange: 3, lip: 0}"
    assert STRUT in missing(purlins=sizes)
    thick = ", thickness: [{member: eave strut, readings: [.070]}]"
    assert STRUT not in missing(purlins=sizes + thick)


@pytest.mark.parametrize(
    ("parts", "words"),
    [
        ({"purlins": "seat: web bolted to a clip, seat_length: 4"}, "a clip keeps the flange off the frame"),
        ({"old_panel": "screws: {diameter: 0.25, washer: 0.25}"}, "no wider than the screw"),
        ({"bracing": "sag: none, sag_lines_per_bay: 2"}, "sag says none"),
        ({"purlins": "eave_strut: {shape: C, depth: 8, top_flange: 3, bottom_flange: 3, lip: 5}"}, "half the depth"),
        ({"purlins": "eave_strut: {shape: C, depth: 0, top_flange: 3, bottom_flange: 3, lip: 0}"}, "is 0"),
        ({"purlins": "eave_strut: {shape: C, depth: 8}"}, "top_flange"),
        ({"purlins": "seat_length: 60"}, "a seat of a purlin"),
        ({"purlins": "inside_radius: 5"}, "inside bend radius"),
        ({"old_panel": "screws: {diameter: 12}"}, "outside of thread"),
        ({"bracing": "sag_lines_per_bay: 9"}, "sag_lines_per_bay"),
    ],
)  # fmt: skip
def test_what_cannot_be_is_refused(parts, words):
    assert words in refused(**parts)


@pytest.mark.parametrize(("off", "said"), [("false", True), ("true", False)])
def test_a_floating_sheet_said_to_lie_on_the_flange_is_looked_at_again(off, said):
    body = text(old_panel=f"kind: corrugated, screws: {{off_flange: {off}}}")
    s = read_survey(body + "standoff:\n  - {readings: [1.3, 1.4, 1.35]}\n")
    assert any(r.item == "old_panel.screws" for r in remarks(s)) is said


def test_the_template_holds_them():
    blank = template()
    for name in ("in_middle_of_flange:", "off_flange:", "seat_length:", "held_at_supports:", "eave_strut:",
                 "inside_radius:", "sag_lines_per_bay:"):  # fmt: skip
        assert name in blank


def test_examples_say_what_was_invented(root):
    barn = load_survey(root / "examples" / "tamsel-feed-barn.survey.yaml")
    assert barn.old_panel.screws.note == "invented"
    for name in ("harrow-pass-district-shop", "port-averill-net-store", "quillmark-distribution-hall"):
        s = load_survey(root / "examples" / f"{name}.survey.yaml")
        assert s.old_panel.screws.diameter is None
        assert s.purlins.seat is None
