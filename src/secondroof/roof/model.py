"""Plan geometry of one roof: planes, frame lines and purlin lines where they really are.

Plan coordinates: ``x`` along the ridge from frame 1 (0 to ``length_ft``), ``y`` across from the first
plane's eave strut (0 to ``width_ft``). Distances named ``s`` run along the slope from the outside face
of the eave strut, as a crew tapes them.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Literal

if TYPE_CHECKING:
    from collections.abc import Mapping

    from shapely.geometry.base import BaseGeometry


@dataclass(frozen=True, slots=True)
class RoofLine:
    """One purlin line.

    Attributes
    ----------
    plane : str
        Plane it lies on.
    index : int
        Count from the eave; 0 is the strut.
    name : str
        ``S0``, ``S1`` and so on.
    member : str
        Eave strut, purlin or ridge purlin.
    s_ft : float
        Distance from the eave along the slope.
    y_ft : float
        Plan position across the building.
    width_ft : float
        Width of roof it carries along the slope: half way to each neighbour, overhang and ridge included.
    gap_ft : float
        Larger distance to a neighbouring line, along the slope: the span of the new panel there.
    """

    plane: str
    index: int
    name: str
    member: Literal["eave strut", "purlin", "ridge purlin"]
    s_ft: float
    y_ft: float
    width_ft: float
    gap_ft: float


@dataclass(frozen=True, slots=True)
class RoofPlane:
    """One plane: from its eave (``y_eave_ft``) to its ridge or high wall (``y_top_ft``)."""

    name: str
    faces: str
    y_eave_ft: float
    y_top_ft: float
    run_ft: float
    slope_in12: float
    slope_deg: float
    slope_length_ft: float
    area_ft2: float
    lines: tuple[RoofLine, ...]


@dataclass(frozen=True, slots=True)
class Roof:
    """One rectangular roof.

    Attributes
    ----------
    blocks : tuple of (x0, x1, y0, y1)
        Plan of each higher block that stands through the roof, where none of this roof is. [ft]
    frames_ft : tuple of float
        Frame lines, ``x`` from frame 1.
    h_ft : float
        Mean roof height.
    zones : mapping of zone name to polygon
        Wind zones in plan, tiling the outline.
    zone_edition : str
        Edition the zones were drawn by.
    """

    shape: Literal["gable", "unequal gable", "single slope"]
    length_ft: float
    width_ft: float
    eave_height_ft: float
    ridge_height_ft: float
    h_ft: float
    frames_ft: tuple[float, ...]
    planes: tuple[RoofPlane, ...]
    zones: Mapping[str, BaseGeometry]
    zone_edition: str
    blocks: tuple[tuple[float, float, float, float], ...] = ()

    @property
    def area_ft2(self) -> float:
        """Area of all planes along the slope; the place of blocks is counted too."""
        return sum(p.area_ft2 for p in self.planes)

    @property
    def lines(self) -> tuple[RoofLine, ...]:
        """Every line of every plane."""
        return tuple(line for plane in self.planes for line in plane.lines)
