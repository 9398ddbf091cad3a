"""Line weights, colours, hatches and marks of every drawing, once for all emitters."""

from __future__ import annotations

from dataclasses import dataclass

LIGHT = {
    "bench": "#DDE3E2", "sheet": "#FBFCFB", "raised": "#F0F3F2", "ink": "#16211F", "ink2": "#45524F",
    "rule": "#BCC6C3", "edge": "#71807C", "old": "#66736F", "new": "#0A3F6B", "marker": "#FFE07A",
    "z1": "#F1F4F4", "z2": "#E1E8EA", "z3": "#C6D2D6",
    "holds": "#0B6A5D", "short": "#BF3415", "unknown": "#5C3F00", "engineer": "#6D3FB0",
    "holdsT": "#E1F1EA", "shortT": "#FBE5E1", "unknownT": "#F8EDD0", "engineerT": "#ECE6F7",
    "newT": "#DCEAF4", "oldT": "#EEF2F1", "marked": "#16211F",
}  # fmt: skip
DARK = {
    "bench": "#0C1211", "sheet": "#151D1C", "raised": "#1F2927", "ink": "#E8EEEC", "ink2": "#AEBBB7",
    "rule": "#36443F", "edge": "#7A8A85", "old": "#97A5A0", "new": "#A9D7FA", "marker": "#F0CF4A",
    "z1": "#1A2423", "z2": "#202C2C", "z3": "#2C3B3C",
    "holds": "#4CCB9A", "short": "#FF9684", "unknown": "#DDAA2E", "engineer": "#B08CF6",
    "holdsT": "#12322A", "shortT": "#3F1D19", "unknownT": "#372B0C", "engineerT": "#2B2344",
    "newT": "#1B3245", "oldT": "#1F2927", "marked": "#16211F",
}  # fmt: skip
#: In one ink: everything that a photocopier keeps.
STATES = ("holds", "short", "unknown", "engineer")
LEAST_TEXT_PX = 12.5
LETTERING = "'Barlow Semi Condensed', Barlow, 'Arial Narrow', 'Liberation Sans Narrow', sans-serif"


@dataclass(frozen=True, slots=True)
class Stroke:
    """A line: colour, width on screen [px] and in print [mm], dashes [px]."""

    colour: str
    px: float
    mm: float
    dash: tuple[float, ...] = ()


STROKES = {
    "outline": Stroke("ink", 2.0, 0.50),
    "border": Stroke("ink", 1.6, 0.50),
    "new": Stroke("new", 2.4, 0.50),
    "cut new": Stroke("new", 3.0, 0.50),
    "new thin": Stroke("new", 1.1, 0.25),
    "new hidden": Stroke("new", 1.2, 0.25, (7, 4)),
    "old": Stroke("old", 1.1, 0.25),
    "cut old": Stroke("old", 2.0, 0.35),
    "hidden": Stroke("old", 1.0, 0.18, (7, 4)),
    "frame": Stroke("edge", 0.8, 0.18, (12, 3, 2, 3)),
    "ridge": Stroke("ink", 1.1, 0.25, (12, 3, 2, 3)),
    "zone": Stroke("ink2", 1.0, 0.18, (9, 4)),
    "dim": Stroke("ink", 1.1, 0.18),
    "leader": Stroke("ink", 1.1, 0.18),
    "ink": Stroke("ink", 1.1, 0.18),
    "circle": Stroke("ink", 1.2, 0.25),
    "plate": Stroke("ink2", 0.9, 0.18),
    "rule": Stroke("rule", 1.0, 0.18),
    "axis": Stroke("ink2", 0.9, 0.18),
    "limit": Stroke("ink", 1.8, 0.35),
    "screw": Stroke("ink", 2.2, 0.50),
    "opening": Stroke("ink", 1.2, 0.25),
    "marked": Stroke("ink", 2.0, 0.50),
    "break": Stroke("edge", 0.9, 0.18, (9, 3, 2, 3)),
    "holds": Stroke("holds", 1.5, 0.30),
    "short": Stroke("short", 3.6, 0.90),
    "unknown": Stroke("unknown", 3.4, 0.80, (4, 6)),
    "engineer": Stroke("engineer", 1.2, 0.25),
    "holds flag": Stroke("holds", 1.6, 0.30),
    "short flag": Stroke("short", 1.6, 0.30),
    "unknown flag": Stroke("unknown", 1.4, 0.30, (4, 2)),
    "engineer flag": Stroke("engineer", 1.6, 0.30),
    "pencil": Stroke("unknown", 1.2, 0.20, (4, 3)),
    "blank": Stroke("unknown", 1.2, 0.25, (4, 3)),
}  # fmt: skip


@dataclass(frozen=True, slots=True)
class Hatch:
    """A pattern: pitch [px] and what is repeated; ``tint`` the ground under it."""

    kind: str
    colour: str
    pitch_px: float
    width_px: float
    tint: str = ""


HATCHES = {
    "zone 1": Hatch("strokes", "edge", 14.0, 0.7, "z1"),
    "zone 2": Hatch("strokes", "edge", 7.0, 0.7, "z2"),
    "zone 3": Hatch("strokes", "edge", 3.6, 0.7, "z3"),
    "short": Hatch("strokes", "short", 6.0, 2.1, "shortT"),
    "unknown": Hatch("dots", "unknown", 6.0, 1.1, "unknownT"),
    "engineer": Hatch("net", "engineer", 5.0, 0.9, "engineerT"),
}


def zone_hatch(zone: str) -> str:
    """Pattern of a wind zone: none for 1' and for zones not known, else by its figure."""
    if zone == "1'" or zone[:1] not in "123" or not zone:
        return ""
    return f"zone {zone[0]}"


#: Marks in a 14 px box; strokes and areas as (kind, data).
MARKS = {
    "holds": (("stroke", ((1.6, 7.6), (5.4, 11.6), (12.6, 2.6))),),
    "short": (("area", ((0.6, 2.0), (13.4, 2.0), (7.0, 13.0))),),
    "unknown": (("dashes", ((2.0, 2.0), (12.0, 2.0), (12.0, 12.0), (2.0, 12.0))),),
    "engineer": (("ring", ((7.0, 7.0), (6.1, 0.0))), ("ring", ((7.0, 7.0), (3.0, 0.0)))),
}

#: Layers of a CAD file in the form of the US National CAD Standard: colour index and line weight [1/100 mm].
CAD_LAYERS = {
    "S-BEAM-E": (8, 25),
    "S-BEAM-N": (5, 50),
    "S-GRID": (9, 18),
    "A-ROOF-E": (8, 35),
    "A-ROOF-N": (5, 50),
    "A-ROOF-OTLN": (7, 50),
    "A-ROOF-ZONE": (9, 18),
    "A-ROOF-OPNG": (7, 25),
    "A-ANNO-DIMS": (7, 18),
    "A-ANNO-TEXT": (7, 18),
    "A-ANNO-SYMB": (7, 25),
    "A-ANNO-TTLB": (7, 25),
}
