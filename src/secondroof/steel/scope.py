"""Dimensional limits of the strength methods, AISI S100-16 Table B4.1-1.

Outside them a strength is either refused or worked out as rational analysis with Omega 2.00 and phi 0.80, and said
to be so. A section that cannot exist has neither.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np

from secondroof.errors import InputError, Problem
from secondroof.formula import spec_of
from secondroof.steel import widths
from secondroof.steel.gauge import table
from secondroof.steel.numeric import BoolArray, Numeric
from secondroof.steel.sections import Section


@dataclass(frozen=True, slots=True, eq=False)
class Limit:
    """One limit looked at.

    Attributes
    ----------
    key, text : str
        Short name, and the limit in words.
    value : (...) array
        What the section has.
    limit : (...) array
        What is allowed.
    inside : (...) bool array
        True where within.
    """

    key: str
    text: str
    value: Any
    limit: Any
    inside: BoolArray


@dataclass(frozen=True, slots=True, eq=False)
class Scope:
    """Limits of one method for sections compressed on one side.

    Attributes
    ----------
    method : str
        ``ewm`` (effective width) or ``dsm`` (direct strength).
    inside : (...) bool array
        True where every limit holds and the section can exist.
    limits : tuple of Limit
        Each limit.
    """

    method: str
    inside: BoolArray
    limits: tuple[Limit, ...]

    def broken(self) -> tuple[str, ...]:
        """Limits that some section breaks, in words with the first value that does."""
        words = []
        for one in self.limits:
            bad = ~one.inside
            if np.any(bad):
                value = np.broadcast_to(np.asarray(one.value, dtype=float), bad.shape)[bad].flat[0]
                allowed = np.broadcast_to(np.asarray(one.limit, dtype=float), bad.shape)[bad].flat[0]
                words.append(f"{one.text}: {value:.4g}, allowed {allowed:g}")
        return tuple(words)


def scope(section: Section, F_y: Numeric, *, compression: str = "top", method: str = "ewm") -> Scope:
    """Look at every dimensional limit of a method.

    Parameters
    ----------
    section : Section
        One section or an array.
    F_y : numeric
        Yield strength. [ksi]
    compression : str, optional
        ``top`` or ``bottom``.
    method : str, optional
        ``ewm`` or ``dsm``.

    Raises
    ------
    InputError
        For another method.
    """
    data = table("scope")
    if method not in data["limits"]:
        raise InputError(Problem("method", method, "must be ewm or dsm.", "Give one of the two."))
    row, (low, high) = data["limits"][method], data["lip_angle_deg"]
    s, flats, te = section, section.flats, section.t_elements
    F_y = np.asarray(F_y, dtype=float)
    found: list[Limit] = []

    def look(key: str, text: str, value: Any, limit: Any) -> None:
        found.append(Limit(key, text, value, limit, np.asarray(value <= limit + 1e-9, dtype=bool)))

    with np.errstate(all="ignore"):
        if s.kind == "hat":
            k = 2 if compression == "top" else 0
            name = "stiffened" if compression == "top" else "unstiffened"
            look("flange", f"{name} flange w/t", flats[..., k] / te[..., k], row[name])
        else:
            lip, fl = (0, 1) if compression == "top" else (4, 3)
            d, w = flats[..., lip], flats[..., fl]
            D, b_o = (s.top_lip, s.top) if compression == "top" else (s.bottom_lip, s.bottom)
            theta = s.top_angle if compression == "top" else s.bottom_angle
            raw = [
                spec_of(f).func
                for f in (widths.flange_limit, widths.adequate_lip_inertia, widths.lip_inertia)
            ]
            stiff = raw[2](d, te[..., lip], theta) >= raw[1](te[..., fl], w, raw[0](F_y))
            edge = np.where(stiff, row["edge_stiffened_stiff_lip"], row["edge_stiffened"])
            look(
                "flange", "compression flange w/t", w / te[..., fl], np.where(D > 0, edge, row["unstiffened"])
            )
            look("lip", "lip w/t", d / te[..., lip], row["unstiffened"])
            look("lip_over_flange", "lip over flange, out to out", D / b_o, row["lip_over_flange"])
            off = np.abs(np.where(D > 0, theta, 90.0) - (low + high) / 2.0)
            look("lip_angle", f"lip angle, degrees from {(low + high) / 2:g}", off, (high - low) / 2.0)
        look("web", "web h/t", s.web_flat / s.t_web, row["web"])
        look("radius", "inside bend radius over thickness", s.R / te.min(axis=-1), row["radius"])
        look("Fy", "yield strength [ksi]", F_y, row["Fy"])
        ok = np.logical_and.reduce(np.broadcast_arrays(s.possible, *(one.inside for one in found)))
    return Scope(method, np.asarray(ok), tuple(found))
