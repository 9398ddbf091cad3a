"""Deflection limits as data, and a deflection held against one."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

import numpy as np

from secondroof.formula import formula
from secondroof.lines.words import Numeric

Load = Literal["live", "snow or wind", "dead and live", "total", "300 lb at mid-span"]
_TABLE = "IBC Table 1604.3"
_SEEN = "verified: public copies of the table"


@dataclass(frozen=True, slots=True)
class DeflectionLimit:
    """One row of a deflection table.

    Attributes
    ----------
    key : str
        Stable name.
    what : str
        Member and what it carries.
    load : str
        Load under which the deflection is taken.
    over : float
        The limit is the span divided by this. [-]
    clause, checked : str
        Where it comes from and how it was confirmed.
    note : str
        What else it depends on.
    """

    key: str
    what: str
    load: Load
    over: float
    clause: str
    checked: str
    note: str = ""


_FORMED = (
    "holds only while the formed metal sheet has no other roof covering; a membrane, a filler or boards over it bring "
    "the ordinary rows back"
)
LIMITS: tuple[DeflectionLimit, ...] = (
    DeflectionLimit("formed.purlin.live", "purlin under formed metal roofing", "live", 150.0, f"{_TABLE}, note a",
                    _SEEN, _FORMED),
    DeflectionLimit("formed.sheet.total", "formed metal roof sheet", "total", 60.0, f"{_TABLE}, note a", _SEEN),
    DeflectionLimit("plain.live", "roof member, no ceiling", "live", 180.0, _TABLE, _SEEN),
    DeflectionLimit("plain.snow_wind", "roof member, no ceiling", "snow or wind", 180.0, _TABLE, _SEEN),
    DeflectionLimit("plain.dead_live", "roof member, no ceiling", "dead and live", 120.0, _TABLE, _SEEN),
    DeflectionLimit("ceiling.live", "roof member over a ceiling that is not plaster", "live", 240.0, _TABLE, _SEEN),
    DeflectionLimit("ceiling.snow_wind", "roof member over a ceiling that is not plaster", "snow or wind", 240.0,
                    _TABLE, _SEEN),
    DeflectionLimit("ceiling.dead_live", "roof member over a ceiling that is not plaster", "dead and live", 180.0,
                    _TABLE, _SEEN),
    DeflectionLimit("plaster.live", "roof member over a plaster ceiling", "live", 360.0, _TABLE, _SEEN),
    DeflectionLimit("plaster.snow_wind", "roof member over a plaster ceiling", "snow or wind", 360.0, _TABLE, _SEEN),
    DeflectionLimit("plaster.dead_live", "roof member over a plaster ceiling", "dead and live", 240.0, _TABLE, _SEEN),
    DeflectionLimit("serviceability.snow", "purlin under a metal roof", "snow or wind", 150.0,
                    "AISC Design Guide 3, metal roofs", "verified: quoted in public handbooks; the guide not read",
                    "a serviceability practice beside the code, not a code limit"),
    DeflectionLimit("underfoot.firm", "purlin line underfoot", "300 lb at mid-span", 360.0, "common practice",
                    "common practice, no source", "below this it feels firm"),
    DeflectionLimit("underfoot.soft", "purlin line underfoot", "300 lb at mid-span", 180.0, "common practice",
                    "common practice, no source", "above this it feels soft"),
)  # fmt: skip
BY_KEY = {row.key: row for row in LIMITS}


@formula("d_a", unit="in", clause="IBC Table 1604.3", checked="verified: public copies of the table")
def allowed_deflection(l: Numeric, n: Numeric) -> Numeric:
    """Deflection allowed on a span, the span divided by a number [in].

    Parameters
    ----------
    l : numeric
        Span; twice the length of a cantilever. [ft]
    n : numeric
        Divisor of the table, e.g. 150. [-]
    """
    return 12.0 * l / n


@formula("l/d", unit="-", clause="definition", checked="definition")
def span_over_deflection(l: Numeric, d: Numeric) -> Numeric:
    """Span over deflection [-].

    Parameters
    ----------
    l : numeric
        Span; twice the length of a cantilever. [ft]
    d : numeric
        Deflection, either way. [in]
    """
    return 12.0 * l / np.abs(d)


@formula("d/d_a", unit="-", clause="IBC Table 1604.3", checked="verified: public copies of the table")
def deflection_ratio(d: Numeric, d_a: Numeric) -> Numeric:
    """Deflection over what is allowed [-].

    A ratio of 1.0 holds.

    Parameters
    ----------
    d : numeric
        Deflection, either way. [in]
    d_a : numeric
        Deflection allowed. [in]
    """
    return np.abs(d) / d_a
