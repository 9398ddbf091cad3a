"""Differences between two texts, as lines a page can show."""

from __future__ import annotations

import difflib
from dataclasses import dataclass
from typing import Literal


@dataclass(frozen=True, slots=True)
class DiffLine:
    """One line of a difference.

    Attributes
    ----------
    kind : str
        ``same``, ``out`` (was there), ``in`` (is new) or ``gap`` (lines left out).
    old, new : int or None
        Line number in the older and in the newer text.
    text : str
        The line, or for a gap how many lines are left out.
    """

    kind: Literal["same", "out", "in", "gap"]
    old: int | None
    new: int | None
    text: str


def differences(older: str, newer: str, context: int = 2) -> tuple[DiffLine, ...]:
    """Lines that differ between two texts, with ``context`` equal lines around each; empty where equal."""
    a, b = older.splitlines(), newer.splitlines()
    out: list[DiffLine] = []
    end = 0
    for group in difflib.SequenceMatcher(None, a, b, autojunk=False).get_grouped_opcodes(context):
        start = group[0][1]
        if start > end:
            out.append(DiffLine("gap", None, None, f"{start - end} lines alike"))
        for tag, i1, i2, j1, j2 in group:
            if tag == "equal":
                out += [
                    DiffLine("same", i + 1, j + 1, a[i])
                    for i, j in zip(range(i1, i2), range(j1, j2), strict=True)
                ]
            else:
                out += [DiffLine("out", i + 1, None, a[i]) for i in range(i1, i2)]
                out += [DiffLine("in", None, j + 1, b[j]) for j in range(j1, j2)]
        end = group[-1][2]
    return tuple(out)
