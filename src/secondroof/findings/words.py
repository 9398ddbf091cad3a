"""Small words shared by the rows: places, forces, and the four state words at the head of a sentence."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from secondroof.checks.model import State
from secondroof.checks.numbers import feet_inches, show

if TYPE_CHECKING:
    from secondroof.findings.context import Context
    from secondroof.findings.model import Findings

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


def not_in_colours(f: Findings) -> str:
    """What the colours of the lines leave out because an engineer judges it; empty where nothing is."""
    kept = dict.fromkeys(c.what.lower() for c in f.checks if c.id.startswith("H") and c.state == "engineer")
    return f"Colours leave out {' and '.join(kept)}: an engineer judges it." if kept else ""


def snow_in_psf(f: Findings) -> str:
    """Snow all over, today and with the recover, with the thermal factors' sentence left to the cards. [psf]"""
    psf = {c.key: c.psf for c in f.cases}
    before, after = (psf.get(f"snow.balanced.{stage}") for stage in ("before", "after"))
    if before is None and after is None:
        return (
            "none"
            if any("no snow" in n.lower() for n in (f.acting.notes if f.acting else ()))
            else "not known"
        )
    words = ["not known" if v is None else f"{amount(v, 'psf')}" for v in (before, after)]
    return f"{words[0]} today, {words[1]} with it"


def fullest_old(f: Findings) -> str:
    """Fullest old line pressed down, today and with the recover."""
    row = next((c for c in f.checks if c.key == "purlin gravity"), None)
    if row is None or row.ratio is None or row.ratio_before is None:
        return "not known"
    return f"{row.ratio_before:.2f} of its strength today, {row.ratio:.2f} with it"
