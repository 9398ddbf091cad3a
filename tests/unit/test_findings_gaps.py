"""What is missing never becomes a pass: ground rules, figures, lines, strengths taken away one by one."""

from __future__ import annotations

import io
from collections.abc import Callable
from typing import Any

import pytest
from ruamel.yaml import YAML

import secondroof as sr
from secondroof.findings.model import Findings


def changed(change: Callable[[Any], None]) -> Findings:
    yaml = YAML()
    data = yaml.load(sr.example("tamsel-feed-barn").read_text(encoding="utf-8"))
    change(data)
    out = io.StringIO()
    yaml.dump(data, out)
    return sr.check(sr.read(out.getvalue()))


def test_no_edition() -> None:
    f = changed(lambda d: d["ground_rules"].pop("building_code"))
    assert f.verdict.new_work.state != "holds"
    assert f.verdict.code_path.state != "holds"
    assert any("edition" in n.what for n in f.missing)
    assert not any(c.state == "holds" for c in f.checks if c.key == "pull-out")


@pytest.mark.parametrize("rule", ["wind_speed", "exposure", "topographic_factor"])
def test_no_wind_rule(rule: str) -> None:
    f = changed(lambda d: d["ground_rules"].pop(rule))
    driven = [c for c in f.checks if c.id[0] in "PH" and c.key != "shear"]  # shear is weight alone
    assert {c.state for c in driven} <= {"unknown", "engineer"}
    assert f.zones == ()


def test_no_lines() -> None:
    def change(d: Any) -> None:
        for p in d["building"]["planes"]:
            p["lines"] = []

    f = changed(change)
    assert f.verdict.new_work.state == "unknown"
    assert sum(c.key == "lines" for c in f.checks) == 2


def test_no_thickness() -> None:
    f = changed(lambda d: d["purlins"].pop("thickness"))
    assert {c.state for c in f.checks if c.key in ("pull-out", "shear", "combined")} == {"unknown"}


def test_no_standoff() -> None:
    f = changed(lambda d: d.pop("standoff"))
    assert next(c for c in f.checks if c.key == "framing kind").state == "unknown"
    assert f.old_roof.open_kinds == ()


def test_no_openings_is_taken_on_the_bad_side_and_said() -> None:
    f = changed(lambda d: d["enclosure"].pop("openings"))
    assert f.enclosure == "partially enclosed"
    assert "assumed" in f.rules["enclosure"]
    row = next(c for c in f.checks if c.key == "pull-out" and c.zone == "2")
    assert any("enclosed" in w.label and w.ratio < row.ratio for w in row.both_ways if not w.used)


def test_no_test_table() -> None:
    f = changed(lambda d: d["recovers"][0]["panel"].pop("uplift_test"))
    assert {c.state for c in f.checks if c.key == "panel"} == {"unknown"}


def test_same_input_same_findings_byte_for_byte() -> None:
    import json

    one, two = (json.dumps(sr.findings_json(changed(lambda d: None))) for _ in range(2))
    assert one == two


def test_single_slope_whose_figure_is_not_held_is_unknown_and_says_which_figure() -> None:
    def change(d: Any) -> None:
        b = d["building"]
        b["shape"], b["planes"] = "single slope", [b["planes"][0]]
        b["planes"][0].update(run=80, lines=[0, 5, "10 to 75 by 5", 80])
        b["ridge_height"], b["outline_readings"] = 20.67, []
        for holder, key in (
            (d, "slope_readings"),
            (d, "standoff"),
            (d["old_panel"], "run_out"),
            (d["old_panel"], "thickness"),
        ):
            holder[key] = [g for g in holder[key] if g.get("plane") != "E"]
        for item in (*d["roof_items"], *d["hung_loads"]):
            item.pop("plane", None)

    f = changed(change)
    assert f.verdict.new_work.state == "unknown"
    assert any("Fig." in n.what for n in f.missing)


def test_a_spacing_is_not_said_to_hold_while_a_link_is_not_known() -> None:
    f = changed(lambda d: d["recovers"][0]["panel"].pop("uplift_test"))
    assert all(not row.sentence.startswith("Holds") for row in f.spacing)
    assert all("Left out" in row.sentence for row in f.spacing)


def test_a_test_table_that_ends_is_unknown_beyond_not_short() -> None:
    def change(d: Any) -> None:
        table = d["uplift_tests"][0]
        table["spans"], table["ultimate"] = (
            [1.25, 2.5, 5.0],
            [150, 120, 95],
        )  # lines stand 5.05 ft apart in places

    row = next(r for r in changed(change).spacing if r.zone == "1'")
    assert row.sentence.startswith("Unknown")
    assert row.holds_ft == 5.0


def test_a_touched_stretch_has_the_card_numbers_of_its_zone() -> None:
    job = sr.load(sr.example("tamsel-feed-barn"))
    f = sr.check(job)
    for row in sr.stretch_checks(job, None, 3):
        same = f.check(row.id)
        assert (same.key, same.what) == (row.key, row.what)


def test_a_building_taller_than_the_figures_serve_is_for_the_engineer() -> None:
    def change(d: Any) -> None:
        d["building"].update(eave_height=60, ridge_height=63.3)

    f = changed(change)
    assert f.verdict.new_work.state == "unknown"
    assert f.zones == ()
    need = next(n for n in f.missing if "low-rise figures" in n.what)
    assert need.who == "engineer"


def test_a_hill_stands_in_for_the_factor() -> None:
    def change(d: Any) -> None:
        d["ground_rules"].pop("topographic_factor")
        d["ground_rules"]["hill"] = {
            "shape": "hill",
            "height": 60,
            "half_length": 200,
            "from_crest": 0,
            "downwind": False,
            "source": "invented map",
        }

    f = changed(change)
    assert f.zones
    assert any("invented map" in s.text for s in f.loads[0].sources.values())
