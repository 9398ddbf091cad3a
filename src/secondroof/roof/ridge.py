"""The ridge purlin two planes share, where each plane's survey ends on it."""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from secondroof.roof.model import Roof

#: Ridge lines of two planes nearer than this in plan are one purlin. [ft]
ONE_RIDGE_FT = 0.25


def shared_ridge(roof: Roof) -> tuple[tuple[str, int], tuple[str, int]] | None:
    """Plane and line of the two ridge lines that are one purlin in plan; None where each plane has its own."""
    if len(roof.planes) != 2 or not all(p.lines for p in roof.planes):
        return None
    first, second = (p.lines[-1] for p in roof.planes)
    if abs(first.y_ft - second.y_ft) > ONE_RIDGE_FT:
        return None
    return (first.plane, first.index), (second.plane, second.index)
