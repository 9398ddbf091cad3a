"""Sizes of the parts of a section, from the survey and the recover; what is missing or assumed is said."""

from __future__ import annotations

import re
import statistics
from dataclasses import dataclass
from typing import TYPE_CHECKING

from secondroof.survey.statistics import design_thickness

if TYPE_CHECKING:
    from collections.abc import Sequence

    from secondroof.checks.model import RegionReading
    from secondroof.findings.model import Findings
    from secondroof.roof.model import RoofLine
    from secondroof.survey.models import Survey

#: Lip square to the flange where its angle was not read; assumed.
LIP_ANGLE_DEG = 90.0


@dataclass(frozen=True, slots=True)
class Purlin:
    """Old purlin; a side that was not read is None and not drawn. [in]"""

    shape: str
    depth_in: float
    top_in: float
    bottom_in: float | None
    lip_in: float | None
    lip_angle_deg: float
    t_in: float | None
    t_note: str


@dataclass(frozen=True, slots=True)
class OldPanel:
    """Old panel: its pan, and its ribs or seams where they were read. [in]"""

    kind: str
    seamed: bool
    standoff_in: float
    t_in: float | None
    pitch_in: float | None
    height_in: float | None
    base_in: float | None
    top_in: float | None
    minor_in: float | None
    measured_in: float | None
    measured_count: int


@dataclass(frozen=True, slots=True)
class Sizes:
    """What can be drawn, what was assumed, what was not read."""

    purlin: Purlin | None
    panel: OldPanel | None
    region: RegionReading | None
    blanket_in: float | None
    block: str
    points_down: bool
    assumed: tuple[str, ...]
    not_read: tuple[str, ...]


def region_of(findings: Findings, line: RoofLine) -> RegionReading | None:
    """The standoff readings that speak of a line: its own, else its plane's, else the field's."""
    regions = [
        r for r in findings.old_roof.regions if r.mean_in is not None and r.plane in (None, line.plane)
    ]

    def nearness(r: RegionReading) -> tuple[int, int]:
        text = r.region.lower()
        named = re.findall(r"lines?\s+([\d, and]+)", text)
        numbers = {int(n) for group in named for n in re.findall(r"\d+", group)}
        if line.index in numbers:
            return 3, r.count
        other = bool(numbers) or ("ridge" in text) != (line.member == "ridge purlin" and "ridge" in text)
        return (0 if other else 2 if r.plane == line.plane else 1), r.count

    return max(regions, key=nearness, default=None)


def read_sizes(findings: Findings, survey: Survey, line: RoofLine, bays: Sequence[int] = ()) -> Sizes:
    """Sizes of the parts at one line, with the words of what is missing."""
    assumed: list[str] = []
    missing: list[str] = []
    purlin = _purlin(survey, line, bays, assumed, missing)
    region = region_of(findings, line)
    panel = _panel(survey, region, missing)
    i = survey.insulation
    draped = i.where == "draped over purlins"
    if draped and i.thickness is None:
        missing.append("thickness of the old blanket")
    blocks = (survey.thermal_blocks or "").strip()
    block = "" if not blocks or blocks.lower().startswith(("none", "no ")) else blocks
    orientation = (survey.purlins.orientation or "").lower()
    if not orientation:
        assumed.append("top flange points up-slope")
    return Sizes(
        purlin=purlin,
        panel=panel,
        region=region,
        blanket_in=i.thickness if draped else None,
        block=block,
        points_down="down" in orientation and "up" not in orientation,
        assumed=tuple(assumed),
        not_read=tuple(missing),
    )


def _purlin(
    survey: Survey, line: RoofLine, bays: Sequence[int], assumed: list[str], missing: list[str]
) -> Purlin | None:
    p = survey.purlins
    if p.shape is None or p.depth is None or p.top_flange is None:
        what = [
            n for n, v in (("shape", p.shape), ("depth", p.depth), ("top flange", p.top_flange)) if v is None
        ]
        missing.append(f"old purlin ({', '.join(what)})")
        return None
    if p.bottom_flange is None:
        missing.append("bottom flange")
    if p.lip is None:
        missing.append("lips")
    elif p.lip_angle is None:
        assumed.append("lips square to the flanges")
    t, note, elsewhere = thickness_at(survey, line, bays)
    if elsewhere:
        assumed.append("thickness of the old purlin, read elsewhere")
    if t is None:
        missing.append("thickness of the old purlin")
    return Purlin(
        p.shape, p.depth, p.top_flange, p.bottom_flange, p.lip, p.lip_angle or LIP_ANGLE_DEG, t, note
    )


def thickness_at(survey: Survey, line: RoofLine, bays: Sequence[int] = ()) -> tuple[float | None, str, bool]:
    """Design thickness of the old member under a line, lowest of the bays given (all where none is).

    Returns
    -------
    tuple
        Base steel [in] or None, what it rests on, and whether it was read elsewhere and is assumed here.
    """
    n = len(survey.building.bays)
    at = [design_thickness(survey, line.plane, line.index, bay, n) for bay in (bays or range(1, n + 1))]
    found = min((t for t in at if t is not None), key=lambda t: t.value_in, default=None)
    if found is None:
        return None, "not read", False
    note = f"lowest of {found.count}" if found.count > 1 else "one reading"
    return found.value_in, f"{note}, read elsewhere" if found.assumed else note, found.assumed


def _panel(survey: Survey, region: RegionReading | None, missing: list[str]) -> OldPanel | None:
    p = survey.old_panel
    if region is None or region.mean_in is None:
        missing.append("standoff, so neither old panel nor new line has a height to be drawn at")
        return None
    seamed = p.kind is not None and "seam" in p.kind
    pitch = p.coverage if seamed else p.rib_module
    what = "seams" if seamed else "ribs"
    if p.kind is None:
        missing.append("ribs or seams of the old panel (kind)")
    else:
        lost = [
            n for n, v in (("spacing", pitch), ("height", p.rib_height), ("width", p.rib_base)) if v is None
        ]
        if lost:
            missing.append(f"{what} of the old panel ({', '.join(lost)})")
    values = [
        r.value if r.read_again is None else r.read_again
        for g in p.run_out
        for r in g.readings
        if r.set_aside is None
    ]
    measured = None
    if values and p.coverage and pitch:
        measured = statistics.fmean(values) / (p.run_out_panels * p.coverage) * pitch
    sheet = [r.value for g in p.thickness for r in g.readings if r.set_aside is None]
    return OldPanel(
        kind=p.kind or "old panel",
        seamed=seamed,
        standoff_in=region.mean_in,
        t_in=min(sheet) if sheet else None,
        pitch_in=measured or pitch,
        height_in=p.rib_height,
        base_in=p.rib_base,
        top_in=p.rib_top,
        minor_in=p.minor_rib_height,
        measured_in=measured,
        measured_count=len(values),
    )
