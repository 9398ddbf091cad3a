"""The owner's page: one answer, one picture, what was found, what is open, what happens next."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from secondroof.papers.words import without_head

if TYPE_CHECKING:
    from secondroof.checks.model import Findings, State
    from secondroof.survey.models import Survey

TITLES: dict[State, str] = {
    "holds": "The new roof can go over the old one; these points stay open",
    "short": "The new roof as drawn does not yet hold everywhere; it needs changes first",
    "unknown": "Whether the new roof holds is not known yet; some facts are missing",
    "engineer": "The new roof holds as far as worked out; a licensed engineer decides the rest",
}
HEADS = (
    ("new_work", "The new roof and how it is fixed"),
    ("old_steel", "The old steel that carries it"),
    ("code_path", "What the building code asks"),
    ("open", "What is not known, and who decides"),
)
MOST_CAUTIONS = 4


def owner_data(f: Findings, survey: Survey) -> dict[str, Any]:
    """Everything the owner's page prints, as plain JSON values."""
    added = "not known" if f.added_psf != f.added_psf else f"{f.added_psf:.2f} psf"
    return {
        "job": f.job,
        "paper": f"Owner's summary, recover {f.recover}",
        "version": f.version,
        "foot": ("Invented example. " if f.invented else "")
        + "No one goes on the roof before skylights and soft sheet are covered or guarded.",
        "title": TITLES[f.verdict.new_work.state],
        "recover_title": f.recover_title,
        "invented": f.invented,
        "verdict": [
            {"head": head, "state": s.state, "sentence": _short(without_head(s.sentence))}
            for name, head in HEADS
            for s in (getattr(f.verdict, name),)
        ],
        "found": [
            f.old_roof.sentence,
            f"The roof is {f.roof.area_ft2:,.0f} square feet on {len(f.roof.lines)} "
            "purlin lines (the steel under the sheet).",
            f"The new roof adds {added} (pounds on each square foot) to what the old steel carries.",
            f.enclosure_reason,
        ],
        "next": _next(f),
        "cautions": list(f.cautions.get("owner", ()))[:MOST_CAUTIONS],
    }


def _short(text: str, most: int = 330) -> str:
    """Whole sentences up to a length; what is left out stands in the engineer's submittal."""
    out = ""
    for part in text.split(". "):
        piece = part if part.endswith(".") else part + "."
        if out and len(out) + len(piece) + 1 > most:
            break
        out = f"{out} {piece}".strip()
    return out


def _next(f: Findings) -> list[str]:
    steps = [f"Get what is missing, first: {'; '.join(n.what for n in f.missing[:3])}."] if f.missing else []
    if any(c.state == "engineer" for c in f.checks):
        steps.append(
            "A licensed engineer looks at the points marked for the engineer; the submittal holds the numbers."
        )
    if any(c.asked == "ask the official" for c in f.checks):
        steps.append("The building official is asked where the code reads two ways.")
    steps.append("No prices yet: no rates are in the job.")
    return steps
