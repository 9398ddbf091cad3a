"""Raw readings as tables: place, every reading as it was written, what was set aside and why, the value used."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import TYPE_CHECKING, Any

from secondroof.checks.numbers import show, unit_text
from secondroof.survey.statistics import BadSide, clean, place_in_words, statistic

if TYPE_CHECKING:
    from secondroof.survey.fields import Reading
    from secondroof.survey.models import Survey


def reading_tables(survey: Survey) -> list[dict[str, Any]]:
    """Tables of every family of readings that was read."""
    p, panel = survey.purlins, survey.old_panel
    families: tuple[tuple[str, Sequence[Any], str, str | None, BadSide], ...] = (
        ("Standoff of the old panel over the purlin", survey.standoff, "in", None, "both"),
        ("Base steel of the old members", p.thickness, "in", "base steel", "low"),
        ("Base steel of the old panel", panel.thickness, "in", "base steel", "low"),
        ("Yield strength, coupons", p.yield_readings, "ksi", None, "low"),
        ("Laps of the old purlins, each side of the frame", p.laps_each_side, "in", None, "low"),
        ("Sizes of the old purlins", p.size_readings, "in", None, "both"),
        (f"Width over {panel.run_out_panels} old panels", panel.run_out, "in", None, "both"),
        ("Sizes of the old ribs", panel.rib_readings, "in", None, "both"),
        ("Slope of the pan, rise in 12", survey.slope_readings, "-", None, "both"),
        ("Outline of the building", survey.building.outline_readings, "ft", None, "both"),
        ("Heights of the building", survey.building.height_readings, "ft", None, "both"),
    )
    return [
        {"title": name, "unit": unit_text(unit), "rows": [_row(g, unit, kind, bad) for g in groups]}
        for name, groups, unit, kind, bad in families
        if groups
    ]


def _row(group: Any, unit: str, kind: str | None, bad: BadSide) -> dict[str, Any]:
    readings: Sequence[Reading] = group.readings
    found = clean(readings, bad)
    used = found.values
    spread = ""
    if used:
        low, high = (show(v, unit, kind) for v in (min(used), max(used)))
        spread = low if low == high else f"{low} to {high}"
    design = ""
    if bad == "low" and (s := statistic(readings, "low")) is not None:
        design = f"{show(s.design, unit, kind)}, {s.rule}"
    return {
        "place": _place(group),
        "written": [_written(r) for r in readings],
        "count": f"{len(used)} of {len(readings)}",
        "spread": spread,
        "design": design,
        "aside": [
            f"{a.reading.written or show(a.reading.value, unit, kind)}: {a.reason}" for a in found.aside
        ],
        "notes": _notes(group),
    }


def _place(group: Any) -> str:
    heads: Iterable[str | None] = (
        getattr(group, "member", None),
        getattr(group, "what", None),
        getattr(group, "family", None),
        place_in_words(group),
    )
    return ", ".join(h for h in heads if h)


def _written(r: Reading) -> dict[str, Any]:
    text = r.written or f"{r.value:g}"
    if r.doubtful and not text.endswith("?"):
        text += "?"
    return {"text": text, "doubtful": r.doubtful, "at": r.at or ""}


def _notes(group: Any) -> str:
    nominal = getattr(group, "nominal", None)
    parts = [
        f"nominal {show(nominal, 'in', 'base steel')} in" if nominal is not None else "",
        group.note or "",
        f"subtracted: {group.subtracted}" if group.subtracted else "",
        f"by {group.by}" if group.by else "",
        f"on {group.on}" if group.on else "",
        f"tool: {group.tool}" if group.tool else "",
    ]
    return "; ".join(x for x in parts if x)
