"""Words that several drawings share."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from secondroof.checks.numbers import show

if TYPE_CHECKING:
    from collections.abc import Iterable

    from secondroof.checks.model import Check
    from secondroof.findings.model import Findings


def ratio_text(ratio: float | None) -> str:
    """Ratio with two decimals, more where a short one would read 1.00; empty where there is none."""
    if ratio is None or math.isnan(ratio):
        return ""
    return show(float(ratio), "-", "ratio")


def whole(value: float) -> str:
    """Whole number with thousands commas."""
    return f"{value:,.0f}"


def listed(words: Iterable[str]) -> str:
    """``a, b and c``."""
    items = list(words)
    if len(items) < 2:
        return "".join(items)
    return f"{', '.join(items[:-1])} and {items[-1]}"


def counted(n: int, one: str) -> str:
    """``6 skylights`` of 6 and ``skylight``; words that carry a size or a remark get their count behind them."""
    if n == 1:
        return one
    if any(c.isdigit() or c in ",;:()" for c in one):
        return f"{one} ({n} of them)"
    return f"{n} {one}" if one.endswith("s") else f"{n} {one}s"


def check_at(findings: Findings, key: str, zone: str, plane: str) -> Check | None:
    """The card that speaks of one link in one zone, of the same plane where there is one."""
    found = [c for c in findings.checks if c.key == key and c.zone == zone]
    return next((c for c in found if c.plane == plane), found[0] if found else None)
