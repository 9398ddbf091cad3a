"""Template, schema, examples and the list of what is missing."""

from __future__ import annotations

import json
import re

import jsonschema
import pytest
from ruamel.yaml import YAML

from secondroof.survey.form import known_paths
from secondroof.survey.missing import items, what_is_missing
from secondroof.survey.models import Survey
from secondroof.survey.reading import load_survey, read_survey
from secondroof.survey.template import schema, template

EXAMPLES = (
    "tamsel-feed-barn",
    "port-averill-net-store",
    "harrow-pass-district-shop",
    "quillmark-distribution-hall",
)
FILL = {
    "  name:": "A barn",
    "  shape:": "single slope",
    "  length:": "100",
    "  width:": "80",
    "    - name:": "W",
    "      run:": "80",
    "      slope:": "1:12",
    "  bays:": "[25, 25, 25, 25]",
    "  eave_height:": "14",
    "  first_plane_faces:": "W",
}


def minimum() -> str:
    text = template()
    for start, value in FILL.items():
        head, tail = text.split(f"\n{start}", 1)
        text = f"{head}\n{start} {value}{tail}"
    return text


def test_template_reads_once_the_least_is_filled_in():
    survey = read_survey(minimum())
    assert survey.job.name == "A barn"
    assert survey == read_survey(
        "secondroof: 1\njob: {name: A barn}\nbuilding: {shape: single slope, length: 100, width: 80, planes: "
        "[{name: W, run: 80, slope: '1:12'}], bays: [25, 25, 25, 25], eave_height: 14, first_plane_faces: W}\n"
    )


def test_template_has_every_item():
    names = {path.rsplit(".", 1)[-1] for path in known_paths()}
    said = set(re.findall(r"([a-z][a-z0-9_]*):", template()))
    common = set(re.findall(r"[a-z_]+", " ".join(re.findall(r"as said above: (.*)", template()))))
    assert names - said - common == set()
    assert not [line for line in template().splitlines() if len(line) > 125]


def test_commented_items_read_when_uncommented():
    """Every commented list becomes valid YAML of the form when its signs are taken off."""
    text = "\n".join(re.sub(r"^( *)#( {3}(?:- |  )[^#])", r"\1 \2", line) for line in minimum().splitlines())
    document = YAML(typ="safe", pure=True).load(text)
    assert set(document) == set(Survey.model_fields)


def test_published_schema_agrees(root):
    assert json.loads((root / "docs" / "survey.schema.json").read_text("utf-8")) == schema(), (
        "run tools/make_schema.py"
    )


def test_schema_is_one_and_takes_the_examples(root):
    jsonschema.Draft202012Validator.check_schema(schema())
    validator = jsonschema.Draft202012Validator(schema())
    for name in EXAMPLES:
        data = YAML(typ="safe", pure=True).load(root / "examples" / f"{name}.survey.yaml")
        assert [e.json_path + " " + e.message[:200] for e in validator.iter_errors(data)] == []
    assert list(validator.iter_errors(YAML(typ="safe", pure=True).load(minimum()))) == []
    assert list(validator.iter_errors({"secondroof": 1}))


@pytest.mark.parametrize("name", EXAMPLES)
def test_examples_are_invented_and_say_so(root, name):
    survey = load_survey(root / "examples" / f"{name}.survey.yaml")
    assert survey.job.invented
    assert all(t.invented and "invented" in t.source for t in survey.uplift_tests)
    assert survey.recovers


def test_example_geometry(root):
    """Lengths, widths, bays and lines of the invented jobs' descriptions."""
    got = {}
    for name in EXAMPLES:
        b = load_survey(root / "examples" / f"{name}.survey.yaml").building
        got[name] = (b.width, b.length, len(b.bays), [len(p.lines) for p in b.planes])
    assert got == {
        "tamsel-feed-barn": (80, 100, 4, [9, 9]),
        "port-averill-net-store": (150, 300, 12, [17, 17]),
        "harrow-pass-district-shop": (120, 250, 10, [16, 16]),
        "quillmark-distribution-hall": (600, 667, 23, [61, 61]),
    }


def test_items_are_of_the_form():
    assert {p for i in items() for p in i.paths} <= known_paths()
    assert all(i.what and i.where and i.decides for i in items())


def test_missing_of_an_empty_survey_is_everything():
    needs = what_is_missing(read_survey(minimum()))
    conditional = {
        "more thickness readings",
        "more standoff readings",
        "weight of every hung load",
        "ground elevation",
        "uplift test of the new panel",
    }
    assert {n.what for n in needs} == {i.what for i in items()} - conditional
    assert [n.what for n in needs][:2] == ["building code edition in force", "basic wind speed V"]


def test_missing_of_the_jobs(root):
    def need(name):
        return {n.what: n for n in what_is_missing(load_survey(root / "examples" / f"{name}.survey.yaml"))}

    store = need("port-averill-net-store")
    assert "uplift test of the new panel" in store
    assert "weight of every hung load" in store
    assert "not read: coupon not taken" in store["yield readings"].where
    barn = need("tamsel-feed-barn")
    assert "uplift test of the new panel" not in barn
    assert "standoff, old panel to purlin" not in barn
    assert "eave struts" in need("harrow-pass-district-shop")


def test_a_reason_needs_words():
    with pytest.raises(ValueError, match="not_read"):
        read_survey(minimum().replace("not_read:", "not_read:\n  purlins.laps_each_side:\n#"))
