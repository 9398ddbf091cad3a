"""Drawings of a package as scenes: roof plan, section, load maps, ratio maps, the worst old line."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from secondroof.drawings.scene import Scene
    from secondroof.findings.model import Findings
    from secondroof.papers.loadsheets import Sheet
    from secondroof.survey.models import Survey

#: Text of 12.5 px prints at 8 pt on a page 7.1 in wide when the sheet is this wide. [1/96 in]
PAGE_WIDTH_PX = 798.0
#: The same on a page turned on its side. [1/96 in]
TURNED_WIDTH_PX = 1080.0
#: Half a page. [1/96 in]
OWNER_WIDTH_PX = 430.0
#: Plan of the owner's page: zones, lines, openings and their key, nothing else.
OWNER_LAYERS = frozenset({"zones", "lines", "frames", "openings", "key"})


@dataclass(frozen=True, slots=True)
class Drawn:
    """Scenes of one package; the section is None where there is no line to cut."""

    plan: Scene
    owner_plan: Scene
    section: Scene | None
    section_line: str
    sheets: tuple[Sheet, ...] = ()


def drawn(findings: Findings, survey: Survey) -> Drawn:
    """Every scene the papers and the drawing files need."""
    from secondroof.drawings.plan import roof_plan
    from secondroof.drawings.section import section
    from secondroof.papers.loadsheets import load_sheets

    recover = next(r for r in survey.recovers if r.name == findings.recover)
    line = worst_line(findings)
    return Drawn(
        plan=roof_plan(findings, survey, width_px=PAGE_WIDTH_PX, most_height_px=530.0),
        owner_plan=roof_plan(
            findings, survey, width_px=OWNER_WIDTH_PX, show=OWNER_LAYERS, most_height_px=300.0
        ),
        section=section(findings, survey, recover, line, width_px=TURNED_WIDTH_PX) if line else None,
        section_line=line,
        sheets=load_sheets(findings, PAGE_WIDTH_PX, TURNED_WIDTH_PX),
    )


def worst_line(findings: Findings) -> str:
    """Name of the purlin line a section is cut at: the worst stretch of the roof."""
    from secondroof.drawings.stretches import stretches

    rows = stretches(findings)
    return max(rows, key=lambda r: r.badness).name if rows else ""
