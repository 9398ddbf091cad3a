"""Drifts and sliding snow of a whole roof, by hand; the roof and its numbers stand at the head of ``_snow_roof``."""

from __future__ import annotations

import sys
from pathlib import Path
from typing import Any

import pytest

sys.path.insert(0, str(Path(__file__).parent))
from _snow_roof import at, cases, made, total


def test_step_at_an_end_wall_lies_on_both_planes() -> None:
    # leeward from 50 ft: 2.71247; windward from 100 ft of this roof: 0.75 (0.43 x 4.64159 x 2.65915 - 1.5) = 2.85554
    # h_b 28/19.2 = 1.458, h_c 8.54; p_d 19.2 x 2.85554 = 54.826; w = 4 x 2.85554 = 11.422
    near = [{"what": "High hall", "side": "W", "stands": "higher", "step": 10, "gap": 0, "depth": 50}]
    c = cases(made(building__roofs_near=near)[0])["snow.drift.high-hall.before"]
    assert "windward" in c.sentence
    assert at(c, 0.0, 20) == pytest.approx(82.826, abs=0.002) and at(c, 0.0, 60) == pytest.approx(
        82.826, abs=0.002
    )
    assert at(c, 11.422 / 2, 70) == pytest.approx(28 + 27.413, abs=0.002)
    assert at(c, 11.5, 20) == pytest.approx(28.0)
    assert total(c) == pytest.approx(8000 * 28 + 0.5 * 54.826 * 11.422 * 80, rel=1e-4)
    assert {p.plane for p in c.patches} == {"S", "N"}


def test_step_along_part_of_an_eave() -> None:
    # N wall from 25 to 75 ft: leeward from 50 ft 2.71247 is above windward
    # 0.75 (0.43 x 4.30887 x 2.65915 - 1.5) = 2.5702; p_d 52.079, w 10.850
    near = [
        {
            "what": "hall",
            "side": "N",
            "stands": "higher",
            "step": 10,
            "gap": 0,
            "depth": 50,
            "first": 25,
            "last": 75,
        }
    ]
    c = cases(made(building__roofs_near=near)[0])["snow.drift.hall.before"]
    assert "leeward" in c.sentence
    assert at(c, 50, 80 - 1e-9) == pytest.approx(80.079, abs=0.002)
    assert at(c, 24, 79) == pytest.approx(28) and at(c, 76, 79) == pytest.approx(28)
    assert total(c) == pytest.approx(8000 * 28 + 0.5 * 52.079 * 10.850 * 50, rel=1e-4)


def test_a_wide_drift_goes_on_over_the_ridge_and_ends_at_the_roof() -> None:
    # 24 ft wide roof, 400 ft deep neighbour, 30 ft up: h_d = 0.43 x 7.36806 x 2.65915 - 1.5 = 6.92488, w 27.6995
    # p_d 132.958; 7-10 has no cut by the lower roof's length; at the ridge 132.958 (1 - 12/27.6995) = 75.357
    planes = [{"name": n, "run": 12, "slope": 2, "lines": [0, 4, 8, 12]} for n in ("S", "N")]
    near = [{"what": "hall", "side": "S", "stands": "higher", "step": 30, "gap": 0, "depth": 400}]
    c = cases(made(building__width=24, building__planes=planes, building__roofs_near=near)[0])[
        "snow.drift.hall.before"
    ]
    assert at(c, 50, 0) == pytest.approx(28 + 132.958, abs=0.005)
    assert at(c, 50, 12 - 1e-9) == pytest.approx(28 + 75.357, abs=0.005) == at(c, 50, 12)
    assert at(c, 50, 24 - 1e-9) == pytest.approx(28 + 17.76, abs=0.005)
    assert "cut where the roof ends" in c.sentence
    # 7-16: the leeward drift need not be higher than 0.6 x 24 = 14.4 ft: no cut here; sqrt(I_s) = 1
    again = cases(made("7-16", building__width=24, building__planes=planes, building__roofs_near=near)[0])
    assert at(again["snow.drift.hall.before"], 50, 0) == pytest.approx(28 + 132.958, abs=0.005)


def test_neighbour_apart() -> None:
    # l_u 40: 2.41049; step 14, 9 ft off: (84 - 9)/6 = 12.5 does not cut; extent 6 x 2.41049 = 14.463; p_d 46.281
    near = [
        {
            "what": "shed",
            "side": "N",
            "stands": "higher",
            "step": 14,
            "gap": 9,
            "depth": 40,
            "first": 25,
            "last": 100,
        }
    ]
    c = cases(made(building__roofs_near=near)[0])["snow.drift.shed.before"]
    assert at(c, 50, 80 - 1e-9) == pytest.approx(28 + 46.281, abs=0.002)
    assert total(c) == pytest.approx(8000 * 28 + 0.5 * 46.281 * 14.463 * 75, rel=1e-4)
    assert at(c, 24, 79) == pytest.approx(28)
    # 20 ft off: none, and it is said
    far = [{**near[0], "gap": 20}]
    part, _, _ = made(building__roofs_near=far)
    assert not any("drift" in c.key for c in part.cases) and any(
        "no drift from 20 ft" in n for n in part.notes
    )


def test_neighbour_apart_with_a_long_roof_before_it() -> None:
    # this roof 600 ft long before a small high neighbour, 2 ft off the east end, 30 ft up, 20 ft deep:
    # leeward 0.43 x 2.71442 x 2.65915 - 1.5 = 1.60381: 30.793 psf over 9.623 ft
    # windward from 600 ft: 0.75 (0.43 x 8.43433 x 2.65915 - 1.5) = 6.10808, p_d 117.275, w 24.432; 2 ft fall in
    # the gap: 117.275 x 22.432/24.432 = 107.675 at the edge, over 22.432 ft
    near = [{"what": "silo", "side": "E", "stands": "higher", "step": 30, "gap": 2, "depth": 20}]
    found = cases(made(building__length=600, building__bays=[25] * 24, building__roofs_near=near)[0])
    lee, wind = found["snow.drift.silo-leeward.before"], found["snow.drift.silo-windward.before"]
    assert at(lee, 600 - 1e-9, 20) == pytest.approx(58.793, abs=0.002)
    assert at(wind, 600 - 1e-9, 20) == pytest.approx(28 + 107.675, abs=0.01)
    assert total(wind) == pytest.approx(48000 * 28 + 0.5 * 107.675 * 22.432 * 80, rel=1e-4)


def test_parapets() -> None:
    # N parapet 3 ft, roof before it 80 ft: 0.75 x 3.42693 = 2.57020; h_b 1.4583, h_c 1.5417 < h_d:
    # p_d 19.2 x 1.5417 = 29.6; w = 4 x 2.5702^2 / 1.5417 = 17.140 > 8 x 1.5417 = 12.333
    part, _, _ = made(edges__parapet_walls=[{"side": "N", "height": 3}])
    c = cases(part)["snow.drift.parapet-n.before"]
    assert at(c, 50, 80 - 1e-9) == pytest.approx(57.6, abs=0.002)
    assert total(c) == pytest.approx(8000 * 28 + 0.5 * 29.6 * 12.3333 * 100, rel=1e-4)
    # 1.6 ft: h_c 0.142 is under a fifth of 1.458: no drift, and it is said
    low, _, _ = made(edges__parapet_walls=[{"side": "N", "height": 1.6}])
    assert not any("drift" in c.key for c in low.cases) and any("no drift asked" in n for n in low.notes)
    two, _, _ = made(edges__parapet_walls=[{"side": "N", "height": 3}, {"side": "W", "height": 3}])
    assert any("corner" in n for n in two.notes)


def test_a_parapet_all_round_and_one_not_read() -> None:
    part, _, _ = made(edges__parapet_walls=None, edges__parapet_all_round=3)
    found = [c for c in part.cases if c.key.startswith("snow.drift.parapet-") and c.when == "before"]
    assert {c.key.split(".")[2] for c in found} == {"parapet-s", "parapet-n", "parapet-w", "parapet-e"}
    assert all("least height" in c.assumed for c in found)
    part, _, _ = made(edges__parapet_walls=None)
    assert any("parapet_walls" in n.what for n in part.needs)
    part, _, _ = made(edges__parapet_walls=None, edges__parapets="none")
    assert not part.needs


def test_a_block_in_a_corner_has_two_faces() -> None:
    # block 20 x 30 ft in the south-west corner, 12 ft high. East face: leeward from its 20 ft
    # 0.43 x 2.71442 x 2.65915 - 1.5 = 1.60381; windward from 80 ft of roof east of it: 2.57020 governs:
    # 49.348 over 10.281.
    # North face: leeward from 30 ft 2.05293; windward from 50 ft 0.75 x 2.71247 = 2.03435: leeward:
    # 39.416 over 8.212
    block = {
        "what": "tower",
        "height": 12,
        "along_from": 0,
        "along_to": 20,
        "across_from": 0,
        "across_to": 30,
    }
    found = cases(made(building__blocks=[block])[0])
    assert {k for k in found if "drift" in k and k.endswith("before")} == {
        "snow.drift.tower-e.before",
        "snow.drift.tower-n.before",
    }
    e, n = found["snow.drift.tower-e.before"], found["snow.drift.tower-n.before"]
    assert at(e, 20, 15) == pytest.approx(28 + 49.348, abs=0.002) and at(e, 20, 31) == pytest.approx(28)
    assert total(e) == pytest.approx(8000 * 28 + 0.5 * 49.348 * 10.281 * 30, rel=1e-4)
    assert at(n, 10, 30) == pytest.approx(28 + 39.416, abs=0.002)
    assert total(n) == pytest.approx(8000 * 28 + 0.5 * 39.416 * 8.2117 * 20, rel=1e-4)


def test_a_block_in_the_middle_drifts_by_the_longer_roof() -> None:
    # 7.8: the longer of the roofs on both sides; west face: 20 ft west, 60 ft east of a block from 20 to 40
    # 0.75 (0.43 x 3.91487 x 2.65915 - 1.5) = 2.23232 against leeward from 20 ft 1.60381: 42.861 psf
    block = {
        "what": "tower",
        "height": 12,
        "along_from": 20,
        "along_to": 40,
        "across_from": 20,
        "across_to": 60,
    }
    found = cases(made(building__blocks=[block])[0])
    west = found["snow.drift.tower-w.before"]
    assert at(west, 20 - 1e-9, 30) == pytest.approx(28 + 42.861, abs=0.002)
    assert {p.plane for p in west.patches} == {"S", "N"}


def unit(**changes: Any) -> dict[str, Any]:
    row = {
        "kind": "unit",
        "what": "big unit",
        "plane": "N",
        "along": 50,
        "up_slope": 20,
        "width": 20,
        "length": 10,
    }
    return {**row, "height": 60, **changes}


def test_a_long_unit_drifts_on_its_long_sides_only() -> None:
    # 20 ft along the ridge, 10 up the slope, 5 ft high, middle 20 ft from the north eave along the slope:
    # y = 80 - 20 cos 9.4623 = 60.2721; half 5 cos = 4.9320: faces at 55.3401 and 65.2041
    # fetch: the longer side, 55.3401 ft: 0.75 (0.43 x 3.81082 x 2.65915 - 1.5) = 2.14309: 41.147 psf over 8.572 ft
    found = cases(made(roof_items=[unit()])[0])
    assert {k for k in found if "drift" in k and k.endswith("before")} == {
        "snow.drift.big-unit-s.before",
        "snow.drift.big-unit-n.before",
    }
    s = found["snow.drift.big-unit-s.before"]
    assert at(s, 50, 55.3401 - 1e-4) == pytest.approx(28 + 41.147, abs=0.01)
    assert at(s, 50, 55.3401 - 8.6) == pytest.approx(28)
    assert total(s) == pytest.approx(8000 * 28 + 0.5 * 41.147 * 8.572 * 20, rel=1e-4)
    assert not any("drift" in k for k in cases(made(roof_items=[unit(width=14)])[0]))


@pytest.mark.parametrize(
    ("changes", "words"),
    [
        ({"height": None}, "height"),
        ({"along": None, "up_slope": None}, "along, up_slope"),
        ({"plane": None}, "plane"),
        ({"width": None}, "size of big unit"),
        ({"count": 3}, "each one on its own"),
    ],
)
def test_a_unit_not_taped_is_asked_for(changes: dict[str, Any], words: str) -> None:
    row = {k: v for k, v in unit(**changes).items() if v is not None}
    part, _, _ = made(roof_items=[row])
    assert any(words in n.what for n in part.needs)
    assert not any("drift" in c.key for c in part.cases)


# --- sliding, and what lies on lower roofs


def test_sliding_off_and_drift_onto_a_lower_roof() -> None:
    # S plane slides: 0.4 x 28 x 40 = 448 lb/ft today, 0.4 x 30.8 x 40 = 492.8 after; over 15 ft 29.867 and 32.853 psf
    # drift on it: l_u 80 ft: 3.42693; step 5: h_c 5 - 1.458 = 3.542: 19.2 x 3.42693 = 65.797 psf over 13.708 ft
    near = [{"what": "lean-to", "side": "S", "stands": "lower", "step": 5, "gap": 0, "depth": 24}]
    found = cases(made(building__roofs_near=near)[0])
    before, after = found["snow.sliding.lean-to.before"], found["snow.sliding.lean-to.after"]
    assert before.patches == () == after.patches and before.headline_psf is None
    assert "448.0 lb" in before.sentence and "29.9 psf" in before.sentence
    assert "492.8 lb" in after.sentence and "32.9 psf" in after.sentence and "engineer" in after.sentence
    drift = found["snow.drift.onto-lean-to.before"]
    assert "65.8 psf" in drift.sentence and drift.patches == ()
    assert "not known" in drift.assumed
    # the recover lifts the edge by 3 + 3/8 in: 5.281 ft
    assert any(
        s.symbol == "h_c" and s.inputs["h"] == pytest.approx(5.28125)
        for s in found["snow.drift.onto-lean-to.after"].steps
    )


def test_no_sliding_at_a_gable_end_or_onto_what_is_far() -> None:
    end = [{"what": "lean-to", "side": "W", "stands": "lower", "step": 5, "gap": 0, "depth": 24}]
    found = cases(made(building__roofs_near=end)[0])
    assert not any("sliding" in k for k in found) and "snow.drift.onto-lean-to.before" in found
    far = [{"what": "lean-to", "side": "S", "stands": "lower", "step": 5, "gap": 16, "depth": 24}]
    part, _, _ = made(building__roofs_near=far)
    assert not any("sliding" in c.key for c in part.cases) and any("not reached" in n for n in part.notes)


def test_sliding_from_a_higher_roof_onto_this_one() -> None:
    # taken unheated: p_f = 0.7 x 1.2 x 40 = 33.6; 0.4 x 33.6 x 25 = 336 lb/ft; 22.4 psf over 15 ft of the north eave
    near = [
        {"what": "barn", "side": "N", "stands": "higher", "step": 9, "gap": 0, "depth": 30, "slope": 4, "run": 25,
         "first": 0, "last": 40}
    ]  # fmt: skip
    c = cases(made(building__roofs_near=near)[0])["snow.sliding.barn.before"]
    assert at(c, 20, 79) == pytest.approx(28 + 22.4) and at(c, 20, 64.9) == pytest.approx(28)
    assert total(c) == pytest.approx(8000 * 28 + 22.4 * 15 * 40)
    assert "taken unheated" in c.assumed
    no_run = [{k: v for k, v in near[0].items() if k != "run"}]
    part, _, _ = made(building__roofs_near=no_run)
    assert any("eave to ridge of barn" in n.what for n in part.needs)
