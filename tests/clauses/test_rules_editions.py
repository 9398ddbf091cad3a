"""Editions: which clause holds each subject, and that no number hides how it was checked."""

from __future__ import annotations

import pytest

from secondroof.errors import InputError, NotFoundError
from secondroof.rules import clause, edition, editions
from secondroof.rules.editions import CHECKED_ORDER, least_checked

YEARS = (2012, 2015, 2018, 2021, 2024)


def test_every_edition_has_every_subject() -> None:
    assert tuple(editions()) == YEARS
    subjects = {frozenset(e.clauses) for e in editions().values()}
    assert len(subjects) == 1


@pytest.mark.parametrize("year", YEARS)
def test_every_clause_says_how_it_was_checked(year: int) -> None:
    for c in edition(year).clauses.values():
        assert c.checked in CHECKED_ORDER
        assert c.number and c.title and c.code


# facts sheet part A1: numbers of the clauses by edition
@pytest.mark.parametrize(
    ("subject", "numbers"),
    [
        ("reroofing", ("1510", "1511", "705", "705", "705")),
        ("gravity_level_1", ("706.2", "707.2", "706.2", "706.2", "706.2")),
        ("parapets", ("706.3.1", "707.3.1", "706.3.1", "706.3.1", "706.3.1")),
        ("gravity_prescriptive", ("403.3", "403.3", "503.3", "503.3", "503.3")),
        ("lateral_prescriptive", ("403.4", "403.4", "503.4", "503.4", "503.4")),
        ("gravity_level_2", ("807.4", "807.4", "805.2", "805.2", "805.2")),
        ("recover_banned", ("1510.3", "1511.3.1.1", "705.3.1.1", "705.3.1.1", "705.3 exceptions")),
    ],
)
def test_numbers_by_edition(subject: str, numbers: tuple[str, ...]) -> None:
    assert tuple(clause(subject, y).number for y in YEARS) == numbers


def test_asce7_by_edition() -> None:
    # IBC 2018 naming ASCE 7-16: seen; the others from memory
    assert tuple(e.asce7 for e in editions().values()) == ("7-10", "7-10", "7-16", "7-16", "7-22")
    assert edition(2018).asce7_checked == "seen"
    assert edition(2021).asce7_checked == "from memory"


def test_edition_by_name_and_wrong_edition() -> None:
    assert edition("IEBC 2018") is edition(2018)
    with pytest.raises(InputError, match=r"edition: The code editions kept are 2012, 2015"):
        edition(2009)
    with pytest.raises(InputError):
        edition("the newest")
    with pytest.raises(InputError):
        edition("2015 or 2018")
    with pytest.raises(NotFoundError, match="no subject"):
        clause("solar", 2018)


def test_least_checked_is_the_weakest() -> None:
    assert least_checked("seen", "from memory", "summary") == "from memory"
    assert least_checked("seen", "summary") == "summary"
