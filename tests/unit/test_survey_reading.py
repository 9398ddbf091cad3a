"""A survey file is read with every value as it was written, or refused with everything that is wrong."""

from __future__ import annotations

import re

import pytest

from secondroof.errors import InputError, NotFoundError
from secondroof.survey.document import parse_document, plain
from secondroof.survey.reading import load_survey, read_survey

#: File, then for each problem: the field, its line, and words that must stand in it.
WRONG = {
    "unknown-field": [
        ("purlins.dept", 22, "Did you mean depth"),
        ("purlins.colour", 23, "Names known there"),
        ("purlins.wind_speed", 24, "belongs in ground_rules"),
    ],
    "wrong-unit": [("building.length", 6, "not a length")],
    "zero-bay": [("building.bays[1]", 17, "3 to 120 ft"), ("building.bays[3]", 17, "negative")],
    "bays-do-not-add": [("building.bays", 17, "99'-0\"")],
    "runs-do-not-add": [("building.width", 7, "82'-0\"")],
    "line-outside": [("building.planes[0].lines[2]", 12, "outside the roof")],
    "lines-fall": [("building.planes[0].lines[3]", 12, "does not lie above")],
    "first-line": [("building.planes[0].lines[0]", 12, "line 0 is the eave strut")],
    "not-a-spread": [("building.planes[0].lines[1]", 12, "15 to 70 by 5")],
    "slopes": [
        ("building.planes[0].slope", 11, "3.00 in 12"),
        ("building.planes[1].slope", 15, "3.00 in 12"),
    ],
    "slope-readings": [("building.planes[0].slope", 11, "mean 1.30")],
    "negative-thickness": [("purlins.thickness[0].readings[1]", 23, "negative")],
    "absurd-thickness": [
        ("purlins.thickness[0].readings[0]", 23, "1.52 mm"),
        ("purlins.thickness[0].readings[1]", 23, "60 mil"),
    ],
    "coated-gauge": [
        ("purlins.thickness[0].nominal", 23, "16 ga base"),
        ("purlins.thickness[0].readings[0]", 23, "convention"),
    ],
    "eave-in-inches": [
        ("building.eave_height", 18, "write 168 in"),
        ("building.ridge_height", 19, "write 207.6 in"),
    ],
    "place-not-there": [
        ("standoff[0].plane", 22, "not a plane"),
        ("standoff[1].lines[0]", 23, "no line 9"),
        ("standoff[1].bays[0]", 23, "no bay 5"),
    ],
    "shape-and-planes": [("building.planes", 9, "a single slope has 1")],
    "gable-runs": [("building.shape", 5, "unequal gable")],
    "bad-reading": [
        ("standoff[0].readings", 22, "not a list"),
        ("standoff[1].readings[1]", 23, "no value"),
        ("standoff[1].readings[2]", 23, "colour"),
    ],
    "duplicate": [("job", 22, "twice")],
    "not-read-name": [("not_read.purlin.laps", 21, "Did you mean")],
    "not-a-choice": [
        ("building.first_plane_faces", 20, "N; NE; E"),
        ("enclosure.openings[0].state", 23, "owner's word"),
    ],
    "fu-below-fy": [("purlins.tensile_strength", 21, "below F_y")],
    "no-such-test": [
        ("recovers[0].panel.uplift_test", 24, "not under uplift_tests"),
        ("recovers[0].framing.screws_per_flat.by_zone.3x", 28, "not a wind zone"),
    ],
    "no-such-framing": [("recovers[0].framing", 26, "notched sub-purlin, line on base brackets")],
    "tag": [("tag.survey.yaml", 2, "tag")],
    "deep": [("deep.survey.yaml", 1, "nested")],
    "zero-byte": [("zero-byte.survey.yaml", 2, "zero byte")],
    "two-roofs": [("two-roofs.survey.yaml", 2, "second document")],
    "tab": [("tab.survey.yaml", 3, "tab")],
    "colon": [("colon.survey.yaml", 3, "colon")],
    "open-quote": [("open-quote.survey.yaml", 4, "quotes")],
    "empty": [("empty.survey.yaml", None, "empty")],
    "list": [("list.survey.yaml", 1, "no named sections")],
}


@pytest.fixture(scope="module")
def bad(root):
    return root / "tests" / "data" / "surveys"


@pytest.mark.parametrize("name", WRONG)
def test_every_problem_with_its_place(bad, name):
    with pytest.raises(InputError) as caught:
        load_survey(bad / f"{name}.survey.yaml")
    problems = caught.value.problems
    assert [(p.field, p.line) for p in problems] == [(f, line) for f, line, _ in WRONG[name]]
    for problem, (_, _, words) in zip(problems, WRONG[name], strict=True):
        assert words in f"{problem.message} {problem.mend}"
        assert problem.mend


def test_every_broken_file_is_in_the_table(bad):
    files = {p.name.removesuffix(".survey.yaml") for p in bad.glob("*.survey.yaml")}
    assert files == {*WRONG, "good", "bomb"}


def test_bomb(bad):
    with pytest.raises(InputError) as caught:
        load_survey(bad / "bomb.survey.yaml")
    assert "grow without end" in str(caught.value)
    assert len(caught.value.problems) <= 5


def test_voice(bad):
    """No words of the libraries below, no addresses, no signs of shouting."""
    for path in bad.glob("*.survey.yaml"):
        try:
            load_survey(path)
        except InputError as error:
            said = str(error)
            assert not re.search(
                r"pydantic|ruamel|https?:|Input should|validation|!(?![!p])|please|Extra inputs", said
            ), said


@pytest.mark.parametrize(
    "body", [bytes(range(256)) * 4, "secondroof: 1\njob: {name: Müller}\n".encode("latin-1")]
)
def test_not_text(tmp_path, body):
    path = tmp_path / "x.survey.yaml"
    path.write_bytes(body)
    with pytest.raises(InputError, match="not UTF-8 text") as caught:
        load_survey(path)
    assert caught.value.problems[0].line == 2


def test_good(bad):
    survey = load_survey(bad / "good.survey.yaml")
    assert [line.from_eave for line in survey.building.planes[0].lines] == [0, 5, 10, 15, 20, 25, 30, 35, 39]


def test_too_large(tmp_path, bad):
    text = (bad / "good.survey.yaml").read_text() + "# " + "x" * 1_100_000 + "\n"
    path = tmp_path / "large.survey.yaml"
    path.write_text(text)
    for read in (lambda: load_survey(path), lambda: read_survey(text)):
        with pytest.raises(InputError, match="larger than a survey may be: 1 MB") as caught:
            read()
        assert caught.value.problems[0].given == "1.1 MB"


def test_too_many_values():
    with pytest.raises(InputError, match="more than 50,000 values"):
        read_survey("a: [" + "1," * 60_000 + "]")


def test_no_such_file(tmp_path):
    with pytest.raises(NotFoundError):
        load_survey(tmp_path / "none.survey.yaml")
    with pytest.raises(InputError, match="folder"):
        load_survey(tmp_path)


def test_all_kinds_of_problem_at_once(bad):
    """A slip of the form and a contradiction are told in one reading."""
    text = (bad / "bays-do-not-add.survey.yaml").read_text() + "purlins: {dept: 8}\nedges: {overhang: -1}\n"
    with pytest.raises(InputError) as caught:
        read_survey(text)
    assert [p.field for p in caught.value.problems] == ["building.bays", "purlins.dept", "edges.overhang"]


def test_written_text_is_kept(root):
    barn = load_survey(root / "examples" / "tamsel-feed-barn.survey.yaml")
    reading = barn.standoff[0].readings[4]
    assert (reading.written, reading.doubtful, reading.read_again) == (".31?", True, 0.13)
    store = load_survey(root / "examples" / "port-averill-net-store.survey.yaml")
    assert [r.written for r in store.purlins.thickness[1].readings] == [".0690", ".0660", ".0630"]
    assert store.purlins.laps_each_side[0].readings[0].written == "1'-9\""


def test_findings_are_not_refused(root):
    """Rust, sag and mixed standoff are findings: jobs B and D read without problems."""
    for name in ("port-averill-net-store", "quillmark-distribution-hall"):
        load_survey(root / "examples" / f"{name}.survey.yaml")


def test_marks_and_blanks():
    document = parse_document(
        "job:\n  name: x\n  place:\n  use: ~\nbuilding: {bays: [24'-6\", .31?]}\nnot_read: {a: }\n"
    )
    node, walked = document.nearest(("building", "bays", 1))
    assert (node.text, node.line, node.column, walked) == (".31?", 5, 27, ("building", "bays", 1))
    assert plain(document.root) == {
        "job": {"name": "x"},
        "building": {"bays": ["24'-6\"", ".31?"]},
        "not_read": {"a": None},
    }


def test_line_ends_and_byte_order_mark(bad):
    body = (bad / "good.survey.yaml").read_bytes()
    assert read_survey(b"\xef\xbb\xbf" + body.replace(b"\n", b"\r\n")) == read_survey(body)
