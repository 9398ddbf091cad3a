"""Code editions, and where each subject of a roof recover sits in them.

The numbers moved from edition to edition, so they are data (``data/editions.toml``), each with how
it was checked: *seen* (the clause was read in a public copy), *summary* (an account of it was read)
or *from memory*. State and local amendments always win over the model codes.
"""

from __future__ import annotations

import functools
import re
import tomllib
from collections.abc import Mapping
from dataclasses import dataclass
from importlib.resources import files
from types import MappingProxyType
from typing import Any, Literal

from secondroof.errors import InputError, NotFoundError, Problem

Checked = Literal["seen", "summary", "from memory"]
"""How a clause was checked, best first."""

CHECKED_ORDER: tuple[Checked, ...] = ("seen", "summary", "from memory")


@dataclass(frozen=True, slots=True)
class Clause:
    """Where one subject sits in one edition.

    Attributes
    ----------
    subject, title : str
        Key of the subject, and the subject in words.
    code : str
        Book with its edition, e.g. ``IEBC 2018`` or ``ASCE 7-16``.
    number : str
        Clause number, with its item or exception where one is meant.
    checked : {'seen', 'summary', 'from memory'}
        How the number and its wording were confirmed.
    note : str
        What a reader of the clause should know.
    """

    subject: str
    title: str
    code: str
    number: str
    checked: Checked
    note: str = ""

    @property
    def text(self) -> str:
        """Book, edition and number, e.g. ``IEBC 2018 706.2``."""
        return f"{self.code} {self.number}"


@dataclass(frozen=True, slots=True)
class Edition:
    """One three-year edition of the model codes.

    Attributes
    ----------
    year : int
        Edition of the IBC, IEBC and IECC.
    asce7 : str
        Edition of ASCE 7 the IBC names, e.g. ``7-16``.
    asce7_checked : {'seen', 'summary', 'from memory'}
        How that was confirmed.
    iecc, ashrae_901 : str
        Energy code, and the ASHRAE 90.1 edition it names (from memory).
    clauses : mapping of str to Clause
        Clauses by subject.
    """

    year: int
    asce7: str
    asce7_checked: Checked
    iecc: str
    ashrae_901: str
    clauses: Mapping[str, Clause]

    def clause(self, subject: str) -> Clause:
        """Clause of one subject.

        Raises
        ------
        NotFoundError
            Where no such subject is kept.
        """
        try:
            return self.clauses[subject]
        except KeyError:
            raise NotFoundError(
                f"no subject {subject!r}; kept are {', '.join(sorted(self.clauses))}"
            ) from None


def read_data(name: str) -> dict[str, Any]:
    """One of the data files of this room, parsed."""
    return tomllib.loads((files("secondroof.rules") / "data" / name).read_text(encoding="utf-8"))


@functools.cache
def editions() -> Mapping[int, Edition]:
    """All editions kept, by year, oldest first."""
    data = read_data("editions.toml")
    titles: dict[str, str] = data["titles"]
    found: dict[int, Edition] = {}
    for year_text, about in sorted(data["editions"].items()):
        year = int(year_text)
        clauses = {}
        for block in data["clause"]:
            subject = block["subject"]
            for row in block["rows"]:
                if year in row["years"]:
                    code = f"ASCE {about['asce7']}" if row["code"] == "ASCE 7" else f"{row['code']} {year}"
                    clauses[subject] = Clause(
                        subject, titles[subject], code, row["number"], row["checked"], row.get("note", "")
                    )
        found[year] = Edition(
            year,
            about["asce7"],
            about["asce7_checked"],
            f"IECC {year}",
            about["ashrae_901"],
            MappingProxyType(clauses),
        )
    return MappingProxyType(found)


def edition(year: int | str) -> Edition:
    """Edition by year, or by a name that holds one, e.g. ``IEBC 2018``.

    Parameters
    ----------
    year : int or str
        2012, 2015, 2018, 2021 or 2024. [year]

    Raises
    ------
    InputError
        Where the edition is not one of those kept.
    """
    digits = re.findall(r"\d{4}", str(year))
    if len(digits) == 1 and int(digits[0]) in editions():
        return editions()[int(digits[0])]
    kept = ", ".join(str(y) for y in editions())
    raise InputError(
        Problem(
            "edition",
            str(year),
            f"The code editions kept are {kept}.",
            "A state code is built on one of them; the building official says which.",
        )
    )


def clause(subject: str, year: int | str) -> Clause:
    """Clause of a subject in an edition; see :meth:`Edition.clause` and :func:`edition` for errors."""
    return edition(year).clause(subject)


def least_checked(*checked: Checked) -> Checked:
    """The weakest of several ways of checking, for a finding that rests on more than one clause."""
    return max(checked, key=CHECKED_ORDER.index)
