"""Invented roofs the wind tests share: the barn under changed ground rules, and as a single slope."""

from __future__ import annotations

import functools
import io
from collections.abc import Callable
from typing import Any

from ruamel.yaml import YAML

import secondroof as sr
from secondroof.acting.model import Case
from secondroof.acting.wind_lines import wind_cases
from secondroof.findings.context import Context, gather

BARN = "tamsel-feed-barn"


def survey_of(change: Callable[[Any], None], name: str = BARN) -> Any:
    yaml = YAML()
    data = yaml.load(sr.example(name).read_text(encoding="utf-8"))
    change(data)
    out = io.StringIO()
    yaml.dump(data, out)
    return sr.read(out.getvalue())


@functools.cache
def context(name: str, recover: int = 0) -> Context:
    survey = sr.load(sr.example(name))
    return gather(survey, survey.recovers[recover])


def with_rules(c: Context, **rules: Any) -> Context:
    ground = c.survey.ground_rules.model_copy(update=rules)
    return gather(c.survey.model_copy(update={"ground_rules": ground}), c.recover)


def cases(c: Context) -> dict[str, Case]:
    part = wind_cases(c.survey, c.recover, c.roof, c.edition, c.wind, c.strips)
    return {case.key: case for case in part.cases}


#: Invented zones.
RECTANGLES = {
    "3": [[0, 0, 8, 8], [92, 0, 100, 8], [0, 72, 8, 80], [92, 72, 100, 80]],
    "2": [[8, 0, 92, 8], [8, 72, 92, 80], [0, 8, 8, 72], [92, 8, 100, 72]],
    "1": [[8, 8, 92, 72]],
}
PAGE = "page 999 of an invented copy"


def monoslope(d: Any, edition: str) -> None:
    b = d["building"]
    b["shape"], b["planes"] = "single slope", [b["planes"][0]]
    b["planes"][0].update(run=80, lines=[0, 5, "10 to 75 by 5", 80])  # 1:12 is 4.8 degrees
    b["ridge_height"], b["outline_readings"] = 20.67, []
    for holder, key in (
        (d, "slope_readings"),
        (d, "standoff"),
        (d["old_panel"], "run_out"),
        (d["old_panel"], "thickness"),
    ):
        holder[key] = [g for g in holder[key] if g.get("plane") != "E"]
    for item in d.get("roof_items", []):
        item.pop("plane", None)
    for item in d.get("hung_loads", []):
        item.pop("plane", None)
    d["ground_rules"]["wind_edition"] = edition
    d["ground_rules"]["entered_zones"] = [
        {"zone": z, "rectangles": r, "page": PAGE} for z, r in RECTANGLES.items()
    ]
