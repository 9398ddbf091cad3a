"""Charts of the workbench: dots of every standoff reading on its line."""

from __future__ import annotations

from typing import TYPE_CHECKING

from secondroof.checks.numbers import show
from secondroof.drawings.scene import Circle, Layer, Line, Scene, Text
from secondroof.drawings.svg import to_svg

if TYPE_CHECKING:
    from secondroof.survey.fields import GapGroup

#: Limits between sitting or low and floating. [in]
LOW_IN, FLOATS_IN = 0.375, 0.75
WIDTH, LEFT, ROW, DOT = 860.0, 230.0, 30.0, 4.6


def group_name(group: GapGroup, number: int) -> str:
    """Where a group of readings was taken, in words."""
    where = [f"plane {group.plane}" if group.plane else "", group.station or "", group.at or ""]
    if group.lines:
        where.append("lines " + ", ".join(map(str, group.lines)))
    if group.bays:
        where.append("bays " + ", ".join(map(str, group.bays)))
    return ", ".join(w for w in where if w) or f"group {number}, place not written down"


def standoff_dots(groups: tuple[GapGroup, ...]) -> str:
    """Every standoff reading as a dot on the line of its place, with the limits marked.

    A ring is a reading set aside; a reading marked doubtful has its value in pencil beside it.
    """
    values = [r.value for g in groups for r in g.readings]
    end = max(1.0, *(v * 1.08 for v in values)) if values else 1.0
    k = (WIDTH - LEFT - 70) / end
    tall = [max(ROW, 16.0 + 2 * DOT * _stack(g, k)) for g in groups]
    height = 62 + sum(tall)
    items: list[Line | Text | Circle] = []
    bottom = height - 26
    for at, words in ((LOW_IN, "low to 3/8 in"), (FLOATS_IN, "floats from 3/4 in")):
        x = LEFT + at * k
        items.append(Line((x, 26), (x, bottom), "limit"))
        items.append(Text((x, 18), words, 13.0, 500, "middle"))
    step = 0.25 if end <= 2.2 else 0.5 if end <= 5 else 1.0
    for i in range(int(end / step) + 1):
        items.append(Text((LEFT + i * step * k, bottom + 18), f"{i * step:g}", 12.5, 400, "middle", "ink2"))
    items.append(Text((LEFT + end * k + 12, bottom + 18), "in", 12.5, 400, "start", "ink2"))
    for n, group in enumerate(groups):
        y = 30 + sum(tall[: n + 1])
        items.append(Line((LEFT, y), (LEFT + end * k, y), "rule"))
        items.append(Text((LEFT - 12, y + 4.5), _short(group_name(group, n + 1)), 13.0, 400, "end"))
        doubted = [r for r in group.readings if r.doubtful or r.set_aside]
        laid: list[tuple[float, int]] = []
        for r in sorted(group.readings, key=lambda r: r.value):
            x = LEFT + r.value * k
            level = next(
                n for n in range(len(laid) + 1) if all(n != m or abs(x - z) >= 2 * DOT for z, m in laid)
            )
            laid.append((x, level))
            style, fill = ("unknown flag", "sheet") if r in doubted else ("ink", "ink")
            at = y - 2 * DOT * level
            items.append(Circle((x, at), DOT - 0.4, style, fill))
            if r in doubted:
                text = f"{show(r.value, 'in', 'gap')}?"
                items.append(
                    Text(
                        (x + DOT + 5, at + 4.5), text, 12.5, 500, "start", "unknown", assumed=True, halo=True
                    )
                )
    title = "Standoff readings: " + "; ".join(
        f"{group_name(g, n)}: {', '.join(show(r.value, 'in', 'gap') for r in g.readings)}"
        for n, g in enumerate(groups, 1)
    )
    return to_svg(
        Scene(
            "standoff",
            "Every standoff reading",
            title,
            WIDTH,
            height,
            (Layer("dots", "A-ANNO-SYMB", tuple(items)),),
        )
    )


def _stack(group: GapGroup, k: float) -> int:
    """Most dots that lie over each other."""
    xs = [r.value * k for r in group.readings]
    return max((sum(abs(x - z) < 2 * DOT for z in xs) for x in xs), default=0)


def _short(text: str) -> str:
    return text if len(text) <= 34 else text[:32] + "..."
