"""Words and numbers the papers share, so that no two papers say the same thing differently."""

from __future__ import annotations

import math
import re
from collections.abc import Iterable, Sequence
from typing import TYPE_CHECKING, cast

from secondroof.checks.model import STATE_ORDER, Check, SpacingRow, State
from secondroof.checks.numbers import show, show_with_unit
from secondroof.findings.model import Findings

if TYPE_CHECKING:
    from secondroof.survey.models import Survey

VERDICT_HEADS = (
    ("new_work", "New work"),
    ("old_steel", "Old steel"),
    ("code_path", "Code path"),
    ("open", "Open"),
)
PARTS = {
    "panel": "new panel",
    "clip": "clip",
    "screw": "screw",
    "line": "new line",
    "purlin": "old purlin",
    "bracket": "base bracket",
}
WHOSE = {"new": "new work", "made worse": "old steel, loaded more", "was so": "old steel, as it was"}
_HEAD = re.compile(r"^(Holds|Short|Unknown|Engineer)\.\s+")


def without_head(sentence: str) -> str:
    """Sentence without its leading state word, for places where the state stands beside it."""
    return _HEAD.sub("", sentence)


def ratio_text(ratio: float | None) -> str:
    """Ratio as printed; empty where there is none."""
    return "" if ratio is None or math.isnan(ratio) else show(ratio, "ratio")


def known(value: float | None) -> bool:
    """True for a finite number."""
    return value is not None and math.isfinite(value)


def amount(value: float | None, unit: str, kind: str | None = None) -> str:
    """Number with its unit; empty where it is not known."""
    if value is None or not math.isfinite(value):
        return ""
    return show(value, "ratio") if unit in ("-", "") else show_with_unit(value, unit, kind)


def rank(state: State) -> int:
    """Place of a state in the order short, unknown, engineer, holds."""
    return STATE_ORDER.index(state)


def worst_first(checks: Iterable[Check]) -> list[Check]:
    """Checks by state, then by ratio, largest first; the order given breaks ties."""
    return sorted(checks, key=lambda c: (rank(c.state), -(c.ratio or 0.0)))


def first_sentence(text: str) -> str:
    """First sentence of a caution."""
    found = re.match(r".*?[.:](?=\s+[A-Z]|$)", text)
    if found and not found.group(0).startswith("Not looked for"):
        return found.group(0).rstrip(":") + ("." if found.group(0).endswith(":") else "")
    parts = re.split(r"(?<=\.)\s+(?=[A-Z])", text)
    return parts[0]


def listed(words: Sequence[str], most: int | None = None) -> str:
    """First few different words, and how many more."""
    different = list(dict.fromkeys(words))
    shown = different if most is None else different[:most]
    rest = len(different) - len(shown)
    return ", ".join(shown) + (f", and {rest} more" if rest else "")


def job_line(findings: Findings) -> str:
    """Name of the job; an invented one says so."""
    return findings.job + (" (invented example)" if findings.invented else "")


def invented_tables(survey: Survey, recover: str) -> tuple[str, ...]:
    """Names of the invented test tables a recover rests on."""
    used = {r.panel.uplift_test for r in survey.recovers if r.name == recover}
    return tuple(t.name for t in survey.uplift_tests if t.invented and t.name in used)


def who_decides(findings: Findings) -> list[tuple[str, list[tuple[str, str]]]]:
    """Who must still decide, and what: pairs of who and (words, card numbers)."""
    out: list[tuple[str, list[tuple[str, str]]]] = []
    engineer = [c for c in findings.checks if c.state == "engineer"]
    official = [c for c in findings.checks if c.asked == "ask the official"]
    for who, checks in (("A licensed engineer", engineer), ("The building official", official)):
        by_what: dict[str, list[str]] = {}
        for c in checks:
            by_what.setdefault(c.what, []).append(c.id)
        if by_what:
            out.append((who, [(what, numbers(ids)) for what, ids in by_what.items()]))
    return out


def numbers(ids: Sequence[str]) -> str:
    """Card numbers as read: ``H-25 to H-28``."""
    if len(ids) < 3:
        return ", ".join(ids)
    heads = {i.rsplit("-", 1)[0] for i in ids}
    tails = [int(i.rsplit("-", 1)[1]) for i in ids if i.rsplit("-", 1)[-1].isdigit()]
    if len(heads) == 1 and len(tails) == len(ids) and tails == list(range(tails[0], tails[0] + len(tails))):
        return f"{ids[0]} to {ids[-1]}"
    return ", ".join(ids)


def spacing_state(row: SpacingRow) -> State:
    """State of a spacing row, as its own sentence says it."""
    head = _HEAD.match(row.sentence)
    if head is not None:
        return cast(State, head.group(1).lower())
    return "short" if row.holds_ft is None or row.holds_ft + 1e-9 < row.there_ft else "holds"
