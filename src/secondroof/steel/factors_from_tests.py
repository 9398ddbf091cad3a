"""Resistance and safety factors from tests, AISI S100-16 K2.1.1, and their use for panels, I6.3.1."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np

from secondroof.errors import InputError, Problem
from secondroof.formula import formula
from secondroof.steel.numeric import BoolArray, FloatArray, Numeric, require_not_negative

C_PHI = 1.52  # calibration coefficient, K2.1.1
M_M, V_M = 1.10, 0.10  # material factor of panels: mean and coefficient of variation, I6.3.1
F_M, V_F = 1.00, 0.05  # fabrication factor: mean and coefficient of variation
V_Q = 0.21  # coefficient of variation of the load effect
V_P_FLOOR = 0.065  # least coefficient of variation of the tests that may be used
BETA_MEMBER, BETA_CONNECTION = 2.5, 3.5  # target reliability index: panel itself, clip or anchor
OMEGA_FLOOR, PHI_CEILING = 1.67, 0.90  # I6.3.1
OMEGA_FEW, PHI_FEW = 2.0, 0.8  # I6.3.1, fewer than three tests
SPREAD_OF_THREE = 0.15  # each of three tests within 15 percent of their mean, else three more


@formula("C_P", unit="-", clause="AISI S100-16 K2.1.1", checked="from memory")
def sample_correction(n: Numeric) -> Numeric:
    """Correction for the number of tests [-].

    Parameters
    ----------
    n : numeric
        Number of tests, three or more. [-]
    """
    return np.where(n > 3, (1.0 + 1.0 / n) * (n - 1.0) / np.maximum(n - 3.0, 1.0), 5.7)


@formula(
    "phi",
    unit="-",
    clause="AISI S100-16 K2.1.1",
    checked="from memory; agrees with a reference case worked from the same recollection",
)
def resistance_factor(
    C_phi: Numeric,
    M_m: Numeric,
    F_m: Numeric,
    P_m: Numeric,
    beta_0: Numeric,
    V_M: Numeric,
    V_F: Numeric,
    C_P: Numeric,
    V_P: Numeric,
    V_Q: Numeric,
) -> Numeric:
    """Resistance factor from tests [-].

    Parameters
    ----------
    C_phi : numeric
        Calibration coefficient, 1.52. [-]
    M_m, F_m, P_m : numeric
        Mean material, fabrication and professional factors. [-]
    beta_0 : numeric
        Target reliability index. [-]
    V_M, V_F : numeric
        Coefficients of variation of material and fabrication. [-]
    C_P : numeric
        Correction for the number of tests. [-]
    V_P : numeric
        Coefficient of variation of the tests, 0.065 or more. [-]
    V_Q : numeric
        Coefficient of variation of the load effect. [-]
    """
    return C_phi * M_m * F_m * P_m * np.exp(-beta_0 * np.sqrt(V_M**2 + V_F**2 + C_P * V_P**2 + V_Q**2))


@formula("Omega", unit="-", clause="AISI S100-16 K2.1", checked="from memory")
def safety_factor(phi: Numeric) -> Numeric:
    """Safety factor that goes with a resistance factor from tests [-].

    Parameters
    ----------
    phi : numeric
        Resistance factor. [-]
    """
    return 1.6 / phi


@formula("Omega", unit="-", clause="AISI S100-16 I6.3.1", checked="from memory")
def panel_safety_factor(Omega_test: Numeric, n: Numeric) -> Numeric:
    """Safety factor of a tested panel system, with the floors of the clause [-].

    Parameters
    ----------
    Omega_test : numeric
        Safety factor from the tests by K2.1.1. [-]
    n : numeric
        Number of tests. [-]
    """
    return np.where(n < 3, 2.0, np.maximum(Omega_test, 1.67))


@formula("phi", unit="-", clause="AISI S100-16 I6.3.1", checked="from memory")
def panel_resistance_factor(phi_test: Numeric, n: Numeric) -> Numeric:
    """Resistance factor of a tested panel system, with the ceiling of the clause [-].

    Parameters
    ----------
    phi_test : numeric
        Resistance factor from the tests by K2.1.1. [-]
    n : numeric
        Number of tests. [-]
    """
    return np.where(n < 3, 0.8, np.minimum(phi_test, 0.90))


@dataclass(frozen=True, slots=True)
class PanelFactor:
    """Safety and resistance factor of a tested panel system.

    Attributes
    ----------
    Omega, phi : (...) array
        Factors after the floors and the rule for fewer than three tests.
    Omega_test, phi_test : (...) array
        Factors by K2.1.1 before them; NaN for fewer than three tests.
    few : (...) bool array
        True for fewer than three tests: the fixed factors 2.0 and 0.8 were used.
    beta_0 : (...) array
        Target reliability index used.
    """

    Omega: FloatArray
    phi: FloatArray
    Omega_test: FloatArray
    phi_test: FloatArray
    few: BoolArray
    beta_0: FloatArray


def panel_factor(
    n: Numeric, V_P: Numeric = 0.0, P_m: Numeric = 1.0, *, failure: Any = "unknown"
) -> PanelFactor:
    """Factors of a tested panel system, AISI S100-16 I6.3.1 with K2.1.1.

    Parameters
    ----------
    n : numeric
        Number of tests with the same span (panel failure), or of tested anchors (clip failure). At least
        one. [-]
    V_P : numeric, optional
        Coefficient of variation of those tests; 0.065 is used where it is less. [-]
    P_m : numeric, optional
        Mean of test over predicted strength, 1 where the test mean itself is the strength. [-]
    failure : str or array of str
        ``panel`` (member, index 2.5), ``clip`` (connection, index 3.5) or ``unknown`` (taken as clip, the
        safe one).

    Raises
    ------
    InputError
        For fewer than one test, or a failure that is none of the three.
    """
    n = np.asarray(n, dtype=float)
    kind = np.asarray(failure)
    if not np.all(np.isin(kind, ("panel", "clip", "unknown"))):
        raise InputError(
            Problem(
                "panel_test.failure",
                str(failure),
                "must be panel, clip or unknown.",
                "Read the observed failure from the test report.",
            )
        )
    if not np.all(n >= 1):
        raise InputError(
            Problem(
                "panel_test.n_tests",
                str(n),
                "must be one or more.",
                "Give the number of tests of each span from the report.",
            )
        )
    require_not_negative("panel_test", cov=V_P)
    beta = np.where(kind == "panel", BETA_MEMBER, BETA_CONNECTION)
    enough = n >= 3
    n_used = np.where(enough, n, 3.0)
    phi = resistance_factor(
        C_PHI, M_M, F_M, P_m, beta, V_M, V_F, sample_correction(n_used), np.maximum(V_P, V_P_FLOOR), V_Q
    )
    omega = safety_factor(phi)
    shape = np.broadcast_shapes(np.shape(phi), n.shape)

    def wide(a: Numeric) -> Any:
        return np.broadcast_to(np.asarray(a), shape)

    return PanelFactor(
        Omega=wide(panel_safety_factor(omega, n)),
        phi=wide(panel_resistance_factor(phi, n)),
        Omega_test=wide(np.where(enough, omega, np.nan)),
        phi_test=wide(np.where(enough, phi, np.nan)),
        few=wide(~enough),
        beta_0=wide(beta),
    )


def spread_is_wide(strengths: Numeric) -> bool:
    """Whether three tests lie so far apart that three more are needed, AISI S100-16 K2.1.1(a).

    Parameters
    ----------
    strengths : (n,) array
        Strengths of the tests of one span. [any]
    """
    values = np.asarray(strengths, dtype=float)
    mean = values.mean()
    return bool(values.size <= 3 and np.any(np.abs(values - mean) > SPREAD_OF_THREE * mean * (1 + 1e-12)))
