"""Pages of the loads and of the old purlins: what they show is what the findings hold, and every number opens its card.

Figures compared are the program's own on its invented examples; what is tested is the page, not the engineering.
"""

from __future__ import annotations

import json
import re
from collections.abc import Iterator
from html import unescape
from typing import Any

import numpy as np
import pytest
from starlette.testclient import TestClient

from secondroof import api
from secondroof.web.app import create_app
from secondroof.web.cards import find_load_card
from secondroof.web.loadrows import line_of, line_table, loads_on, pairs_of
from secondroof.web.oldsteel import bay_card, governing, reactions_table, side_of, worst_of

pytestmark = pytest.mark.filterwarnings("ignore::starlette.exceptions.StarletteDeprecationWarning")
JOB = "/jobs/tamsel-feed-barn"


@pytest.fixture(scope="module")
def found() -> Any:
    return api.check(api.read(api.example("tamsel-feed-barn").read_text("utf-8")), None)


@pytest.fixture(scope="module")
def shown(tmp_path_factory: pytest.TempPathFactory) -> Iterator[TestClient]:
    path = tmp_path_factory.mktemp("shown") / "jobs.sqlite"
    with TestClient(create_app(path), base_url="http://127.0.0.1") as c:
        assert c.post("/add/example", data={"example": "tamsel-feed-barn"}).status_code == 200
        yield c


def href(**more: object) -> str:
    return "?" + "&".join(f"{k}={v}" for k, v in more.items())


def test_every_case_stands_in_the_table_and_every_load_number_opens_its_card(
    shown: TestClient, found: Any
) -> None:
    page = json.loads(shown.get(f"{JOB}/loads?format=json").text)
    lines = [line for kind in page["cases"] for line in kind["lines"]]
    every = [*lines, *(i for line in lines for i in line["inside"])]
    ids = {card["text"] for line in every for card in line["cards"]}
    assert ids == {row.id for row in found.cases}
    wind = {row[-1]["text"] for _, table in page["components"] for row in table["rows"]}
    assert wind == {load.id for load in found.loads}
    text = shown.get(f"{JOB}/loads").text
    for row in found.cases[:3]:
        assert row.id in text
        card = unescape(shown.get(f"{JOB}/card?card={row.id}").text)
        assert row.id in card and row.sentence in card
    for id in (found.loads[0].id, found.cases[-1].id):
        assert 'id="card"' in shown.get(f"{JOB}/loads?card={id}").text
        part = shown.get(f"{JOB}/loads?card={id}&part=card", headers={"hx-request": "true"}).text
        assert 'id="beside"' in part and id in part and "<h1" not in part


def test_a_load_card_says_no_state_since_a_load_has_no_limit(found: Any) -> None:
    for row in (*found.loads, *found.cases):
        card = find_load_card(found, row.id, job="j", base="/card")
        assert card is not None
        assert card["state"] == card["ratio"] == card["code"] == ""
        assert card["sentence"] == row.sentence
        assert not card["not_printed"]
    assert find_load_card(found, "L-999", job="j", base="/card") is None


def test_cases_are_paired_today_and_with_the_recover(found: Any) -> None:
    pairs = {p.stem: p for p in pairs_of(found.cases)}
    new = pairs["dead.new"]
    assert new.before is None and new.after is not None, "the new panel is not there today"
    snow = pairs["snow.balanced"]
    assert snow.before is not None and snow.after is not None and snow.before is not snow.after
    old = pairs["dead.old"]
    assert old.before is old.after
    assert sum(len({r.id for r in (p.before, p.after) if r}) for p in pairs.values()) == len(found.cases)


def test_what_one_line_gets_adds_up_to_the_line_loads_of_the_findings(found: Any) -> None:
    line = line_of(found, "E4")
    assert line is not None and line.name == "E4"
    loads, i = loads_on(found, line)
    table = {row[0]: row for row in line_table(found, line, href).rows}
    k = next(k for k, c in enumerate(loads.cases) if c.key == "wind.up")
    assert (
        table["Wind lifting"][4].replace(",", "").replace("\N{MINUS SIGN}", "-")
        == f"{loads.totals_lb()[k, i]:.0f}"
    )
    assert line_of(found, "Z9") is not None, "a line that is not there gives the one loaded most"


def test_the_case_chosen_is_the_one_on_the_map(shown: TestClient, found: Any) -> None:
    for key in ("dead.old", "snow.balanced.after", "wind.up"):
        page = json.loads(shown.get(f"{JOB}/loads?case={key}&format=json").text)
        assert page["chosen"] == key
        title = found.acting.case(key).title
        assert title[1:] in unescape(page["map"])
    assert shown.get(f"{JOB}/loads?case=no-such-case&line=no-such-line").status_code == 200


def test_the_worst_ten_are_the_largest_known_ratios_of_their_state(found: Any) -> None:
    side = side_of(found.purlins, "down", "after")
    ten = worst_of(side)
    assert len(ten) == 10
    rest = [
        side.ratio[i, j]
        for i, j in zip(*np.nonzero(side.state == "short"), strict=True)
        if (int(i), int(j)) not in ten
    ]
    assert all(side.state[i, j] == "short" for i, j in ten)
    assert min(side.ratio[i, j] for i, j in ten) >= max(rest)


@pytest.mark.parametrize("name", ["down", "up"])
@pytest.mark.parametrize("stage", ["before", "after"])
def test_a_bay_has_a_card_of_its_own_with_the_ratio_of_the_map(found: Any, name: str, stage: str) -> None:
    side = side_of(found.purlins, name, stage)  # type: ignore[arg-type]
    lines = found.purlins.sections.lines
    for i, j in worst_of(side)[:3]:
        check = bay_card(found, name, lines[i].name, j + 1, stage)  # type: ignore[arg-type]
        assert check is not None
        assert check.state == side.state[i, j]
        assert check.ratio == pytest.approx(side.ratio[i, j], rel=1e-12)
        assert check.steps, "worked alone, step by step"
        if stage == "after" and governing(found, name, i, j) is not None:
            assert re.fullmatch(r"S-\d+", check.id)
    assert bay_card(found, name, "Z9", 1, "after") is None
    assert bay_card(found, name, lines[0].name, 99, "after") is None


def test_a_bay_not_worked_out_has_no_ratio_on_its_card(shown: TestClient, found: Any) -> None:
    side = side_of(found.purlins, "up", "after")
    at = np.argwhere(side.state == "unknown")
    assert at.size
    i, j = (int(k) for k in at[0])
    check = bay_card(found, "up", found.purlins.sections.lines[i].name, j + 1, "after")
    assert check is not None and check.state == "unknown" and check.needs


def test_the_page_of_the_old_steel_shows_both_stages_and_opens_a_bay(shown: TestClient) -> None:
    after = json.loads(shown.get(f"{JOB}/strength?format=json").text)["steel"]
    before = json.loads(shown.get(f"{JOB}/strength?stage=before&format=json").text)["steel"]
    assert after["stage"] != before["stage"]
    assert [m[0] for m in after["maps"]] == ["Pressed down", "Lifted"]
    link = next(row[-1] for row in after["maps"][0][2]["rows"] if "steel=" in row[-1]["href"])
    page = shown.get(link["href"])
    assert page.status_code == 200 and 'id="card"' in page.text
    shut = re.search(r'id="close" href="([^"]+)"', page.text)
    assert shut and "steel=" not in shut[1]
    assert shown.get(f"{JOB}/strength?steel=down&line=<x>&bay=-1").status_code == 200


def test_reactions_add_up_to_the_whole_load(found: Any) -> None:
    """Statics: what the frames get square to the roof is that part of the load on the lines."""
    table = reactions_table(found)
    at = next(k for k, h in enumerate(table.head) if h.startswith("dead today"))
    total = sum(float(str(row[at])) for row in table.rows)
    loads = [loads_on(found, plane.lines[0])[0] for plane in found.roof.planes]
    want = sum(
        part.totals_lb()[k].sum() * np.cos(np.radians(part.slope_deg))
        for part in loads
        for k, c in enumerate(part.cases)
        if c.kind == "D" and c.when in ("before", "both")
    )  # fmt: skip
    assert total == pytest.approx(want / 1000, abs=0.03)  # each frame is printed to 0.01 kip


def test_without_an_edition_nothing_is_called_worked_out(shown: TestClient) -> None:
    text = api.example("tamsel-feed-barn").read_text("utf-8")
    bare = re.sub(r"^  (building_code|wind_edition|wind_speed):.*\n", "", text, flags=re.M)
    assert bare != text
    made = shown.post("/add/text", data={"text": bare.replace("Tamsel Feed barn", "Bare barn", 1)})
    assert made.status_code == 200
    job = str(made.url).rsplit("/", 1)[0]
    page = shown.get(f"{job}/loads")
    assert page.status_code == 200
    tape = {f["name"]: f for f in json.loads(shown.get(f"{job}/loads?format=json").text)["frame"]["tape"]}
    assert tape["Loads"]["state"] != "holds"
    strength = shown.get(f"{job}/strength")
    assert strength.status_code == 200 and "not known" in strength.text
