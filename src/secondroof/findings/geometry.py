"""From a survey to the roof: planes, frame lines, purlin lines and wind zones where they really are."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING, Literal

from secondroof.roof.facings import OPPOSITE, facings
from secondroof.roof.model import Roof, RoofLine, RoofPlane
from secondroof.roof.zones import entered_zones, zones

if TYPE_CHECKING:
    from collections.abc import Mapping

    from shapely.geometry.base import BaseGeometry

    from secondroof.survey.ground import EnteredZone
    from secondroof.survey.models import Plane, Survey

#: A line this near the top of its plane [ft] is the ridge line.
RIDGE_REACH_FT = 1.5
#: Zone name where no edition is known.
NO_ZONE = "not known"


def build_roof(survey: Survey, edition: str | None) -> Roof:
    """Geometry of the roof, with wind zones drawn by ``edition``.

    Parameters
    ----------
    survey : Survey
        A survey that reads without problems.
    edition : str or None
        ASCE 7 edition for the zones, e.g. ``7-16``; None draws the whole roof as one zone named ``not known``.
        Zones entered in the ground rules are used in place of those drawn here.

    Returns
    -------
    Roof
        Mean roof height is the mean of eave and ridge height; where the ridge height was not taken it is
        worked out from run and slope. Zones use the mean roof height (the eave height is allowed for
        slopes up to 10 degrees and gives no wider zones).
    """
    b = survey.building
    overhang_ft = (survey.edges.overhang or 0.0) / 12
    planes: list[RoofPlane] = []
    for i, plane in enumerate(b.planes):
        faces = b.first_plane_faces if i == 0 else OPPOSITE[b.first_plane_faces]
        y_eave = 0.0 if i == 0 else b.width
        planes.append(_plane(plane, faces, y_eave, 1.0 if i == 0 else -1.0, b.length, overhang_ft))
    rise = b.planes[0].run * b.planes[0].slope / 12
    ridge = b.ridge_height if b.ridge_height is not None else b.eave_height + rise
    h = (b.eave_height + ridge) / 2
    slope_deg = max(p.slope_deg for p in planes)
    drawn: Mapping[str, BaseGeometry]
    if edition is None:
        from shapely.geometry import box

        drawn = {NO_ZONE: box(0.0, 0.0, b.length, b.width)}
    elif survey.ground_rules.entered_zones:
        drawn = _entered(survey.ground_rules.entered_zones, b.length, b.width)
    else:
        shape = "gable" if len(planes) == 2 else "monoslope"
        ridge_y = planes[0].y_top_ft if len(planes) == 2 else None
        drawn = zones(edition, shape, slope_deg, b.length, b.width, h, ridge_y_ft=ridge_y)
    frames = [0.0]
    for bay in b.bays:
        frames.append(frames[-1] + bay)
    return Roof(
        shape=b.shape,
        length_ft=b.length,
        width_ft=b.width,
        eave_height_ft=b.eave_height,
        ridge_height_ft=ridge,
        h_ft=h,
        frames_ft=tuple(frames),
        planes=tuple(planes),
        zones=drawn,
        zone_edition=edition or NO_ZONE,
        blocks=tuple((k.along_from, k.along_to, k.across_from, k.across_to) for k in b.blocks),
    )


def _entered(rows: tuple[EnteredZone, ...], length_ft: float, width_ft: float) -> dict[str, BaseGeometry]:
    """Zones as a person read them, rectangles of one name together."""
    from shapely import union_all
    from shapely.geometry import box

    parts: dict[str, list[BaseGeometry]] = {}
    for row in rows:
        for x0, y0, x1, y1 in row.rectangles:
            parts.setdefault(row.zone, []).append(box(min(x0, x1), min(y0, y1), max(x0, x1), max(y0, y1)))
    shapes = {zone: union_all(found) for zone, found in parts.items()}
    return entered_zones(box(0.0, 0.0, length_ft, width_ft), shapes)


def _plane(
    plane: Plane, faces: str, y_eave: float, way: float, length_ft: float, overhang_ft: float
) -> RoofPlane:
    theta = math.atan(plane.slope / 12)
    slope_length = plane.run / math.cos(theta)
    s = [float(line.from_eave) for line in plane.lines]
    lines = []
    for i, at in enumerate(s):
        below = at - s[i - 1] if i > 0 else None
        above = s[i + 1] - at if i + 1 < len(s) else None
        low = at + overhang_ft if below is None else below / 2
        high = slope_length - at if above is None else above / 2
        member: Literal["eave strut", "purlin", "ridge purlin"] = (
            "eave strut"
            if i == 0 and at < 0.01
            else "ridge purlin"
            if slope_length - at <= RIDGE_REACH_FT
            else "purlin"
        )
        lines.append(
            RoofLine(
                plane=plane.name,
                index=i,
                name=f"{plane.name}{i}",
                member=member,
                s_ft=at,
                y_ft=y_eave + way * at * math.cos(theta),
                width_ft=low + max(high, 0.0),
                gap_ft=max(x for x in (below, above, 0.0) if x is not None),
            )
        )
    return RoofPlane(
        name=plane.name,
        faces=faces,
        y_eave_ft=y_eave,
        y_top_ft=y_eave + way * plane.run,
        run_ft=plane.run,
        slope_in12=plane.slope,
        slope_deg=math.degrees(theta),
        slope_length_ft=slope_length,
        area_ft2=length_ft * (slope_length + overhang_ft),
        lines=tuple(lines),
    )


def wall_facings(survey: Survey) -> tuple[str, str, str, str]:
    """Facings of the first eave wall, the far eave (or high) wall, and the two end walls at frame 1 and the last."""
    return facings(survey.building.first_plane_faces)
