"""Roof geometry asked for by name with plain numbers."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from secondroof.errors import InputError, Problem
from secondroof.roof import zones as geometry


def zone_areas(
    edition: str,
    roof_shape: str,
    slope_deg: float,
    h_ft: float,
    *,
    length_ft: float | None = None,
    width_ft: float | None = None,
    ridge_y_ft: float | None = None,
    outline_x_ft: Sequence[float] | None = None,
    outline_y_ft: Sequence[float] | None = None,
) -> dict[str, Any]:
    """Wind zones of a roof as polygons in plan, with their areas.

    Parameters
    ----------
    length_ft, width_ft : float
        Plan size of a rectangle along x and y; needed where no outline is given. [ft]
    ridge_y_ft : float
        Distance of the ridge from the edge y = 0; left out, mid-width. [ft]
    outline_x_ft, outline_y_ft : list
        Corners of another outline in order, x and y. [ft]
    """
    outline = None
    if outline_x_ft is not None or outline_y_ft is not None:
        xs, ys = outline_x_ft or (), outline_y_ft or ()
        if len(xs) != len(ys) or len(xs) < 3:
            raise InputError(
                Problem("outline_y_ft", f"{len(xs)} and {len(ys)} numbers", "x and y must pair, three corners or more.",
                        "Give one x and one y a corner.")
            )  # fmt: skip
        outline = list(zip(xs, ys, strict=True))
        length_ft, width_ft = max(xs) - min(xs), max(ys) - min(ys)
    else:
        lacking = [n for n, v in (("length_ft", length_ft), ("width_ft", width_ft)) if v is None or v <= 0]
        if lacking:
            raise InputError(
                [
                    Problem(
                        n, "", "is needed, above zero, where no outline is given. [ft]", f"Add {n}=value."
                    )
                    for n in lacking
                ]
            )
    assert length_ft is not None
    assert width_ft is not None
    found = geometry.zones(
        edition, roof_shape, slope_deg, length_ft, width_ft, h_ft, ridge_y_ft=ridge_y_ft, outline=outline
    )
    result: dict[str, Any] = {"total_ft2": sum(shape.area for shape in found.values())}
    for name, shape in found.items():
        result[f"zone {name} ft2"] = shape.area
    for name, shape in found.items():
        for k, part in enumerate(getattr(shape, "geoms", (shape,)), start=1):
            result[f"zone {name} polygon {k} corners"] = [list(c) for c in part.exterior.coords]
            for m, hole in enumerate(part.interiors, start=1):
                result[f"zone {name} polygon {k} hole {m} corners"] = [list(c) for c in hole.coords]
    return result
