"""The verdict: four sentences, each with its state, from the checks and nothing else."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from secondroof.checks.model import Check, Need, Sentence, State, Verdict, worst

#: Checks whose open judgement is not part of the new work's own strength.
WORDS = {"short": "short", "unknown": "unknown", "engineer": "for the engineer"}


def verdict(checks: Sequence[Check], missing: Sequence[Need]) -> Verdict:
    """Say the four sentences."""
    new = [c for c in checks if c.id[0] in "HPR" and c.whose == "new"]
    old = [c for c in checks if c.id[0] in "SR" and c.whose != "new"]
    code = [c for c in checks if c.id[0] == "C"]
    return Verdict(_new(new), _old(old), _code(code), _open(checks, missing))


def _listed(words: Iterable[str], most: int = 3) -> str:
    """First few different words, and how many more."""
    different = list(dict.fromkeys(words))
    text = "; ".join(different[:most])
    return text + (f"; and {len(different) - most} more" if len(different) > most else "")


def _sort(checks: Sequence[Check], state: State) -> list[Check]:
    return sorted((c for c in checks if c.state == state), key=lambda c: -(c.ratio or 0.0))


def _new(checks: Sequence[Check]) -> Sentence:
    state = worst(c.state for c in checks)
    if not checks:
        return Sentence("unknown", "Unknown. No recover was checked.")
    short, unknown, engineer = (_sort(checks, s) for s in ("short", "unknown", "engineer"))
    parts = []
    refused = next((c for c in short if c.key == "framing kind"), None)
    if refused is not None:
        parts.append(refused.sentence.removeprefix("Short. "))
    forced = [c for c in short if c.ratio is not None]
    if forced:
        top = forced[0]
        places = _listed(f"{_zone_of(c)} ({c.what.lower()}, {c.ratio:.2f})" for c in _worst_by_zone(forced))
        parts.append(f"The new work is short in {places}. Worst: {top.where}.")
    elif not refused:
        known = [c for c in checks if c.state == "holds" and c.ratio is not None]
        if known:
            top = max(known, key=lambda c: c.ratio or 0.0)
            parts.append(
                f"Every link that could be worked out holds; the fullest is "
                f"{top.what.lower()}, {_zone_of(top)}, at {top.ratio:.2f}."
            )
    if unknown:
        parts.append(f"Not known: {_listed(c.what.lower() for c in unknown)}.")
    if engineer:
        parts.append(f"For the engineer: {_listed(c.what.lower() for c in engineer)}.")
    return Sentence(state, f"{_head(state)} {' '.join(parts)}")


def _zone_of(check: Check) -> str:
    return f"zone {check.zone}" if check.zone else check.where


def _worst_by_zone(checks: Sequence[Check]) -> list[Check]:
    best: dict[str, Check] = {}
    for c in checks:
        z = _zone_of(c)
        if z not in best or (c.ratio or 0) > (best[z].ratio or 0):
            best[z] = c
    return sorted(best.values(), key=lambda c: -(c.ratio or 0.0))


def _old(checks: Sequence[Check]) -> Sentence:
    state = worst(c.state for c in checks)
    if not checks:
        return Sentence("unknown", "Unknown. Nothing of the old steel was read.")
    parts = []
    for s in ("short", "unknown", "engineer"):
        found = _sort(checks, s)
        if found:
            parts.append(f"{_word(s)}: {_listed((c.what.lower() for c in found), 3)}.")
    gravity = next((c for c in checks if c.key == "purlin gravity"), None)
    if gravity is not None:
        parts.append(gravity.sentence.split(". ", 1)[1].split(" Their strength")[0])
    text = " ".join(parts) or "Nothing found against it."
    return Sentence(state, f"{_head(state)} {text}")


def _code(checks: Sequence[Check]) -> Sentence:
    state = worst(c.state for c in checks)
    parts = []
    for s in ("short", "unknown", "engineer"):
        found = _sort(checks, s)
        if found:
            parts.append(f"{_word(s)}: {_listed((c.what for c in found), 3)}.")
    ask = [c for c in checks if c.asked == "ask the official"]
    if ask:
        parts.append(f"Ask the official: {_listed((c.what for c in ask), 3)}.")
    text = " ".join(parts) or "No clause stands against this recover."
    return Sentence(state, f"{_head(state)} {text}")


def _open(checks: Sequence[Check], missing: Sequence[Need]) -> Sentence:
    engineers = [c for c in checks if c.state == "engineer"]
    state: State = "unknown" if missing else "engineer" if engineers else "holds"
    parts = []
    if missing:
        parts.append(f"{len(missing)} things are not known; first: {_listed((m.what for m in missing), 3)}.")
    if engineers:
        parts.append(
            f"{len(engineers)} are for a licensed engineer: {_listed((c.what.lower() for c in engineers), 3)}."
        )
    return Sentence(state, f"{_head(state)} {' '.join(parts) or 'Nothing is open.'}")


def _head(state: State) -> str:
    return {"holds": "Holds.", "short": "Short.", "unknown": "Unknown.", "engineer": "Engineer."}[state]


def _word(state: str) -> str:
    return {"short": "Short", "unknown": "Not known", "engineer": "For the engineer"}[state]
