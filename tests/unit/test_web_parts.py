"""Parts behind the pages: copied recovers, what moved, the short form, the chart of readings, the cache.

Figures are the program's own on invented examples; the rules tested are stated beside each.
"""

from __future__ import annotations

import dataclasses
import threading
from typing import Any

import pytest

from secondroof import api
from secondroof.errors import InputError, NotFoundError
from secondroof.web.charts import group_name, standoff_dots
from secondroof.web.desk import Cache
from secondroof.web.edits import copied, free_name, with_recovers_of
from secondroof.web.frame import slope_words
from secondroof.web.moved import moved
from secondroof.web.shortform import as_list, form_text, quoted
from secondroof.web.written import as_written, flat, survey_sections

NAMES = tuple(api.examples())


def text_of(name: str) -> str:
    return api.example(name).read_text("utf-8")


@pytest.mark.parametrize("name", NAMES)
def test_a_copied_recover_is_the_same_but_for_its_name(name: str) -> None:
    text = text_of(name)
    before = api.read(text)
    after_text, new = copied(text, before.recovers[0].name)
    after = api.read(after_text)
    assert after.recovers[:-1] == before.recovers
    assert after.recovers[-1].name == new
    assert after.recovers[-1].model_copy(update={"name": before.recovers[0].name}) == before.recovers[0]
    assert after.model_copy(update={"recovers": before.recovers}) == before
    again, third = copied(after_text, new)
    assert len(api.read(again).recovers) == len(before.recovers) + 2
    assert third not in {r.name for r in after.recovers}


def test_only_a_recover_that_is_there_is_copied() -> None:
    with pytest.raises(NotFoundError, match="R9"):
        copied(text_of(NAMES[0]), "R9")
    assert free_name(["R1", "R3"]) == "R2"


def test_recovers_are_lent_only_to_a_survey_without_any() -> None:
    text = text_of(NAMES[0])
    with pytest.raises(InputError, match="recovers"):
        with_recovers_of(text, text)
    bare = text[: text.index("\nrecovers:")] + "\n"
    lent = api.read(with_recovers_of(bare, text))
    assert lent.recovers == api.read(text).recovers


def test_what_moved_counts_ratios_and_verdicts() -> None:
    findings = api.check(api.read(text_of(NAMES[0])))
    same = moved(findings, findings, 4, "/x")
    assert same is not None and same.changes == () and "Nothing else moved" in same.line
    first = next(i for i, c in enumerate(findings.checks) if c.ratio is not None)
    check = dataclasses.replace(findings.checks[first], ratio=9.0, state="short")
    verdict = dataclasses.replace(
        findings.verdict, open=dataclasses.replace(findings.verdict.open, sentence="Holds. For the test.")
    )
    other = dataclasses.replace(
        findings, checks=(*findings.checks[:first], check, *findings.checks[first + 1 :]), verdict=verdict
    )
    found = moved(findings, other, 4, "/x")
    assert found is not None and found.line == "This also moved: 1 ratio, 1 verdict"
    assert found.changes[1].new == "9.00" and found.changes[1].href == f"/x?card={check.id}"
    gone = dataclasses.replace(findings, checks=findings.checks[1:])
    left = moved(findings, gone, 4, "/x")
    assert left is not None and [c.new for c in left.changes] == ["not there"]
    assert moved(None, findings, 1, "/x") is None


@pytest.mark.parametrize("name", NAMES)
def test_every_card_of_every_example_can_be_shown(name: str) -> None:
    from secondroof.web.cards import card

    survey = api.read(text_of(name))
    for recover in survey.recovers:
        for check in api.check(survey, recover.name).checks:
            made = card(check, job=name)
            assert made["title"] and made["state"] == check.state
            if check.steps and not made["not_printed"]:
                assert made["lines"] and all(
                    "<math" in line["symbolic"] or line["method"] for line in made["lines"]
                )


@pytest.mark.parametrize("name", NAMES)
def test_every_written_value_stands_once_on_the_survey_page(name: str) -> None:
    """What is written in the file is on a page: on the survey's, or on that of rules, recovers or blanks."""
    written = as_written(text_of(name))
    shown: list[str] = []

    def walk(section: Any) -> None:
        shown.extend(row.path for row in section.rows if row.ink != "blank")
        if section.note == "looked, none":  # an empty list of the file
            shown.append(section.id)
        for part in section.parts:
            walk(part)

    for s in survey_sections(written):
        walk(s)
    elsewhere = ("secondroof", "ground_rules", "recovers", "not_read")
    want = {path for path, value in flat(written).items() if value and not path.startswith(elsewhere)}
    plain = {
        path.split(".lines")[0] + ".lines" if ".lines" in path and path.startswith("building") else path
        for path in want
    }
    assert len(shown) == len(set(shown))
    assert plain <= set(shown) | {p for p in plain if p.endswith("lines_note")}, sorted(plain - set(shown))[
        :5
    ]


def test_the_chart_shows_every_reading_and_marks_doubt() -> None:
    survey = api.read(text_of("port-averill-net-store"))
    svg = standoff_dots(survey.standoff)
    assert svg.count("<circle") == sum(len(g.readings) for g in survey.standoff)
    assert "0.62?" in svg and "3/8" in svg and "3/4" in svg
    assert "both slopes" in group_name(survey.standoff[0], 1)


@pytest.mark.parametrize(
    ("value", "want"),
    [
        ("4", "4"),
        (".12", ".12"),
        (".31?", '".31?"'),
        ("24'-6 1/2\"", '"24\'-6 1/2\\""'),
        ("no", '"no"'),
        ("a: b", '"a: b"'),
    ],
)
def test_typed_values_are_quoted_where_yaml_needs_it(value: str, want: str) -> None:
    assert quoted(value) == want


def test_a_list_is_read_with_or_without_brackets() -> None:
    assert as_list("[.12, .14]") == as_list(".12 ,.14") == "[.12, .14]"


def test_the_short_form_names_every_empty_field_at_once() -> None:
    with pytest.raises(InputError) as caught:
        form_text({})
    assert {p.field for p in caught.value.problems} >= {"name", "length", "width", "bays", "slope", "faces"}


@pytest.mark.parametrize(
    ("slope", "want"), [(0.5, "1/2"), (0.25, "1/4"), (1.0, "1"), (1.25, "1 1/4"), (0.47, "0.47"), (0.0, "0")]
)
def test_slopes_in_words(slope: float, want: str) -> None:
    assert slope_words(slope) == want


def test_the_cache_makes_a_thing_once_and_keeps_no_error() -> None:
    cache, made = Cache(2), []
    gate = threading.Event()

    def slow() -> int:
        made.append(1)
        gate.wait(2)
        return 7

    got: list[int] = []
    threads = [threading.Thread(target=lambda: got.append(cache.get("a", slow))) for _ in range(3)]
    for t in threads:
        t.start()
    gate.set()
    for t in threads:
        t.join()
    assert got == [7, 7, 7] and made == [1]
    with pytest.raises(ZeroDivisionError):
        cache.get("b", lambda: 1 // 0)
    assert cache.get("b", lambda: 2) == 2
    cache.get("c", lambda: 3)
    assert cache.get("a", lambda: 8) == 8, "the oldest has made room"


@pytest.mark.parametrize("name", NAMES)
def test_every_stretch_of_line_is_reached_from_the_plan(name: str) -> None:
    import re

    from secondroof.web.plan import live_plan

    survey = api.read(text_of(name))
    findings = api.check(survey)
    live = live_plan(findings, survey)
    links = re.findall(
        r"stretch=(\d+)", live.svg("/x", None).split('data-layer="lines"')[1].split("</g>\n")[0]
    )
    assert sorted(map(int, links)) == list(range(len(findings.segments.line)))
