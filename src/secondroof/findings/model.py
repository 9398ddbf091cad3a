"""Findings: everything found about one recover on one roof. Every surface shows these records and nothing else."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from secondroof.acting.frames import Frames
    from secondroof.acting.gathered import Acting
    from secondroof.acting.then_now import ThenNowFound
    from secondroof.checks.model import (
        Check,
        Load,
        Need,
        OldRoof,
        Segments,
        Source,
        SpacingRow,
        Verdict,
        WeightItem,
        ZoneRow,
    )
    from secondroof.formula import Step
    from secondroof.purlins.found import PurlinsFound
    from secondroof.purlins.ponding import PondingFound
    from secondroof.roof.model import Roof


@dataclass(frozen=True, slots=True)
class CaseRow:
    """One load case of the roof with its card, and what it does to the purlin line it loads most.

    Attributes
    ----------
    id, key, title : str
        Card number, stable name of the case, a foreman's words.
    kind, when, level : str
        Load of the combinations; today, with the recover or both; level of the load.
    psf : float or None
        Largest load by place; None where it acts on lines only.
    line : str
        Line with its largest line load, else its largest point load; empty where it loads none of ours.
    w_lb_ft, P_lb : float
        Largest line load and largest point load anywhere; uplift negative.
    clause, checked, sentence, steps, sources, assumed : the card
    """

    id: str
    key: str
    title: str
    kind: str
    when: str
    level: str
    psf: float | None
    line: str
    w_lb_ft: float
    P_lb: float
    clause: str
    checked: str
    sentence: str
    steps: tuple[Step, ...]
    sources: Mapping[str, Source]
    assumed: str


@dataclass(frozen=True, slots=True)
class Findings:
    """All checks of one recover on one roof.

    ``checks`` holds the governing row of every kind in every zone; ``segments`` the whole roof.
    """

    job: str
    invented: bool
    recover: str
    recover_title: str
    version: str
    verdict: Verdict
    checks: tuple[Check, ...]
    segments: Segments
    zones: tuple[ZoneRow, ...]
    spacing: tuple[SpacingRow, ...]
    weight: tuple[WeightItem, ...]
    added_psf: float
    missing: tuple[Need, ...]
    old_roof: OldRoof
    roof: Roof
    rules: Mapping[str, str]
    cautions: Mapping[str, tuple[str, ...]]
    loads: tuple[Load, ...] = ()
    enclosure: str = ""
    enclosure_reason: str = ""
    acting: Acting | None = None
    cases: tuple[CaseRow, ...] = ()
    then_now: ThenNowFound | None = None
    frames: Frames | None = None
    ponding: PondingFound | None = None
    purlins: PurlinsFound | None = None

    def check(self, id: str) -> Check:
        """Check with card number ``id``; raises KeyError where there is none."""
        for check in self.checks:
            if check.id == id:
                return check
        raise KeyError(id)
