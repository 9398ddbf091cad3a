"""Cards of load cases list the sources of their own numbers, all of them and no others."""

from __future__ import annotations

import functools

import pytest

import secondroof as sr
from secondroof.acting.gathered import Acting
from secondroof.checks.render import NOT_STATED, symbols_table
from secondroof.findings.build import acting_on
from secondroof.findings.context import gather

JOBS = (
    "four-span-line",
    "harrow-pass-district-shop",
    "port-averill-net-store",
    "quillmark-distribution-hall",
    "tamsel-feed-barn",
)


@functools.cache
def every(job: str) -> tuple[Acting, ...]:
    survey = sr.load(sr.example(job))
    return tuple(acting_on(gather(survey, recover)) for recover in survey.recovers)


@pytest.mark.parametrize("job", JOBS)
def test_every_source_stands_in_a_step(job: str) -> None:
    for acts in every(job):
        assert acts.cases
        for case in acts.cases:
            there = {s.symbol for s in case.steps} | {name for s in case.steps for name in s.inputs}
            assert set(case.sources) <= there, case.key


@pytest.mark.parametrize("job", JOBS)
def test_every_symbol_of_a_step_has_its_source(job: str) -> None:
    for acts in every(job):
        for case in acts.cases:
            bare = [r.name for r in symbols_table(case.steps, case.sources) if r.source == NOT_STATED.text]
            assert not bare, case.key


def test_clauses_are_of_the_edition_or_say_so() -> None:
    """The reduction of live load was read in 7-10; a 7-16 job says that it is taken unchanged."""
    acts = every("tamsel-feed-barn")[0]
    live = next(c for c in acts.cases if c.key == "live.roof")
    assert "unchanged in 7-16 (from memory)" in live.clause
    assert live.checked.startswith("from memory")
    assert not any("7-22" in s.text for c in acts.cases if c.kind == "S" for s in c.sources.values())
