"""Small words shared by the rows: places, forces, and the four state words at the head of a sentence."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from secondroof.checks.model import State
from secondroof.checks.numbers import feet_inches, show

if TYPE_CHECKING:
    from secondroof.findings.context import Context

HEAD: dict[State, str] = {"holds": "Holds", "short": "Short", "unknown": "Unknown", "engineer": "Engineer"}


def said(state: State, text: str) -> str:
    """Sentence beginning with its state word."""
    return f"{HEAD[state]}. {text}"


def amount(value: Any, unit: str) -> str:
    """Number with its unit, as people read it."""
    return show(value, unit, "ratio") if unit == "-" else f"{show(value, unit)} {unit}"


def stretch_place(c: Context, i: int) -> str:
    """Where a stretch lies: line, zone, and its ends along the ridge."""
    s = c.strips
    name = line_name(c, i)
    ends = f"{feet_inches(float(s.x0_ft[i]))} to {feet_inches(float(s.x1_ft[i]))} from frame 1"
    return f"line {name}, {zone_words(str(s.zone[i]))}, {ends}"


def line_name(c: Context, i: int) -> str:
    """Name of the line of a stretch, as a crew calls it."""
    return f"{c.strips.plane[i]}{int(c.strips.line[i])}"


def zone_words(zone: str) -> str:
    """Zone as written on a plan."""
    return f"zone {zone}"


def share_words(c: Context, i: int) -> str:
    """Which zones the strip of a stretch lies in, with the width in each. [ft along the slope]"""
    s = c.strips
    parts = [
        f"{show(share * s.width_ft[i], 'ft')} ft in {zone_words(name)}"
        for name, share in zip(s.names, s.share[i], strict=True)
        if share > 1e-6
    ]
    return parts[0].split(" in ")[1] if len(parts) == 1 else ", ".join(parts)
