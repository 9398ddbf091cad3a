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
#: Asked only where snow falls, or an edge holds water.
SNOW = {
    "exposure of the roof to wind, for snow",
    "thermal condition of the roof today",
    "thermal condition of the roof with the recover",
    "thermal factor C_t of a heated roof by ASCE 7-22, now and after",
    "each roof beside it: higher or lower, step, gap, depth, from where to where",
    "height of each parapet, from where to where",
    "winter wind parameter W_2",
}
HEADS = {
    "static head: depth of water at the edge up to the overflow",
    "hydraulic head: further depth while the overflow runs full",
}
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


#: Asked for where the old sheet is known to be screwed through.
SCREWED = {
    "old screws: outside of thread, washer, spacing along the purlin",
    "where the old screws stand: near the middle of the flange beside the rib, sheet on the flange or held off it",
    "how many of 100 old screws spin",
    "yield strength of the old sheet, and what it rests on",
}


def test_missing_of_an_empty_survey_is_everything():
    needs = what_is_missing(read_survey(minimum()))
    conditional = {
        "more thickness readings",
        "more standoff readings",
        "weight of every hung load",
        "ground elevation",
        "uplift test of the new panel",
        "place of every hung load: plane, line, distance from frame 1",
        "what each hung load hangs from: frame, purlin web, flange or lip",
        "bundles of new panels: weight, size and where they are set down",
        *SCREWED,
        *SNOW,
        *HEADS,
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


GROUND = "\nground_rules: {{building_code: {code}, ground_snow: {snow}{more}}}\n"


def asked(**ground: object) -> set[str]:
    """What is asked of the least survey under these ground rules."""
    text = minimum()
    start, end = text.index("\nground_rules:"), text.index("\n# Outline and frame")
    given = {"code": 2021, "snow": 0, "more": "", **ground}
    return {n.what for n in what_is_missing(read_survey(text[:start] + GROUND.format(**given) + text[end:]))}


def test_snow_is_asked_of_only_where_it_falls():
    assert not asked() & SNOW
    some = asked(snow=30) & SNOW
    assert some == {"exposure of the roof to wind, for snow", "thermal condition of the roof today"}
    by_22 = asked(snow=30, code=2024, more=", thermal_now: heated") & SNOW
    assert "winter wind parameter W_2" in by_22
    assert "thermal factor C_t of a heated roof by ASCE 7-22, now and after" in by_22
    cold = asked(snow=30, code=2024, more=", thermal_now: unheated, thermal_after: unheated") & SNOW
    assert "thermal factor C_t of a heated roof by ASCE 7-22, now and after" not in cold


def test_what_beside_and_on_the_roof_is_asked_where_it_matters(root):
    survey = load_survey(root / "examples" / "harrow-pass-district-shop.survey.yaml")

    def asks(**changes):
        changed = survey.model_copy(
            update={k: getattr(survey, k).model_copy(update=v) for k, v in changes.items()}
        )
        return {n.what for n in what_is_missing(changed)}

    near = "each roof beside it: higher or lower, step, gap, depth, from where to where"
    parapet = "height of each parapet, from where to where"
    assert near not in asks()
    assert near in asks(building={"roofs_near": None})
    assert near not in asks(building={"roofs_near": None}, ground_rules={"ground_snow": 0.0})
    assert near not in asks(building={"roofs_near": None, "roofs_beside": "none"})
    assert parapet not in asks()
    assert parapet in asks(edges={"parapets": "3 ft on W"})
    assert not HEADS & asks()
    inside = {"drainage": "inside gutters or behind parapets"}
    assert asks(edges=inside) >= HEADS
    assert not HEADS & asks(edges={**inside, "static_head": 2.0, "hydraulic_head": 1.0})
    after = "thermal condition of the roof with the recover"
    assert after not in asks()
    no_r = survey.model_copy(
        update={"insulation": survey.insulation.model_copy(update={"installed_r": None, "nominal_r": None})}
    )
    assert after in {n.what for n in what_is_missing(no_r)}  # R2 is vented: without R it may be cold or not


def test_both_thermal_conditions_of_the_snow_example(root):
    """One recover is sealed and stays heated, the other vented over more than R-25: cold (ASCE 7-10 Table 7-3)."""
    from secondroof.loads.snow import thermal_condition

    survey = load_survey(root / "examples" / "harrow-pass-district-shop.survey.yaml")
    found = [
        thermal_condition(
            survey.ground_rules.thermal_now == "heated",
            r.cavity == "vented",
            survey.insulation.installed_r + r.insulation.r_value,
        )
        for r in survey.recovers
    ]
    assert found == ["heated", "cold ventilated"]


@pytest.mark.parametrize("name", EXAMPLES)
def test_examples_carry_what_snow_and_bundles_need(root, name):
    survey = load_survey(root / "examples" / f"{name}.survey.yaml")
    assert survey.ground_rules.roof_exposure and survey.ground_rules.thermal_now
    assert all(r.bundle is not None for r in survey.recovers)
    assert "invented" in survey.ground_rules.code_then.source
    assert not SNOW & {n.what for n in what_is_missing(survey)}
