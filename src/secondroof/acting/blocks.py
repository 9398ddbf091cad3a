"""Higher blocks that stand through a roof: none of this roof is there, so no load of it is either."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import replace
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from secondroof.acting.model import Along, Case, Patch
    from secondroof.roof.model import Roof

Rectangle = tuple[float, float, float, float]
#: Cases of real things, each at a place of its own: these are left where the survey says they are.
STAYS = ("dead.hung", "dead.units", "bundle")
#: What is left of a load beside a block is dropped where it is narrower than this. [ft]
LEAST_FT = 1e-6


def outside(case: Case, roof: Roof) -> Case:
    """The case without what would lie inside the blocks of a roof.

    Parameters
    ----------
    case : Case
        Any case but hung loads, units and bundles, which are given back as they are.
    roof : Roof
        The roof, with its blocks.
    """
    if not roof.blocks or case.key.startswith(STAYS):
        return case
    return replace(
        case,
        patches=patches_outside(case.patches, roof),
        along=along_outside(case.along, roof),
    )


def patches_outside(patches: Iterable[Patch], roof: Roof) -> tuple[Patch, ...]:
    """Patches with the plan of every block cut out; the load at each place stays what it was."""
    rest = list(patches)
    for block in roof.blocks:
        rest = [part for patch in rest for part in _around(patch, block)]
    return tuple(rest)


def along_outside(along: Iterable[Along], roof: Roof) -> tuple[Along, ...]:
    """Loads along lines with their part inside a block cut out; a point inside one is dropped."""
    y = {(line.plane, line.index): line.y_ft for line in roof.lines}
    rest = list(along)
    for x0, x1, y0, y1 in roof.blocks:
        rest = [
            part
            for item in rest
            for part in (_beside(item, x0, x1) if y0 < y[item.plane, item.line] < y1 else (item,))
        ]
    return tuple(rest)


def block_notes(names: Iterable[str], cases: Iterable[Case], roof: Roof) -> tuple[str, ...]:
    """What to know of a roof that blocks stand through.

    Parameters
    ----------
    names : iterable of str
        What each block is, in the order of ``roof.blocks``.
    cases : iterable of Case
        The cases of the roof.
    roof : Roof
        The roof.
    """
    notes = []
    for what, (x0, x1, y0, y1) in zip(names, roof.blocks, strict=True):
        notes.append(
            f"Where the {what} stands, {x0:g} to {x1:g} ft along and {y0:g} to {y1:g} ft across, no roof load is put "
            "on the lines, wind included. The lines are reckoned as running on through it: how they are held at its "
            "walls was not read, and an engineer looks at the lines that meet it. Its area is still counted in the "
            "area and whole weight of the new roof, and in the wind zones."
        )
    place = {(line.plane, line.index): line.y_ft for line in roof.lines}
    for case in cases:
        if not case.key.startswith(STAYS):
            continue
        for item in case.along:
            y = place[item.plane, item.line]
            if any(y0 < y < y1 and x0 < item.x1_ft and item.x0_ft < x1 for x0, x1, y0, y1 in roof.blocks):
                notes.append(
                    f"{item.what or case.title}: line {item.plane}{item.line} at {item.x0_ft:.1f} ft lies inside a "
                    "block. It is counted; mend its place if it is not there."
                )
    return tuple(dict.fromkeys(notes))


def _around(patch: Patch, block: Rectangle) -> Iterator[Patch]:
    """Parts of a patch before, after, below and above a block."""
    x0, x1 = max(patch.x0_ft, block[0]), min(patch.x1_ft, block[1])
    y0, y1 = max(patch.y0_ft, block[2]), min(patch.y1_ft, block[3])
    if x1 - x0 <= LEAST_FT or y1 - y0 <= LEAST_FT:
        yield patch
        return
    for a, b, c, d in (
        (patch.x0_ft, x0, patch.y0_ft, patch.y1_ft),
        (x1, patch.x1_ft, patch.y0_ft, patch.y1_ft),
        (x0, x1, patch.y0_ft, y0),
        (x0, x1, y1, patch.y1_ft),
    ):
        if b - a > LEAST_FT and d - c > LEAST_FT:
            corners = (_at(patch, a, c), _at(patch, b, c), _at(patch, b, d), _at(patch, a, d))
            yield replace(patch, x0_ft=a, x1_ft=b, y0_ft=c, y1_ft=d, psf=corners)


def _at(patch: Patch, x: float, y: float) -> float:
    """Load of a patch at a place, linear along its sides. [psf]"""
    u = (x - patch.x0_ft) / (patch.x1_ft - patch.x0_ft)
    v = (y - patch.y0_ft) / (patch.y1_ft - patch.y0_ft)
    a, b, c, d = patch.psf
    if a == b == c == d:
        return a
    return (a * (1 - u) + b * u) * (1 - v) + (d * (1 - u) + c * u) * v


def _beside(item: Along, x0: float, x1: float) -> Iterator[Along]:
    """Parts of a load along a line before and after a block."""
    if item.x1_ft <= x0 or item.x0_ft >= x1:
        yield item
        return
    if item.is_point:
        return
    for a, b in ((item.x0_ft, min(item.x1_ft, x0)), (max(item.x0_ft, x1), item.x1_ft)):
        if b - a > LEAST_FT:
            steep = (item.w1 - item.w0) / (item.x1_ft - item.x0_ft)
            first, last = item.w0 + steep * (a - item.x0_ft), item.w0 + steep * (b - item.x0_ft)
            yield replace(item, x0_ft=a, x1_ft=b, w0=first, w1=last)
