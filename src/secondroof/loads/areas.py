"""Effective wind areas of roof parts, ASCE 7 section 26.2 (6.2 in 7-05).

A spanning part takes its span times the larger of its real width and a third of the span. A fastener (screw, clip)
never takes more than its own tributary area.
"""

from __future__ import annotations

from typing import Any

import numpy as np

from secondroof.formula import formula

_CHECKED = "verified: definition in BNBC 2020 Part 6 Ch. 2 (= ASCE 7)"


@formula("A", unit="ft2", clause="ASCE 7-10 and 7-16 26.2, effective wind area", checked=_CHECKED)
def effective_wind_area(L: Any, b: Any) -> Any:
    """Effective wind area of a spanning part [ft2].

    Parameters
    ----------
    L : numeric
        Span. [ft]
    b : numeric
        Real tributary width. [ft]
    """
    return L * np.maximum(b, L / 3)


@formula(
    "A", unit="ft2", clause="ASCE 7-10 and 7-16 26.2, effective wind area of a fastener", checked=_CHECKED
)
def fastener_area(s: Any, b: Any) -> Any:
    """Effective wind area of one fastener: its tributary area [ft2].

    Parameters
    ----------
    s : numeric
        Spacing of the fasteners along the line. [ft]
    b : numeric
        Tributary width across the line. [ft]
    """
    return s * b


def panel_area(support_spacing_ft: Any, coverage_ft: Any) -> Any:
    """Area of a panel spanning between lines: one panel wide. [ft2]."""
    return effective_wind_area(support_spacing_ft, coverage_ft)


def clip_area(panel_coverage_ft: Any, line_spacing_ft: Any) -> Any:
    """Area of one clip: panel coverage by tributary width of its line. [ft2]."""
    return fastener_area(panel_coverage_ft, line_spacing_ft)


def screw_area(screw_spacing_ft: Any, tributary_width_ft: Any) -> Any:
    """Area of one screw (or one group at one place): spacing along the line by tributary width. [ft2]."""
    return fastener_area(screw_spacing_ft, tributary_width_ft)


def subpurlin_area(support_spacing_ft: Any, line_spacing_ft: Any) -> Any:
    """Area of a sub-purlin spanning between its fastening points. [ft2]."""
    return effective_wind_area(support_spacing_ft, line_spacing_ft)


def purlin_area(span_ft: Any, purlin_spacing_ft: Any) -> Any:
    """Area of an old purlin over its span from frame to frame. [ft2].

    A third of the span usually wins; the load still acts on the real width.
    """
    return effective_wind_area(span_ft, purlin_spacing_ft)
