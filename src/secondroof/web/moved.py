"""What moved between two findings: ratios and verdicts, old beside new."""

from __future__ import annotations

from collections import defaultdict
from typing import TYPE_CHECKING

from secondroof.checks.numbers import show
from secondroof.web.contexts import Change, Moved

if TYPE_CHECKING:
    from secondroof.checks.model import Check
    from secondroof.findings.model import Findings

SENTENCES = (
    ("new_work", "New work"),
    ("old_steel", "Old steel, before and after"),
    ("code_path", "Code path"),
    ("open", "Open"),
)


def ratio_text(ratio: float | None) -> str:
    """Ratio as printed; a ratio nobody knows is *not known*."""
    return "not known" if ratio is None or ratio != ratio else show(ratio, "-", "ratio")


def moved(before: Findings | None, after: Findings | None, since: int, href: str) -> Moved | None:
    """Every ratio and verdict that differs, or None where nothing can be compared."""
    if before is None or after is None:
        return None
    changes = [*_verdicts(before, after), *_ratios(before, after, href)]
    verdicts = sum(c.what in dict(SENTENCES).values() for c in changes)
    ratios = len(changes) - verdicts
    if not changes:
        return Moved(since, "Nothing else moved: no ratio, no verdict.", ())
    line = f"This also moved: {_count(ratios, 'ratio')}, {_count(verdicts, 'verdict')}"
    return Moved(since, line, tuple(changes))


def _count(n: int, word: str) -> str:
    return f"{n} {word}" if n == 1 else f"{n} {word}s"


def _verdicts(before: Findings, after: Findings) -> list[Change]:
    out = []
    for key, label in SENTENCES:
        a, b = getattr(before.verdict, key), getattr(after.verdict, key)
        if a != b:
            out.append(Change(label, "verdict", a.sentence, b.sentence, a.state, b.state))
    return out


def _ratios(before: Findings, after: Findings, href: str) -> list[Change]:
    old, new = _grouped(before), _grouped(after)
    out = []
    for key, checks in new.items():
        was = old.get(key, [])
        for i, check in enumerate(checks):
            prior = was[i] if i < len(was) else None
            a = ratio_text(prior.ratio) if prior else "not there"
            b = ratio_text(check.ratio)
            if prior is None or a != b or prior.state != check.state:
                state = prior.state if prior else check.state
                out.append(
                    Change(check.what, check.where, a, b, state, check.state, f"{href}?card={check.id}")
                )
        for gone in was[len(checks) :]:
            out.append(
                Change(gone.what, gone.where, ratio_text(gone.ratio), "not there", gone.state, gone.state)
            )
    for key in old.keys() - new.keys():
        for gone in old[key]:
            out.append(
                Change(gone.what, gone.where, ratio_text(gone.ratio), "not there", gone.state, gone.state)
            )
    return out


def _grouped(findings: Findings) -> dict[tuple[str, str | None, str | None], list[Check]]:
    out: dict[tuple[str, str | None, str | None], list[Check]] = defaultdict(list)
    for check in findings.checks:
        out[(check.key, check.zone, check.plane)].append(check)
    return out
