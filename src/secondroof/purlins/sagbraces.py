"""Sag braces from the words of the survey: a number per bay where the words say one clearly, else none."""

from __future__ import annotations

import re
from dataclasses import dataclass

from secondroof.checks.model import Need

_COUNTS = {"no": 0, "one": 1, "two": 2, "three": 3, "single": 1, "double": 2}
_PLACES = (
    (r"quarter[- ]points?", 3),
    (r"third[- ]points?|thirds", 2),
    (r"mid[- ]?bay|mid[- ]?span|middle of (the|each|every) (bay|span)", 1),
)
_PER_BAY = (
    r"\b(\d|one|two|three|single|double)\s+(?:lines?|rows?|runs?)\b"
    r"|\b(\d|one|two|three)\s+(?:\w+\s+)?(?:per|a|in each|each)\s+bay"
)
_NONE = r"^\s*(none|no|none found|no sag (rods|straps|angles|braces).*)\s*$"
_BROKEN = r"\bmissing\b|\bcut\b|\bloose\b|\bslack\b|\bbroken\b|\bsome\b|\bpartly\b|\bexcept\b|\bnot all\b|\?"

NEED = Need(
    "sag rods, straps or angles: how many lines in each bay, and to which part of the purlin they hold",
    "every bay; write their number at bracing.sag_lines_per_bay, 0 for none",
    "what the purlins carry in uplift where the sheet rule may not be used",
)
CAUTION = (
    "Sag braces at mid-web keep purlins from sagging and from rolling down the slope; they do not hold the bottom "
    "flange sideways against uplift unless they are made for it. An engineer looks at them."
)


@dataclass(frozen=True, slots=True)
class SagBraces:
    """Sag braces of the roof.

    Attributes
    ----------
    per_bay : int or None
        Lines in each bay at equal spaces; None where the words do not say clearly.
    sentence : str
        What was read from the words.
    needs : tuple of Need
        What to look at, where it is not clear.
    """

    per_bay: int | None
    sentence: str
    needs: tuple[Need, ...]


def sag_braces(words: str | None, faults: tuple[str, ...] = (), *, per_bay: int | None = None) -> SagBraces:
    """Number of sag brace lines in each bay.

    Parameters
    ----------
    words : str or None
        As the survey has it, e.g. ``sag angles at third points, all present``.
    faults : tuple of str, optional
        Bracing faults of the survey: one that names sag braces makes the number uncertain.
    per_bay : int, optional
        The number written down as a number; it goes before the words, not before a fault.
    """
    if words is None and per_bay is None:
        return SagBraces(None, "Sag braces are not written down.", (NEED,))
    told = f"{per_bay} in each bay" if words is None else words
    at_fault = any(re.search(r"\bsag\b|\bstraps?\b", f.lower()) for f in faults)
    if per_bay == 0:
        return SagBraces(0, "There are no sag braces.", ())
    if per_bay is not None and not at_fault and not re.search(_BROKEN, told.lower()):
        return _counted(told, per_bay)
    text = told.lower()
    if re.match(_NONE, text):
        return SagBraces(0, "There are no sag braces.", ())
    if at_fault or re.search(_BROKEN, text):
        return SagBraces(None, f"Sag braces, as written: {told}. Some are at fault: not counted.", (NEED,))
    said = {n for pattern, n in _PLACES if re.search(pattern, text)}
    for m in re.finditer(_PER_BAY, text):
        word = m.group(1) or m.group(2)
        said.add(int(word) if word.isdigit() else _COUNTS[word])
    if len(said) != 1:
        return SagBraces(
            None, f"Sag braces, as written: {told}. How many lines a bay has is not clear.", (NEED,)
        )
    return _counted(told, said.pop())


def _counted(told: str, n: int) -> SagBraces:
    lines = "line" if n == 1 else "lines"
    text = f"Sag braces, as written: {told}; taken as {n} {lines} in each bay at equal spaces."
    return SagBraces(n, text, ())
