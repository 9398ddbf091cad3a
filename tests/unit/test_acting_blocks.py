"""Blocks through a roof: loads keep their size beside the block and are gone inside it."""

from __future__ import annotations

import io
from typing import Any

import pytest
from ruamel.yaml import YAML

import secondroof as sr
from secondroof.acting.blocks import along_outside, outside, patches_outside
from secondroof.acting.lineloads import line_loads
from secondroof.acting.model import Along, Case, Patch
from secondroof.acting.where import total_lb
from secondroof.errors import InputError
from secondroof.findings.build import acting_on
from secondroof.findings.context import gather

#: Of the barn, 100 by 80 ft: 10 ft along, 20 ft across on the W plane, whose lines lie at 0, 4.88 ... ft on plan.
BLOCK = {"what": "tower", "height": 8, "along_from": 30, "along_to": 40, "across_from": 10, "across_to": 30}


def changed(change: Any) -> Any:
    yaml = YAML()
    data = yaml.load(sr.example("tamsel-feed-barn").read_text(encoding="utf-8"))
    change(data)
    out = io.StringIO()
    yaml.dump(data, out)
    return sr.read(out.getvalue())


def with_block(data: Any) -> None:
    data["building"].update(blocks=[BLOCK], roofs_beside="higher")


@pytest.fixture(scope="module")
def plain():
    survey = changed(lambda d: None)
    c = gather(survey, survey.recovers[0])
    return c, acting_on(c)


@pytest.fixture(scope="module")
def blocked():
    survey = changed(with_block)
    c = gather(survey, survey.recovers[0])
    return c, acting_on(c)


def test_even_loads_lose_the_area_of_the_block(plain, blocked) -> None:
    # 10 x 20 ft of plan
    (c, before), (d, after) = plain, blocked
    assert d.roof.blocks == ((30.0, 40.0, 10.0, 30.0),)
    for key, per in (("dead.old", "slope"), ("snow.balanced.before", "plan")):
        one, other = before.case(key), after.case(key)
        psf = one.headline_psf
        cos = c.roof.planes[0].run_ft / c.roof.planes[0].slope_length_ft if per == "slope" else 1.0
        lost = total_lb(c.roof, one.patches, (), per) - total_lb(c.roof, other.patches, (), per)
        assert lost == pytest.approx(psf * 10 * 20 / cos)


def test_lines_carry_nothing_inside_the_block_and_what_they_did_beside_it(plain, blocked) -> None:
    (c, before), (_, after) = plain, blocked
    plane = c.roof.planes[0]
    inside = next(k for k, line in enumerate(plane.lines) if 15 < line.y_ft < 25)
    for key in ("live.roof", "wind.up", "dead.purlins"):
        one, other = (line_loads(c.roof, plane, [a.case(key)], [30.0, 40.0]) for a in (before, after))
        middle = (other.x_ft[1:] + other.x_ft[:-1]) / 2
        there = (middle > 30) & (middle < 40)
        assert not other.w0[0, inside, there].any()
        at = (one.x_ft[1:] + one.x_ft[:-1]) / 2
        for x in (10.0, 29.0, 41.0, 90.0):
            was, now = (w[0, inside, abs(m - x).argmin()] for w, m in ((one.w0, at), (other.w0, middle)))
            assert now == pytest.approx(was)


def test_the_notes_say_what_is_still_counted(blocked) -> None:
    note = next(n for n in blocked[1].notes if n.startswith("Where the tower stands"))
    assert "wind included" in note
    assert "Its area is still counted" in note


def test_a_sloping_patch_keeps_its_load_at_each_place(blocked) -> None:
    roof = blocked[0].roof
    patch = Patch("W", 20.0, 60.0, 0.0, 40.0, (0.0, 40.0, 40.0, 0.0))  # one psf more each foot along
    parts = patches_outside([patch], roof)
    assert len(parts) == 4
    assert all(
        p.psf == pytest.approx((p.x0_ft - 20, p.x1_ft - 20, p.x1_ft - 20, p.x0_ft - 20)) for p in parts
    )
    # 20 psf on average over 1,600 ft2, less 15 psf on the 200 ft2 of the block
    assert total_lb(roof, parts, ()) == pytest.approx(20 * 1600 - 15 * 200)


def test_real_things_stay_where_they_hang(blocked) -> None:
    roof = blocked[0].roof
    line = next(x for x in roof.planes[0].lines if 15 < x.y_ft < 25)
    hung = Case(
        "dead.hung", "D", "both", "heater", "", "", along=(Along("W", line.index, 35.0, 35.0, 90.0, 90.0),)
    )
    assert outside(hung, roof) is hung
    spread = Along("W", line.index, 20.0, 60.0, 0.0, 40.0)
    assert along_outside([spread], roof) == (
        Along("W", line.index, 20.0, 30.0, 0.0, 10.0),
        Along("W", line.index, 40.0, 60.0, 20.0, 40.0),
    )


def test_a_bundle_given_is_named_in_the_code_path(blocked) -> None:
    from secondroof.findings.code_rows import code_rows

    row = next(r for r in code_rows(blocked[0], "holds", blocked[1]) if r.key == "construction_loads")
    assert row.state == "unknown"
    assert "One bundle of 1,050 lb" in row.sentence
    assert not any("bundle weights" in n.what for n in row.needs)


def test_one_line_alone_is_refused() -> None:
    def change(data: Any) -> None:
        data["building"]["planes"][0]["lines"] = [0]

    with pytest.raises(InputError) as error:
        changed(change)
    assert any(
        p.field == "building.planes[0].lines" and "one line alone" in p.message for p in error.value.problems
    )
