"""Sections of the old purlins from readings: what is used where, what is missing, what cannot be.

The roofs are the invented examples; their readings stand in the files. Section constants of the 8 x 2.25 Z are those
of the AISI D100 table as carried into AISI research report RP20-5.
"""

from functools import cache
from pathlib import Path

import numpy as np
import pytest

from secondroof.findings.geometry import build_roof
from secondroof.purlins.places import shortest_laps
from secondroof.purlins.sections import line_sections, service_inertia
from secondroof.purlins.strength import capacity
from secondroof.steel.properties import gross
from secondroof.steel.sections import eave_strut
from secondroof.survey.fields import GapGroup, RustGroup, StrengthGroup, ThicknessGroup
from secondroof.survey.oldsteel import EaveStrut
from secondroof.survey.reading import load_survey

EXAMPLES = Path(__file__).parents[2] / "examples"


@cache
def example(name):
    return load_survey(EXAMPLES / f"{name}.survey.yaml")


HARROW, AVERILL = "harrow-pass-district-shop", "port-averill-net-store"
TAMSEL, QUILLMARK = "tamsel-feed-barn", "quillmark-distribution-hall"


def changed(name, **purlins):
    survey = example(name)
    return survey.model_copy(update={"purlins": survey.purlins.model_copy(update=purlins)})


def found(survey):
    return line_sections(survey, build_roof(survey, None))


def at(f, name, bay):
    return f.which[[line.name for line in f.lines].index(name), bay - 1]


def test_harrow_pass_thickness_by_family():
    # readings: interior .098 .0985 .097 (.1025 doubtful), end bays .120 .119, bays 3 and 4 .087 .089: lowest of each
    f = found(example(HARROW))
    assert f.which.shape == (32, 10)
    for bay, t in {1: 0.119, 2: 0.097, 3: 0.087, 4: 0.087, 5: 0.097, 9: 0.097, 10: 0.119}.items():
        assert f.t_in[at(f, "N5", bay)] == t
    assert set(f.state[f.member == "purlin"]) == {"known"}
    assert f.strength.basis == "drawings"
    assert not f.strength.assumed
    assert np.all(f.Fy_ksi == 50.0)


def test_port_averill_thin_lines_and_strut():
    f = found(example(AVERILL))
    assert f.t_in[at(f, "S1", 6)] == f.t_in[at(f, "S2", 6)] == 0.063
    assert f.t_in[at(f, "S3", 6)] == 0.074
    assert f.read[at(f, "S3", 6)].assumed  # no reading of the S field: the N slope's, marked
    assert not f.read[at(f, "N3", 6)].assumed
    strut = at(f, "S0", 6)
    assert f.t_in[strut] == 0.047  # the doubtful reading is the lower one
    assert f.state[strut] == "engineer"
    assert "no dimensions of the eave strut" in f.reasons[strut][0]
    assert f.numbers[strut]


def test_equal_places_share_one_section():
    f = found(example(QUILLMARK))
    assert f.which.shape == (122, 23)
    assert f.count == 6  # strut, purlin, ridge purlin; end bays and interior bays
    assert f.places(int(at(f, "N5", 2))) == "N1 to S59, 118 lines, bays 2 to 22"


def test_published_section_constants():
    # AISI D100 table as in RP20-5: 8ZS2.25x059, A 0.822, Ix 7.76, Iy 1.08, Ixy 2.08, J 0.000954
    group = (ThicknessGroup(readings=[0.059]),)
    f = found(changed(TAMSEL, depth=8.0, top_flange=2.25, bottom_flange=2.25, lip=0.91, lip_angle=50.0,
                      thickness=group))  # fmt: skip
    k, p = at(f, "W3", 2), f.properties
    assert [p.A[k], p.Ix[k], p.Iy[k], p.Ixy[k]] == pytest.approx([0.822, 7.76, 1.08, 2.08], rel=7e-3)
    assert p.J[k] == pytest.approx(0.000954, rel=7e-3)
    assert pytest.approx(7.76, rel=7e-3) == f.Ix_in4[3, 1]
    # effective I at a service stress lies below gross (D100 quotes 0.964 for a like section) and is never above it
    ie = service_inertia(f, 0.6 * 55.0)[k] / p.Ix[k]
    assert 0.94 < ie <= 1.0


def test_the_strut_takes_its_top_flange_in_the_roof_plane():
    f = found(example(TAMSEL))  # slope 1 in 12: 4.7636 degrees
    assert f.section.top_bend[at(f, "W0", 1)] == pytest.approx(90.0 - np.degrees(np.arctan(1 / 12)))
    assert f.section.top_bend[at(f, "W1", 1)] == 90.0


def strut(shape="sloped C", **sizes):
    sizes = dict(depth=8.0, top_flange=3.0, bottom_flange=2.5, lip=1.0) | sizes
    return EaveStrut(shape=shape, **sizes)


def test_a_measured_strut_is_its_own_c_section():
    plain, f = found(example(TAMSEL)), found(changed(TAMSEL, eave_strut=strut()))
    k, was = at(f, "W0", 1), at(plain, "W0", 1)
    s = f.section
    assert [s.depth[k], s.top[k], s.bottom[k], s.top_lip[k], s.top_angle[k]] == [8.0, 3.0, 2.5, 1.0, 90.0]
    assert s.top_bend[k] == pytest.approx(90.0 - np.degrees(np.arctan(1 / 12)))
    # gross properties are those of the library's own C with the same sizes
    alone = gross(eave_strut(8.0, 3.0, 2.5, 1.0, f.t_in[k], 0.1875, 1.0))
    for name in ("A", "Ix", "Iy", "Ixy", "xo", "Cw"):
        assert getattr(f.properties, name)[k] == pytest.approx(float(getattr(alone, name)), rel=1e-12)
    # forces of wall, gutter and rods stay outside: an engineer's, with other words
    assert (plain.state[was], f.state[k]) == ("engineer", "engineer")
    assert "own dimensions" in f.reasons[k][0]
    assert "wall, gutter and rod" in f.reasons[k][0]
    # purlins are untouched
    p = at(f, "W3", 2)
    assert f.properties.Ix[p] == plain.properties.Ix[at(plain, "W3", 2)]
    assert [a.name for a in f.assumed] == ["R", "lip_angle"]  # the angle of the strut's lips
    assert "eave struts" in f.assumed[1].sentence


def test_a_square_strut_and_one_that_cannot_be():
    f = found(changed(TAMSEL, eave_strut=strut("C")))
    assert f.section.top_bend[at(f, "W0", 1)] == 90.0
    f = found(changed(TAMSEL, eave_strut=strut(lip=3.9)))
    k = at(f, "W0", 1)
    assert (f.state[k], bool(f.numbers[k])) == ("unknown", False)
    assert f.state[at(f, "W3", 2)] == "known"


def test_a_strut_measured_while_the_purlins_were_not():
    f = found(changed(TAMSEL, eave_strut=strut(), depth=None))
    assert f.numbers[at(f, "W0", 1)]
    assert not f.numbers[at(f, "W3", 2)]


def test_an_inside_radius_that_was_read_is_used_and_no_longer_assumed():
    f = found(changed(TAMSEL, inside_radius=0.25))
    assert np.all(f.section.R == 0.25)
    assert f.assumed == ()


def test_assumed_figures_are_told_with_their_effect():
    f = found(example(HARROW))
    assert [a.name for a in f.assumed] == ["R", "lip_angle"]
    for a in f.assumed:
        assert a.effect[0] <= 0.0 <= a.effect[1]
        assert "Assumed" in a.sentence
        assert "no source" in a.sentence
    assert any("angle" in n.what for n in f.needs)
    assert [a.name for a in found(example(TAMSEL)).assumed] == ["R"]  # its lip angle was read


@pytest.mark.parametrize("field", ["shape", "depth", "top_flange", "bottom_flange", "lip"])
def test_a_missing_dimension_is_named_and_gives_no_number(field):
    f = found(changed(HARROW, **{field: None}))
    assert set(f.state) == {"unknown"}
    assert not f.numbers.any()
    assert any(f"purlins.{field}" in n.where for n in f.needs)
    assert np.all(np.isnan(capacity(f).top_held.M.nominal))
    assert np.all(np.isnan(f.Ix_in4))


def test_a_blank_dimension_is_taken_from_its_readings():
    rows = (GapGroup(what="Lip", readings=[0.92, 0.90, 0.95]), GapGroup(what="depth", readings=[9.0]))
    f = found(changed(HARROW, lip=None, size_readings=rows))
    assert np.all(f.section.top_lip == 0.90)  # the lowest clean reading
    assert np.all(f.section.depth == 10.0)  # its own field goes before readings


def test_no_thickness_and_no_strength():
    f = found(changed(HARROW, thickness=()))
    assert set(f.state) == {"unknown"}
    assert any("bare thickness" in n.what for n in f.needs)
    f = found(changed(HARROW, yield_strength=None, yield_basis=None))
    assert set(f.state) == {"unknown"}
    assert np.all(np.isnan(f.Fy_ksi))
    assert any(n.who == "engineer" and "yield" in n.what for n in f.needs)
    assert np.all(np.isnan(capacity(f).shear.nominal))


def test_yield_strength_by_coupons():
    few = (StrengthGroup(readings=[52.0, 55.0, 50.5]),)
    f = found(changed(HARROW, yield_readings=few, yield_strength=55.0))
    assert f.Fy_ksi[0] == 50.5  # the lowest of three, below what was written
    assert f.strength.basis == "coupon"
    many = (StrengthGroup(readings=[52.0, 54.0, 53.0, 55.0, 51.0]),)
    # mean 53, s 1.58114; k of 5 readings for 95/75 is 2.463 (NIST/SEMATECH e-Handbook 7.2.6.3 method): 49.1
    f = found(changed(HARROW, yield_readings=many, yield_strength=None))
    assert f.Fy_ksi[0] == pytest.approx(53.0 - 2.463 * 1.58114, abs=0.01)
    f = found(changed(HARROW, yield_readings=many, yield_strength=45.0))
    assert f.Fy_ksi[0] == 45.0


@pytest.mark.parametrize(
    ("basis", "assumed"), [("mill mark", False), ("chalk mark", True), ("assumed", True), (None, True)]
)
def test_what_a_written_strength_rests_on(basis, assumed):
    f = found(changed(HARROW, yield_basis=basis))
    assert f.strength.assumed is assumed
    assert "50 ksi" in f.strength.sentence


@pytest.mark.parametrize(
    ("change", "state", "word"),
    [
        ({"lip": 3.0}, "unknown", "lip longer than its flange"),
        ({"top_flange": 0.3, "bottom_flange": 0.3, "lip": 0.2}, "unknown", "no room for its bends"),
        ({"lip": 0.1}, "unknown", "shorter than its bend"),
        ({"depth": 40.0}, "engineer", "web h/t"),
        ({"top_flange": 20.0, "bottom_flange": 20.0}, "engineer", "flange w/t"),
        ({"lip": 2.7}, "engineer", "lip over flange"),
        ({"yield_strength": 100.0}, "engineer", "yield strength"),
        ({"yield_strength": 80.0}, "engineer", "full-hard"),
        ({"lip_angle": 130.0}, "engineer", "inside the bend"),
    ],
)
def test_impossible_and_outside_sections_have_a_state_and_never_a_number(change, state, word):
    f = found(changed(HARROW, **change))
    k = at(f, "N5", 5)
    assert f.state[k] == state
    assert any(word in why for why in f.reasons[k])
    c = capacity(f)
    for a in (
        c.top_held.M.nominal,
        c.bottom_held.M.asd,
        c.shear.lrfd,
        c.interior.P.nominal,
        c.end_least.P.asd,
    ):
        assert np.isnan(a[k])
    assert np.isnan(f.Ix_in4[5, 4])


def test_rust_with_loss_needs_a_reading_there():
    # bays 3 and 4 have readings of their own family: known. Bay 7 graded 3 without one: unknown, with a need
    rust = (*example(HARROW).purlins.rust_grades, RustGroup(member="purlin", bays=(7,), grade=3))
    f = found(changed(HARROW, rust_grades=rust))
    assert f.state[at(f, "N5", 3)] == "known"
    assert f.state[at(f, "N5", 7)] == "unknown"
    assert f.state[at(f, "N5", 8)] == "known"
    assert any("where it is rusted" in n.what for n in f.needs)


def test_the_reading_in_the_rust_goes_before_a_thicker_one():
    # line 5 has its own sound reading; the rust of bay 7 was read thinner, without a family of its own
    groups = (
        ThicknessGroup(lines=(5,), readings=[0.098]),
        ThicknessGroup(bays=(7,), plane="N", readings=[0.088, 0.090]),
    )
    rust = (RustGroup(member="purlin flanges", plane="N", bays=(7,), grade=3),)
    f = found(changed(HARROW, thickness=groups, rust_grades=rust))
    assert f.t_in[at(f, "N5", 7)] == 0.088
    assert "rusted place" in f.read[at(f, "N5", 7)].rule
    assert f.t_in[at(f, "N5", 6)] == 0.098
    assert f.t_in[at(f, "S5", 7)] == 0.098


def test_rust_between_frames_and_of_other_things():
    rust = (
        RustGroup(member="Purlins", frames=(7,), grade=3),
        RustGroup(member="screws", grade=4),
        RustGroup(member="panel", grade=4),
    )
    f = found(changed(HARROW, rust_grades=rust))
    assert [f.state[at(f, "N5", b)] for b in (5, 6, 7, 8)] == ["known", "unknown", "unknown", "known"]


def test_holes_go_to_the_engineer_without_a_number():
    f = found(
        changed(HARROW, rust_grades=(RustGroup(member="purlin", plane="N", lines=(5,), bays=(3,), grade=4),))
    )
    k = at(f, "N5", 3)
    assert (f.state[k], bool(f.numbers[k])) == ("engineer", False)
    assert f.state[at(f, "S5", 3)] == "known"


def test_laps_are_the_lesser_side():
    roof = build_roof(example(HARROW), None)
    laps = shortest_laps(example(HARROW), roof)
    assert laps.shape == (32, 11)
    assert np.all(
        laps[:, 1:-1] == 5.0
    )  # 5.0/6.0, 5.5/5.0, 5.0/6.5 with no frame named: the least speaks for all
    assert np.all(np.isnan(laps[:, [0, -1]]))
    named = (GapGroup(frames=(2,), readings=[16.0]), GapGroup(frames=(3,), plane="N", readings=[14.0, 12.0]))
    laps = shortest_laps(changed(HARROW, laps_each_side=named), roof)
    assert laps[0, 1] == 16.0
    assert laps[0, 2] == 12.0
    assert np.isnan(laps[-1, 2])
    assert np.isnan(laps[0, 3])
