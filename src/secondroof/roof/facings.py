"""Which way each wall of a rectangular roof looks."""

from __future__ import annotations

OPPOSITE = {"N": "S", "S": "N", "E": "W", "W": "E", "NE": "SW", "SW": "NE", "NW": "SE", "SE": "NW"}
COMPASS = ("N", "NE", "E", "SE", "S", "SW", "W", "NW")


def facings(first_plane_faces: str) -> tuple[str, str, str, str]:
    """Facings of the first eave wall, the far eave (or high) wall, and the two end walls at frame 1 and the last.

    Seen from above with frame 1 at the left and the first plane's eave at the bottom, the left end wall looks
    a quarter turn clockwise from the first eave's facing.
    """
    k = COMPASS.index(first_plane_faces)
    return first_plane_faces, OPPOSITE[first_plane_faces], COMPASS[(k + 2) % 8], COMPASS[(k + 6) % 8]
