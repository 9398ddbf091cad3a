"""Where drifts lie in plan: a wall or one face of a block, and the triangle of snow against it."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from secondroof.acting.model import Patch
from secondroof.acting.snow_roof import band
from secondroof.roof.facings import facings

if TYPE_CHECKING:
    from secondroof.roof.model import Roof, RoofPlane
    from secondroof.survey.models import Survey

#: Lengths below this are nothing. [ft]
NOTHING_FT = 1e-6


@dataclass(frozen=True, slots=True)
class Face:
    """A line in plan that snow lies against.

    Attributes
    ----------
    along_ridge : bool
        True where the line runs along the ridge, so that the snow lies across the building.
    at_ft : float
        Plan place of the line: ``y`` where it runs along the ridge, else ``x``.
    lo_ft, hi_ft : float
        Ends of the line.
    way : int
        +1 where the snow lies toward larger coordinates, else -1.
    """

    along_ridge: bool
    at_ft: float
    lo_ft: float
    hi_ft: float
    way: int


def room(roof: Roof, face: Face) -> float:
    """Length of roof square to the face, from it to the far edge. [ft]"""
    size = roof.width_ft if face.along_ridge else roof.length_ft
    return size - face.at_ft if face.way > 0 else face.at_ft


def behind(roof: Roof, face: Face) -> float:
    """Length of roof square to the face on its other side, up to the near edge. [ft]"""
    size = roof.width_ft if face.along_ridge else roof.length_ft
    return size - room(roof, face)


def clipped(roof: Roof, face: Face) -> Face | None:
    """The face within the roof; None where nothing of it is."""
    long = roof.length_ft if face.along_ridge else roof.width_ft
    lo, hi = max(face.lo_ft, 0.0), min(face.hi_ft, long)
    return replace(face, lo_ft=lo, hi_ft=hi) if hi - lo > NOTHING_FT else None


def wall_face(survey: Survey, roof: Roof, side: str, first: float | None, last: float | None) -> Face | None:
    """Face of the wall that looks to ``side``; None where no wall of this roof looks there.

    `first` and `last` run along the wall, from frame 1 or from the first eave; the whole wall where left out.
    """
    walls = facings(survey.building.first_plane_faces)
    if side not in walls:
        return None
    k = walls.index(side)
    along = k < 2
    long = roof.length_ft if along else roof.width_ft
    at = (0.0, roof.width_ft, 0.0, roof.length_ft)[k]
    lo = 0.0 if first is None else first
    hi = long if last is None else last
    return clipped(roof, Face(along, at, lo, hi, 1 if k in (0, 2) else -1))


def block_faces(
    survey: Survey, roof: Roof, x0: float, x1: float, y0: float, y1: float
) -> tuple[tuple[str, Face], ...]:
    """Faces of a block that have roof before them, each with the way it looks."""
    walls = facings(survey.building.first_plane_faces)
    every = (
        (walls[0], Face(True, y0, x0, x1, -1)),
        (walls[1], Face(True, y1, x0, x1, 1)),
        (walls[2], Face(False, x0, y0, y1, -1)),
        (walls[3], Face(False, x1, y0, y1, 1)),
    )
    out = []
    for looks, face in every:
        cut = clipped(roof, face)
        if cut is not None and room(roof, cut) > NOTHING_FT:
            out.append((looks, cut))
    return tuple(out)


def pieces(roof: Roof, face: Face) -> tuple[tuple[RoofPlane, Face], ...]:
    """The face cut at the ridge, each piece with the plane the snow starts on."""
    if face.along_ridge:
        inside = face.at_ft + face.way * NOTHING_FT
        for plane in roof.planes:
            low, high = band(plane)
            if low <= inside <= high:
                return ((plane, face),)
        return ()
    out = []
    for plane in roof.planes:
        low, high = band(plane)
        lo, hi = max(face.lo_ft, low), min(face.hi_ft, high)
        if hi - lo > NOTHING_FT:
            out.append((plane, replace(face, lo_ft=lo, hi_ft=hi)))
    return tuple(out)


def lying(roof: Roof, face: Face, near_psf: float, far_psf: float, width_ft: float) -> tuple[Patch, ...]:
    """Snow before a face, from ``near_psf`` at it to ``far_psf`` where it ends; cut at the roof and the ridge."""
    if width_ft <= NOTHING_FT:
        return ()

    def at(place: float) -> float:
        return near_psf + (far_psf - near_psf) * abs(place - face.at_ft) / width_ft

    end = face.at_ft + face.way * width_ft
    d0, d1 = sorted((face.at_ft, end))
    out = []
    for plane in roof.planes:
        low, high = band(plane)
        if face.along_ridge:
            x0, x1, y0, y1 = face.lo_ft, face.hi_ft, max(d0, low), min(d1, high)
            values = (at(y0), at(y0), at(y1), at(y1))
        else:
            x0, x1 = max(d0, 0.0), min(d1, roof.length_ft)
            y0, y1 = max(face.lo_ft, low), min(face.hi_ft, high)
            values = (at(x0), at(x1), at(x1), at(x0))
        if x1 - x0 > NOTHING_FT and y1 - y0 > NOTHING_FT:
            out.append(Patch(plane.name, x0, x1, y0, y1, values))
    return tuple(out)


def laid_over(base: tuple[Patch, ...], more: tuple[Patch, ...]) -> tuple[Patch, ...]:
    """Uniform snow with further snow on it, as patches that do not overlap: the load at a place stands in one patch.

    Parameters
    ----------
    base : tuple of Patch
        Uniform patches that do not overlap.
    more : tuple of Patch
        Further snow inside them, not overlapping either.

    Returns
    -------
    tuple of Patch
        The same total.
    """
    bare = list(base)
    sums: list[Patch] = []
    for top in more:
        kept: list[Patch] = []
        for under in bare:
            x0, x1 = max(under.x0_ft, top.x0_ft), min(under.x1_ft, top.x1_ft)
            y0, y1 = max(under.y0_ft, top.y0_ft), min(under.y1_ft, top.y1_ft)
            if under.plane != top.plane or x1 - x0 <= NOTHING_FT or y1 - y0 <= NOTHING_FT:
                kept.append(under)
                continue
            kept += (
                replace(under, x0_ft=a, x1_ft=b, y0_ft=c, y1_ft=d)
                for a, b, c, d in (
                    (under.x0_ft, x0, under.y0_ft, under.y1_ft),
                    (x1, under.x1_ft, under.y0_ft, under.y1_ft),
                    (x0, x1, under.y0_ft, y0),
                    (x0, x1, y1, under.y1_ft),
                )
                if b - a > NOTHING_FT and d - c > NOTHING_FT
            )
            sums.append(Patch(under.plane, x0, x1, y0, y1, _part(top, x0, x1, y0, y1, under.psf[0])))
        bare = kept
    return (*bare, *sums)


def _part(
    p: Patch, x0: float, x1: float, y0: float, y1: float, add_psf: float
) -> tuple[float, float, float, float]:
    """Corner loads of a part of a patch, with a uniform load added."""

    def at(x: float, y: float) -> float:
        u, v = (x - p.x0_ft) / (p.x1_ft - p.x0_ft), (y - p.y0_ft) / (p.y1_ft - p.y0_ft)
        a, b, c, d = p.psf
        return a * (1 - u) * (1 - v) + b * u * (1 - v) + c * u * v + d * (1 - u) * v + add_psf

    return at(x0, y0), at(x1, y0), at(x1, y1), at(x0, y1)
