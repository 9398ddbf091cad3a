"""Uplift strength of a new panel with its clips, from the person's own test report.

No strength of a panel is known without its test. What a report does not hold is unknown, and a span outside
the tested spans has no strength here: nothing is extrapolated.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Any

import numpy as np

from secondroof.errors import InputError, Problem
from secondroof.formula import formula
from secondroof.steel.factors_from_tests import PanelFactor, panel_factor
from secondroof.steel.numeric import (
    MET,
    NOT_MET,
    UNKNOWN,
    BoolArray,
    Condition,
    FloatArray,
    Numeric,
    require_positive,
)

RULE_067 = "AISI S100-16 Appendix A, I6.3.1a"
FACTOR_067 = 0.67
CLIP_FAILURES = ("clip out of seam", "tab out of base")


@dataclass(frozen=True, slots=True, eq=False)
class PanelTest:
    """Uplift tests of one panel with one clip, as a report gives them.

    Attributes
    ----------
    spans_ft : (n,) array
        Tested clip (support) spacings, rising. [ft]
    ultimate_psf : (n,) array
        Mean ultimate uplift pressure at each, as a positive number. [psf]
    n_tests : (n,) array
        Number of tests at each spacing. [-]
    source : str
        Report, laboratory and date, as written on it.
    invented : bool
        True for made-up demonstration numbers; every page that uses them says so.
    support_thickness_in, support_Fu_ksi : float or None
        Base thickness and tensile strength of the support in the test. [in], [ksi]
    panel_thickness_in, panel_width_in : float or None
        Base thickness and coverage of the panel. [in]
    seam : str or None
        ``trapezoidal`` or ``vertical``, ...
    clip : str or None
        Clip as described in the report.
    standard : str or None
        Test standard, e.g. ``AISI S906``, ``ASTM E1592``, ``ASTM E1592 open``.
    failure : str
        ``panel``, ``clip`` or ``unknown``: what let go. A clip or an unknown failure takes the higher factor.
    failure_mode : str or None
        As observed, e.g. ``clip out of seam`` or ``tab out of base``.
    cov : (n,) array or None
        Coefficient of variation at each spacing; without it the least allowed, 0.065, is used. [-]
    """

    spans_ft: FloatArray
    ultimate_psf: FloatArray
    n_tests: FloatArray
    source: str
    invented: bool = False
    support_thickness_in: float | None = None
    support_Fu_ksi: float | None = None
    panel_thickness_in: float | None = None
    panel_width_in: float | None = None
    seam: str | None = None
    clip: str | None = None
    standard: str | None = None
    failure: str = "unknown"
    failure_mode: str | None = None
    cov: FloatArray | None = field(default=None)

    def __post_init__(self) -> None:
        """Refuse a table that cannot be read one way only."""
        for name in ("spans_ft", "ultimate_psf", "n_tests", "cov"):
            if getattr(self, name) is not None:
                array = np.atleast_1d(np.asarray(getattr(self, name), dtype=float)).copy()
                array.flags.writeable = False
                object.__setattr__(self, name, array)
        require_positive("panel_test", spans_ft=self.spans_ft, ultimate_psf=self.ultimate_psf)
        problems = []
        for name in ("ultimate_psf", "n_tests", "cov"):
            value = getattr(self, name)
            if value is not None and value.shape != self.spans_ft.shape:
                problems.append(
                    Problem(
                        f"panel_test.{name}",
                        f"{value.size} values",
                        f"must have one value a tested spacing ({self.spans_ft.size}).",
                        "Copy the table from the report.",
                    )
                )
        if np.any(np.diff(self.spans_ft) <= 0):
            problems.append(
                Problem(
                    "panel_test.spans_ft",
                    str(self.spans_ft.tolist()),
                    "must rise and not repeat.",
                    "Sort the rows; average the tests of one spacing.",
                )
            )
        if not self.source.strip():
            problems.append(
                Problem(
                    "panel_test.source",
                    "",
                    "must name the test report.",
                    "Give report number, laboratory and date.",
                )
            )
        if problems:
            raise InputError(problems)
        self.factors()

    def factors(self) -> PanelFactor:
        """Factors at each tested spacing, AISI S100-16 I6.3.1."""
        return panel_factor(self.n_tests, 0.0 if self.cov is None else self.cov, failure=self.failure)


@formula("p_n", unit="psf", clause="AISI S906, between tested spans", checked="from memory")
def between_spans(p_1: Numeric, p_2: Numeric, L_1: Numeric, L_2: Numeric, L: Numeric) -> Numeric:
    """Uplift strength between two tested spans [psf].

    Parameters
    ----------
    p_1, p_2 : numeric
        Strengths at the two tested spans. [psf]
    L_1, L_2 : numeric
        The two tested spans. [ft]
    L : numeric
        Span asked for, between them. [ft]
    """
    return p_1 + (p_2 - p_1) * (L - L_1) / (L_2 - L_1)


@formula("p_a", unit="psf", clause="AISI S100-16 I6.3.1, ASD", checked="from memory")
def allowable_uplift_pressure(p_n: Numeric, Omega: Numeric) -> Numeric:
    """Allowable uplift pressure of a tested panel [psf].

    Parameters
    ----------
    p_n : numeric
        Ultimate uplift pressure. [psf]
    Omega : numeric
        Safety factor. [-]
    """
    return p_n / Omega


@formula("phi p_n", unit="psf", clause="AISI S100-16 I6.3.1, LRFD", checked="from memory")
def design_uplift_pressure(p_n: Numeric, phi: Numeric) -> Numeric:
    """Design uplift pressure of a tested panel [psf].

    Parameters
    ----------
    p_n : numeric
        Ultimate uplift pressure. [psf]
    phi : numeric
        Resistance factor. [-]
    """
    return phi * p_n


def _bracket(spans: FloatArray, span: Numeric) -> tuple[Any, Any, BoolArray]:
    """Index of the tested span below and above, and whether the span lies among them."""
    span = np.asarray(span, dtype=float)
    inside = (span >= spans[0]) & (span <= spans[-1])
    high = np.clip(np.searchsorted(spans, span, side="left"), 0, spans.size - 1)
    low = np.where(spans[high] == span, high, np.maximum(high - 1, 0))
    return low, high, np.asarray(inside)


def uplift_strength(spans: Numeric, ultimate: Numeric, span: Numeric) -> Numeric:
    """Ultimate uplift pressure at a span, straight line between tested spans [psf].

    Parameters
    ----------
    spans : (n,) array
        Tested spans, rising. [ft]
    ultimate : (n,) array
        Ultimate uplift pressure at each. [psf]
    span : numeric
        Span asked for. [ft]

    Returns
    -------
    numeric
        NaN outside the tested spans: no test, no strength.

    Examples
    --------
    >>> float(uplift_strength([2.5, 5.0], [120.0, 70.0], 3.0))
    110.0
    """
    tested = np.atleast_1d(np.asarray(spans, dtype=float))
    p = np.atleast_1d(np.asarray(ultimate, dtype=float))
    low, high, inside = _bracket(tested, span)
    same = low == high
    upper = np.where(same, tested[low] + 1.0, tested[high])
    return np.where(
        inside,
        between_spans(p[low], p[high], tested[low], upper, np.where(inside, span, tested[low])),
        np.nan,
    )[()]


@dataclass(frozen=True, slots=True)
class UpliftCapacity:
    """Uplift strength of a tested panel at the spans asked for.

    Attributes
    ----------
    ultimate_psf, allowable_psf, design_psf : (...) array
        Ultimate, ASD and LRFD uplift pressure; NaN outside the tested spans. [psf]
    Omega, phi : (...) array
        Factors used: the less favourable of the two tested spans on either side.
    in_tested_range : (...) bool array
        False where no test covers the span.
    between_tests : (...) bool array
        True where the value is a straight line between two tested spans, not a test itself.
    """

    ultimate_psf: FloatArray
    allowable_psf: FloatArray
    design_psf: FloatArray
    Omega: FloatArray
    phi: FloatArray
    in_tested_range: BoolArray
    between_tests: BoolArray


def uplift_capacity(test: PanelTest, span_ft: Numeric) -> UpliftCapacity:
    """Uplift strength of a tested panel at a clip spacing, AISI S100-16 I6.3.1.

    Parameters
    ----------
    test : PanelTest
        The person's test table.
    span_ft : numeric
        Clip (support) spacing along the panel. [ft]

    Raises
    ------
    InputError
        For a spacing that is not above zero.
    """
    require_positive("panel", span_ft=span_ft)
    factors = test.factors()
    low, high, inside = _bracket(test.spans_ft, span_ft)
    p_n = np.asarray(uplift_strength(test.spans_ft, test.ultimate_psf, span_ft))
    omega = np.where(inside, np.maximum(factors.Omega[low], factors.Omega[high]), np.nan)
    phi = np.where(inside, np.minimum(factors.phi[low], factors.phi[high]), np.nan)
    return UpliftCapacity(
        ultimate_psf=p_n,
        allowable_psf=np.asarray(allowable_uplift_pressure(p_n, omega)),
        design_psf=np.asarray(design_uplift_pressure(p_n, phi)),
        Omega=omega,
        phi=phi,
        in_tested_range=inside,
        between_tests=inside & (low != high),
    )


def support_conditions(test: PanelTest, t_in: float | None, Fu_ksi: float | None) -> tuple[Condition, ...]:
    """Compare the support in the test with the real one: a thinner or softer one is not covered by the test.

    Parameters
    ----------
    test : PanelTest
        The person's test table.
    t_in, Fu_ksi : float or None
        Base thickness and tensile strength of the real support. [in], [ksi]
    """
    return (
        _at_least(
            "support_thickness",
            "support at least as thick as in the test",
            t_in,
            test.support_thickness_in,
            "in",
        ),
        _at_least(
            "support_strength",
            "support steel at least as strong as in the test",
            Fu_ksi,
            test.support_Fu_ksi,
            "ksi",
        ),
    )


def _at_least(key: str, text: str, real: float | None, tested: float | None, unit: str) -> Condition:
    clause = "ASTM E1592: the test speaks for the assembly tested"
    if real is None or tested is None:
        lack = "the report does not say" if tested is None else "not measured on this roof"
        return Condition(key, text, UNKNOWN, lack, clause)
    state = MET if real >= tested else NOT_MET
    return Condition(key, text, state, f"{real:g} {unit} here, {tested:g} {unit} in the test", clause)


def nominal_wind_067(
    test: PanelTest, *, zone: str | None, components_and_cladding: bool | None, wind_edition: str
) -> tuple[Condition, ...]:
    """Conditions of the 0.67 rule for wind uplift on a tested standing seam panel and its clips.

    Where all are met the nominal wind load on panel and clips may be multiplied by 0.67. It is never
    applied by default and never touches purlins or frames. The rule was calibrated on the zones of older
    wind standards.

    Parameters
    ----------
    test : PanelTest
        The person's test table.
    zone : str or None
        Wind zone at the place: ``1'``, ``1``, ``2`` or ``3``.
    components_and_cladding : bool or None
        Whether the wind is that for components and cladding.
    wind_edition : str
        Edition whose zones are meant, e.g. ``ASCE 7-16``.
    """

    def condition(key: str, text: str, met: bool | None, given: str) -> Condition:
        return Condition(key, text, UNKNOWN if met is None else MET if met else NOT_MET, given, RULE_067)

    t, w = test.panel_thickness_in, test.panel_width_in
    trapezoidal = None if test.seam is None else test.seam == "trapezoidal"
    vertical = None if test.seam is None else test.seam == "vertical"
    missing = "the report does not say"
    s906 = None if test.standard is None else test.standard.startswith(("AISI S906", "ASTM E1592"))
    mode = None if test.failure_mode is None else test.failure_mode in CLIP_FAILURES

    def wide(applies: bool | None, limit: float) -> bool | None:
        if applies is False:
            return True
        return None if applies is None or w is None else w <= limit

    width = missing if w is None else f"{w:g} in"
    seam = missing if test.seam is None else test.seam
    return (
        condition("tested", "system tested to AISI S906 (ASTM E1592)", s906, test.standard or missing),
        condition(
            "wind",
            "wind load for components and cladding",
            components_and_cladding,
            "not stated" if components_and_cladding is None else wind_edition,
        ),
        condition(
            "zone",
            "edge zone 2 or corner zone 3, never the field",
            None if zone is None else zone in ("2", "3"),
            "not stated" if zone is None else f"zone {zone} of {wind_edition}",
        ),
        condition(
            "thickness",
            "panel base thickness 0.023 to 0.030 in",
            None if t is None else 0.023 <= t <= 0.030,
            missing if t is None else f"{t:g} in",
        ),
        condition(
            "trapezoidal_width",
            "trapezoidal profile: side laps at most 24 in apart",
            wide(trapezoidal, 24.0),
            f"{seam}, {width}",
        ),
        condition(
            "vertical_width",
            "vertical-rib profile: side laps at most 18 in apart",
            wide(vertical, 18.0),
            f"{seam}, {width}",
        ),
        condition(
            "failure",
            "observed failure: clip out of the side lap, or sliding tab out of its base",
            mode,
            test.failure_mode or missing,
        ),
    )
