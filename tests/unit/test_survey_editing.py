"""Edits keep every comment and refuse what would not read."""

from __future__ import annotations

import pytest

from secondroof.errors import InputError
from secondroof.survey.editing import append_item, parse_path, remove_value, set_value
from secondroof.survey.reading import load_survey, read_survey
from secondroof.survey.template import template

EXAMPLES = (
    "tamsel-feed-barn",
    "port-averill-net-store",
    "harrow-pass-district-shop",
    "quillmark-distribution-hall",
)


@pytest.fixture(scope="module")
def barn(root):
    return (root / "examples" / "tamsel-feed-barn.survey.yaml").read_text("utf-8")


def comments(text):
    return [line.strip() for line in text.splitlines() if line.lstrip().startswith("#")]


def test_set_keeps_all_other_lines(barn):
    new = set_value(barn, "ground_rules.wind_speed", "115 mph")
    old_lines, new_lines = barn.splitlines(), new.splitlines()
    assert len(old_lines) == len(new_lines)
    changed = [(a, b) for a, b in zip(old_lines, new_lines, strict=True) if a != b]
    assert changed == [("  wind_speed: 112 mph", "  wind_speed: 115 mph")]


def test_set_in_flow_and_list(barn):
    new = set_value(barn, "purlins.thickness[1].readings", "[.0575, .0580, .0590?]")
    assert read_survey(new).purlins.thickness[1].readings[2].doubtful
    assert read_survey(set_value(barn, "building.bays[3]", "25'-1\"")).building.bays[3] == pytest.approx(
        25 + 1 / 12
    )


def test_set_what_was_not_there(barn):
    new = set_value(barn, "edges.rakes", "rake trim: loose, N end")
    assert read_survey(new).edges.rakes == "rake trim: loose, N end"
    new = set_value(new, "ground_rules.official_says.asked", "the official, 2 May")
    assert read_survey(new).ground_rules.official_says.asked == "the official, 2 May"
    assert comments(new) == comments(barn)


def test_set_in_blank_template():
    text = minimum(template())
    before = comments(text)
    new = set_value(text, "ground_rules.wind_speed", "112")
    new = set_value(new, "old_panel.coverage", "36 in")
    new = set_value(new, "ground_rules.exposure", "C")
    survey = read_survey(new)
    assert (survey.ground_rules.wind_speed, survey.old_panel.coverage, survey.ground_rules.exposure) == (
        112,
        36,
        "C",
    )
    assert comments(new) == before
    assert "# basic wind speed V" in new


def minimum(text):
    for path, value in {
        "  name:": "A barn", "  shape:": "gable", "  length:": "100", "  width:": "80", "    - name:": "W",
        "      run:": "80", "      slope:": "1:12", "  bays:": "[25, 25, 25, 25]", "  eave_height:": "14",
        "  first_plane_faces:": "W",
    }.items():  # fmt: skip
        head, tail = text.split(f"\n{path}", 1)
        text = f"{head}\n{path} {value}{tail}"
    return text.replace("  shape: gable", "  shape: single slope", 1)


def test_remove_blanks_and_keeps_the_name(barn):
    new = remove_value(barn, "ground_rules.wind_speed")
    assert "  wind_speed:\n" in new
    assert read_survey(new).ground_rules.wind_speed is None
    assert read_survey(remove_value(barn, "standoff")).standoff == ()
    assert read_survey(remove_value(barn, "slope_readings[0]")).slope_readings[0].plane == "E"
    assert len(read_survey(remove_value(barn, "standoff[0].readings[4]")).standoff[0].readings) == 6


def test_append(barn):
    new = append_item(barn, "roof_items", "{kind: pipe, what: a vent, count: 2}")
    assert read_survey(new).roof_items[-1].what == "a vent"
    new = append_item(new, "standoff[1].readings", ".13?")
    assert read_survey(new).standoff[1].readings[-1].doubtful
    new = append_item(new, "building.neighbours", "a silo, 40 ft high, 30 ft E")
    assert read_survey(new).building.neighbours == ("a silo, 40 ft high, 30 ft E",)
    assert comments(new) == comments(barn)


def test_refused_edit(barn):
    with pytest.raises(InputError) as caught:
        set_value(barn, "building.bays[0]", "0")
    assert caught.value.problems[0].field == "building.bays[0]"
    with pytest.raises(InputError):
        set_value(barn, "building.eave_height", "168")
    with pytest.raises(InputError):
        remove_value(barn, "building.eave_height")
    with pytest.raises(InputError):
        set_value(barn, "edges.colour", "red")
    with pytest.raises(InputError):
        set_value(barn, "a[", "red")


@pytest.mark.parametrize("name", EXAMPLES)
def test_every_scalar_can_be_set_to_itself(root, name):
    from secondroof.survey.document import dotted, parse_document

    path = root / "examples" / f"{name}.survey.yaml"
    text = path.read_text("utf-8")

    def scalars(node, at):
        if node.kind == "scalar" and not node.blank:
            yield at, node
        for key, item in zip(node.keys or range(len(node.items)), node.items, strict=True):
            yield from scalars(item, (*at, key if isinstance(key, int) else key.text))

    found = [
        (p, n)
        for p, n in scalars(parse_document(text).root, ())
        if len(p) < 4 and p[0] in ("edges", "bracing")
    ]
    assert len(found) > 4
    survey = load_survey(path)
    for p, node in found:
        assert read_survey(set_value(text, dotted(p), node.text)) == survey


def test_paths():
    assert parse_path("building.bays[2]") == ("building", "bays", 2)
    assert parse_path("purlins.thickness[0].readings[1]") == ("purlins", "thickness", 0, "readings", 1)
