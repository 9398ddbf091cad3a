"""What stands beside, on and under a roof, and what was entered: refused where it cannot be, told where doubtful."""

from __future__ import annotations

import pytest

from secondroof.errors import InputError
from secondroof.survey.models import Survey
from secondroof.survey.off_plan import frame_lines, wall_lengths
from secondroof.survey.reading import load_survey, read_survey
from secondroof.survey.remarks import remarks, to_look_at_again
from secondroof.web.typed import IN_TEXT, SAMPLES, typed_in_text

NEAR = "{what: shed, side: W, stands: higher, step: 14, gap: 9, depth: 40"
BLOCK = "{what: tower, height: 20, along_from: %s, along_to: %s, across_from: %s, across_to: %s}"
ENTERED = "{zone: 2r, uplift: [[10, -2.3], [500, -1.1]], page: p}"

# What is added to the least survey, the path that is named, words of the message or its mending.
WRONG = [
    (f"  roofs_near: [{NEAR}, first: 20}}]", "building.roofs_near[0]", "has first and no last"),
    (f"  roofs_near: [{NEAR}, last: 20}}]", "building.roofs_near[0]", "has last and no first"),
    (f"  roofs_near: [{NEAR}, first: 30, last: 20}}]", "building.roofs_near[0]", "first lies before last"),
    (f"  roofs_near: [{NEAR}, first: 101, last: 120}}]", "building.roofs_near[0].first", "100 ft long"),
    (f"  roofs_near: [{NEAR}, slope: 1, run: 41}}]", "building.roofs_near[0]", "lies within the depth"),
    (f"  roofs_near: [{NEAR.replace('14', '0')}}}]", "building.roofs_near[0]", "has step 0"),
    (f"  roofs_near: [{NEAR.replace(': W', ': NW')}}}]", "building.roofs_near[0].side", "face N, E, S, W"),
    (
        f"  roofs_beside: none\n  roofs_near: [{NEAR}}}]",
        "building.roofs_near[0].stands",
        "roofs_beside says none",
    ),
    (f"  roofs_beside: lower\n  roofs_near: [{NEAR}}}]", "building.roofs_near[0].stands", "says lower"),
    ("  roofs_beside: higher\n  roofs_near: []", "building.roofs_near", "looked, none"),
    (f"  blocks: [{BLOCK % (20, 10, 0, 9)}]", "building.blocks[0]", "along_from lies before along_to"),
    (
        f"  blocks: [{BLOCK % (20, 101, 0, 9)}]",
        "building.blocks[0].along_to",
        "outside the roof, 100 ft long",
    ),
    (
        f"  blocks: [{BLOCK % (20, 30, 0, 81)}]",
        "building.blocks[0].across_to",
        "outside the roof, 80 ft wide",
    ),
    (f"  blocks: [{BLOCK % (0, 30, 0, 40)}, {BLOCK % (20, 40, 20, 60)}]", "building.blocks[1]", "same place"),
    (
        "edges: {parapet_walls: [{side: W, height: 3, first: 10, last: 101}]}",
        "edges.parapet_walls[0].last",
        "100 ft",
    ),
    (
        "edges: {parapet_walls: [{side: N, height: 3, first: 10, last: 81}]}",
        "edges.parapet_walls[0].last",
        "80 ft",
    ),
    ("edges: {parapet_walls: [{side: N, height: 0}]}", "edges.parapet_walls[0]", "has height 0"),
    ("edges: {parapets: None, parapet_walls: [{side: N, height: 3}]}", "edges.parapet_walls", "says none"),
    ("edges: {parapet_all_round: 3, parapet_walls: []}", "edges.parapet_walls", "parapet_all_round says 3"),
    ("hung_loads: [{what: heater, weight: 210, along: [101]}]", "hung_loads[0].along[0]", "outside the roof"),
    (
        "hung_loads: [{what: rail, per_foot: 9, length: 50, along: [60]}]",
        "hung_loads[0].along[0]",
        "ends outside",
    ),
    (
        "hung_loads: [{what: heater, weight: 9, bays: [3], along: [20]}]",
        "hung_loads[0].along[0]",
        "50 to 75 ft",
    ),
    ("hung_loads: [{what: fans, weight: 9, count: 2, along: [1, 2, 3]}]", "hung_loads[0].along", "3 places"),
    (
        "ground_rules: {entered_coefficients: [{zone: 2r, page: p}]}",
        "ground_rules.entered_coefficients[0]",
        "no curve",
    ),
    (
        "ground_rules: {entered_coefficients: [{zone: 2r, uplift: [[10, -2.3]], page: p}]}",
        "ground_rules.entered_coefficients[0]",
        "two or three points",
    ),
    (
        "ground_rules: {entered_coefficients: [{zone: 2r, uplift: [[10, -2.3], [10, -1]], page: p}]}",
        "ground_rules.entered_coefficients[0]",
        "Areas rise",
    ),
    (
        "ground_rules: {entered_coefficients: [{zone: 2r, uplift: [[10, -2.3], [500, 1.1]], page: p}]}",
        "ground_rules.entered_coefficients[0]",
        "away from the roof is negative",
    ),
    (
        "ground_rules: {entered_coefficients: [{zone: 2r, downward: [[10, .6], [500, -.3]], page: p}]}",
        "ground_rules.entered_coefficients[0]",
        "toward the roof is positive",
    ),
    (
        f"ground_rules: {{entered_coefficients: [{', '.join(2 * [ENTERED])}]}}",
        "ground_rules.entered_coefficients[1].zone",
        "entered twice",
    ),
    (
        "ground_rules: {entered_zones: [{zone: 1, rectangles: [[50, 0, 40, 80]], page: p}]}",
        "ground_rules.entered_zones[0]",
        "each from lies before its to",
    ),
    (
        "ground_rules: {entered_zones: [{zone: 1, rectangles: [[0, 0, 120, 80]], page: p}]}",
        "ground_rules.entered_zones[0].rectangles[0]",
        "the roof is 100 by 80 ft",
    ),
    (
        "ground_rules: {entered_zones: [{zone: 1, rectangles: [[0, 0, 100, 40]], page: p}]}",
        "ground_rules.entered_zones",
        "cover 4000 ft2 of a roof of 8000",
    ),
    (
        "ground_rules: {entered_zones: [{zone: 1, rectangles: [[0, 0, 100, 50], [0, 40, 100, 80]], page: p}]}",
        "ground_rules.entered_zones",
        "share 1000 ft2",
    ),
    ("ground_rules: {entered_thermal_factor: {page: p}}", "ground_rules.entered_thermal_factor", "neither"),
    (
        "ground_rules: {hill: {shape: hill, height: 0, half_length: 9, from_crest: 0, downwind: true, source: map}}",
        "ground_rules.hill",
        "flat ground",
    ),
    (
        "ground_rules: {code_then: {wind_edition: 7-10, wind_speed: 90, exposure: C, importance: 1.15, source: map}}",
        "ground_rules.code_then",
        "leave importance out",
    ),
]


@pytest.fixture(scope="module")
def least(root):
    return (root / "tests" / "data" / "surveys" / "good.survey.yaml").read_text("utf-8")


@pytest.mark.parametrize(("more", "path", "words"), WRONG)
def test_what_cannot_be_is_refused_with_its_place(least, more, path, words):
    with pytest.raises(InputError) as caught:
        read_survey(f"{least.rstrip()}\n{more}\n")
    assert [p.field for p in caught.value.problems] == [path]
    problem = caught.value.problems[0]
    assert words in f"{problem.message} {problem.mend}"
    assert problem.line is not None and problem.mend


RECOVER = """
recovers:
  - name: R1
    title: a line on each purlin
    panel: {{kind: standing seam, seam: "trapezoidal, double fold", width: 24, thickness: 24 ga base}}
    clip: {{height: 0.375, screw_diameter: 0.25}}
    framing: {{kind: notched sub-purlin, height: 3, thickness: 16 ga base, developed_width: 7, yield_strength: 50,
              tensile_strength: 65, screw_diameter: 0.25, washer_diameter: 0.5,
              screws_per_flat: {{other: 1, by_zone: {zones}}}}}
    bundle: {bundle}
"""


@pytest.mark.parametrize(
    ("bundle", "path", "words"),
    [
        ("{weight: 0, up_slope: 40, along: 2}", "recovers[0].bundle", "weight 0"),
        ("{weight: 900, up_slope: 41, along: 2}", "recovers[0].bundle.up_slope", "40.1 ft there"),
        (
            "{weight: 900, up_slope: 20, along: 2, middle_up_slope: 5}",
            "recovers[0].bundle.middle_up_slope",
            "at 5 ft",
        ),
        (
            "{weight: 900, up_slope: 20, along: 2, middle_along: 100}",
            "recovers[0].bundle.middle_along",
            "at 100 ft",
        ),
    ],
)
def test_a_bundle_lies_on_the_roof(least, bundle, path, words):
    with pytest.raises(InputError) as caught:
        read_survey(least + RECOVER.format(bundle=bundle, zones="{}"))
    assert [p.field for p in caught.value.problems] == [path]
    assert words in f"{caught.value.problems[0].message} {caught.value.problems[0].mend}"


def test_screws_may_be_counted_in_an_entered_zone(least):
    text = least + RECOVER.format(bundle="{weight: 900, up_slope: 40, along: 2}", zones='{"4x": 2}')
    with pytest.raises(InputError, match="not a wind zone"):
        read_survey(text)
    entered = f"\nground_rules: {{entered_coefficients: [{ENTERED.replace('2r', '4x')}]}}\n"
    assert read_survey(text + entered).recovers[0].framing.screws_per_flat.by_zone == {"4x": 2}


def test_walls_and_frames(least):
    """Plane W first: its eave wall and the E one run along the ridge; frame lines are the sums of the bays."""
    building = read_survey(least).building
    assert wall_lengths(building) == {"W": 100, "E": 100, "N": 80, "S": 80}
    assert frame_lines(building) == (0, 25, 50, 75, 100)


DOUBTED = [
    (f"  roofs_near: [{NEAR}}}]", "building.roofs_beside"),
    (f"  roofs_beside: lower and higher\n  roofs_near: [{NEAR}}}]", "building.roofs_near"),
    ("edges: {parapet_all_round: 3, parapet_walls: [{side: W, height: 2}]}", "edges.parapet_all_round"),
    ("edges: {drainage: over the eaves, static_head: 2}", "edges.static_head"),
    ("hung_loads: [{what: fans, weight: 9, count: 3, along: [1, 2]}]", "hung_loads"),
    (
        "ground_rules: {topographic_factor: 1, hill: {shape: hill, height: 9, half_length: 9, from_crest: 0, "
        "downwind: true, source: map}}",
        "ground_rules.hill",
    ),
    (
        "ground_rules: {entered_coefficients: [{zone: 2r, uplift: [[10, -1.1], [500, -2.3]], page: p}]}",
        "ground_rules.entered_coefficients",
    ),
]


@pytest.mark.parametrize(("more", "item"), DOUBTED)
def test_what_is_doubtful_is_told_and_read(least, more, item):
    survey = read_survey(f"{least.rstrip()}\n{more}\n")
    assert [r.item for r in remarks(survey)] == [item]
    (shown,) = to_look_at_again(survey)
    assert shown == (item.replace("_", " ").replace(".", ", "), remarks(survey)[0].text)


def test_nothing_doubtful_nothing_told(least):
    assert remarks(read_survey(least)) == ()


def test_snow_said_twice_is_told(root):
    survey = load_survey(root / "examples" / "harrow-pass-district-shop.survey.yaml")
    rules = survey.ground_rules.model_copy(update={"thermal_after": "heated", "snow_slides_off": True})
    guards = survey.recovers[0].model_copy(update={"snow_guards": True})
    told = {
        r.item: r.text
        for r in remarks(
            survey.model_copy(update={"ground_rules": rules, "recovers": (guards, survey.recovers[1])})
        )
    }
    assert "R2 has a vented cavity" in told["ground_rules.thermal_after"]
    assert "R1 has snow guards" in told["ground_rules.snow_slides_off"]


def test_the_list_for_a_page_is_in_the_order_of_the_form(root):
    order = list(Survey.model_fields)
    for file in (root / "examples").glob("*.survey.yaml"):
        survey = load_survey(file)
        items = [item.split(",")[0].replace(" ", "_") for item, _ in to_look_at_again(survey)]
        assert items == sorted(items, key=order.index)
        assert len(items) == len(remarks(survey))


def test_the_samples_read_and_are_shown(least):
    """Each sample of the rules page is typed as it stands; together they give one line each, zones and curves too."""
    survey = read_survey(f"{least.rstrip()}\nground_rules:\n{''.join(SAMPLES[name] for name in IN_TEXT)}")
    shown = typed_in_text(survey.ground_rules)
    assert [len(r.lines) for r in shown] == [1, 1, 2, 1, 1]
    said = " ".join(line for r in shown for line in r.lines)
    for words in (
        "H 60 ft",
        "-2.3 at 10 ft2, -1.1 at 500 ft2",
        "3,000 ft2",
        "C_t today 1, with the recover 1.1",
        "7-05",
    ):
        assert words in said
    assert all(r.lines == () for r in typed_in_text(read_survey(least).ground_rules))


def test_the_workbench_lists_both(tmp_path):
    """What to look at again stands on the survey page; what is typed in the text, on the page of rules."""
    from starlette.testclient import TestClient

    from secondroof.web.app import create_app

    with TestClient(create_app(tmp_path / "jobs.sqlite"), base_url="http://127.0.0.1") as client:
        client.post("/add/example", data={"example": "harrow-pass-district-shop"})
        page = client.get("/jobs/harrow-pass-district-shop/survey?format=json").json()
        rules = client.get("/jobs/harrow-pass-district-shop/rules").text
    assert [
        "standoff",
        "12 standoff readings; 18 are usual on this roof: 6 a slope and 1 more each 5,000 ft2.",
    ] in page["again"]
    then = "ASCE 7-05, V 90 mph, exposure C, importance factor left out, by the risk category, "
    assert f"{then}ground snow 43 psf" in rules
    assert rules.count("none typed") == 4


def test_laps_that_meet_in_a_bay_are_a_slip():
    import secondroof as sr
    from secondroof.survey.off_plan import off_plan

    survey = sr.load(sr.example("tamsel-feed-barn"))
    group = survey.purlins.laps_each_side[0]
    long = group.model_copy(
        update={"readings": tuple(r.model_copy(update={"value": 150.0}) for r in group.readings)}
    )
    bad = survey.model_copy(update={"purlins": survey.purlins.model_copy(update={"laps_each_side": (long,)})})
    (slip,) = off_plan(bad)
    assert "150 in" in slip.message and slip.path[1] == "laps_each_side"
    assert not list(off_plan(survey))
