"""The hold-down chain: one function a link, for one stretch of line or for every stretch of a roof.

A *stretch* is a piece of one line in one wind zone on steel of one thickness. A link asks how much it
must hold there and how much it does. Links are plain functions of a :class:`Stretch` and a
:class:`Design`; a framing kind is a tuple of links with its own rules, in a file of its own.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Any

import numpy as np

from secondroof.checks.model import Need, Source
from secondroof.recover import formulas as f
from secondroof.steel import screws
from secondroof.steel.panel_tests import PanelTest, uplift_capacity
from secondroof.survey.proposals import Recover

Numeric = Any


@dataclass(frozen=True, slots=True)
class Stretch:
    """What acts on each stretch and what it is fixed to. Scalars, or arrays of one shape.

    Attributes
    ----------
    p_panel_psf, p_clip_psf, p_screw_psf, p_line_psf : numeric
        Uplift (plain size, ASD) at the effective area of panel, clip, fixing to the purlin and line. [psf]
    b_ft, gap_ft : numeric
        Width the line holds, and the larger distance to a neighbour (the panel's span), along the slope. [ft]
    t_2_in : numeric
        Design thickness of the old member under the line; NaN where not read. [in]
    n : numeric
        Screws in one group (flat or bracket).
    theta_deg : numeric
        Slope. [deg]
    """

    p_panel_psf: Numeric
    p_clip_psf: Numeric
    p_screw_psf: Numeric
    p_line_psf: Numeric
    b_ft: Numeric
    gap_ft: Numeric
    t_2_in: Numeric
    n: Numeric
    theta_deg: Numeric


@dataclass(frozen=True, slots=True)
class Design:
    """What does not change along the roof: the recover, its test, the old steel's strength, the new weight."""

    recover: Recover
    test: PanelTest | None
    test_name: str
    test_ok: bool
    Fu2_ksi: float | None
    Fy2_ksi: float | None
    dead_new_psf: float
    pitch_ft: float


@dataclass(frozen=True, slots=True)
class Held:
    """What a link must hold and what it holds, in ``unit``; a capacity of NaN is unknown."""

    demand: Numeric
    capacity: Numeric
    unit: str

    @property
    def ratio(self) -> Numeric:
        """Demand over capacity; NaN where unknown."""
        return np.asarray(self.demand, float) / np.asarray(self.capacity, float)


@dataclass(frozen=True, slots=True)
class Link:
    """One link of the chain.

    Attributes
    ----------
    key, title, prefix : str
        Stable name, words, and the letter of its card number.
    clause : str
        Clause of its capacity.
    work : callable
        ``work(stretch, design) -> Held``.
    area : str
        Which effective area its pressure is taken at: panel, clip, screw or line.
    missing : callable
        ``missing(design) -> Need or None``: what to get when the capacity is unknown.
    help : str
        What makes it stronger, in words.
    sources : callable
        ``sources(design) -> {symbol: Source}`` for the card.
    judged_by_engineer : bool
        True where the capacity is not ours to close.
    """

    key: str
    title: str
    prefix: str
    clause: str
    work: Callable[[Stretch, Design], Held]
    area: str
    missing: Callable[[Design], Need | None]
    help: str
    sources: Callable[[Design], Mapping[str, Source]]
    judged_by_engineer: bool = False


NOTHING: Mapping[str, Source] = {}


def no_need(_: Design) -> Need | None:
    """Nothing is missing."""
    return None


def _kip(pounds: Numeric) -> Numeric:
    return np.asarray(pounds, float) / 1000


# ---- links every kind has ------------------------------------------------------------------------------------


def panel_uplift(s: Stretch, d: Design) -> Held:
    """New panel with its clip, by its test table, between tested spacings only."""
    if d.test is None or not d.test_ok:
        return Held(s.p_panel_psf, np.full(np.shape(s.p_panel_psf), np.nan), "psf")
    return Held(s.p_panel_psf, uplift_capacity(d.test, s.gap_ft).allowable_psf, "psf")


def _panel_need(d: Design) -> Need | None:
    if d.test is None:
        asked = f"table {d.test_name} is not in the job" if d.test_name else "no table is named"
        return Need(
            f"uplift test of the new panel with its clip ({asked})",
            "the panel's tester: failure load at the spacings of the lines, and at half of them",
            "whether panel and clip hold in each zone, and how far apart lines may be",
            "estimator",
        )
    if not d.test_ok:
        return Need(
            f"uplift test of this panel on steel of {d.recover.framing.thickness:.4f} in or thinner "
            f"(table {d.test_name} was made on {d.test.support_thickness_in:.4f} in)",
            "the panel's tester",
            "whether the clips' screws hold in the new line as they did in the test",
            "estimator",
        )
    return Need(
        f"uplift test at this line spacing (table {d.test_name} covers "
        f"{d.test.spans_ft[0]:g} to {d.test.spans_ft[-1]:g} ft)",
        "the panel's tester; no value is taken beyond the tested spacings",
        "whether panel and clip hold where lines stand further apart or closer than tested",
        "estimator",
    )


def _test_source(d: Design) -> Mapping[str, Source]:
    if d.test is None:
        return NOTHING
    mark = "invented test table, for show only" if d.test.invented else d.test.source
    table = Source(f"table {d.test_name}: {mark}", d.test.invented)
    return {
        "p_n": table,
        "p_1": table,
        "p_2": table,
        "L_1": table,
        "L_2": table,
        "L": Source("larger gap to the next line"),
        "n": Source(f"tests at each spacing, table {d.test_name}"),
        "Omega": Source("number of tests and their scatter, K2.1"),
        **{
            k: Source("AISI S100-16 K2.1 and I6.3.1, from memory")
            for k in ("C_phi", "M_m", "F_m", "P_m", "beta_0")
        },
        **{k: Source("AISI S100-16 K2.1 and I6.3.1, from memory") for k in ("V_M", "V_F", "V_P", "V_Q")},
    }


PANEL = Link(
    "panel",
    "Uplift of the new panel and its clip",
    "P",
    "AISI S100-16 I6.3.1, K2.1",
    panel_uplift,
    "panel",
    _panel_need,
    "closer lines, a heavier panel or another seam",
    _test_source,
)


def clip_screws(s: Stretch, d: Design) -> Held:
    """Clip screws pulled out of the new line."""
    line, clip = d.recover.framing, d.recover.clip
    P_c = f.clip_force(s.p_clip_psf, d.recover.panel.width / 12, s.b_ft)
    T = f.shared(P_c, clip.screws)
    P_n = screws.pull_out(line.thickness, clip.screw_diameter, line.tensile_strength)
    return Held(T, f.in_pounds(screws.allowable(P_n, screws.OMEGA_J4)), "lb")


def _clip_source(d: Design) -> Mapping[str, Source]:
    r = d.recover
    return {
        "c": Source(f"panel width, recover {r.name}"),
        "n": Source(f"screws a clip, recover {r.name}"),
        "t_c": Source(f"new line, recover {r.name}"),
        "d": Source(f"clip screw, recover {r.name}"),
        "F_u2": Source(f"new line, recover {r.name}"),
        "Omega": Source("AISI S100-16 J4"),
    }


CLIP = Link(
    "clip screws",
    "Clip screws pulled out of the new line",
    "H",
    "AISI S100-16 J4.4.1",
    clip_screws,
    "clip",
    no_need,
    "thicker line, more screws a clip or closer lines",
    _clip_source,
)


# ---- screws into the old purlin, shared by the kinds ---------------------------------------------------------


def fixing_pull_out(T: Numeric, s: Stretch, d: Design) -> Held:
    """Pull-out of one screw from the old steel as measured."""
    P_n = screws.pull_out(s.t_2_in, d.recover.framing.screw_diameter, nan_if_none(d.Fu2_ksi))
    return Held(T, f.in_pounds(screws.allowable(P_n, screws.OMEGA_J4)), "lb")


def fixing_pull_over(T: Numeric, t_1: float, F_u1: float, d: Design, one_sided: bool) -> Held:
    """Pull-over of the new steel under the screw head."""
    P_n = screws.pull_over(t_1, d.recover.framing.washer_diameter, F_u1)
    if one_sided:
        P_n = screws.pull_over_one_sided(P_n)
    return Held(T, f.in_pounds(screws.allowable(P_n, screws.OMEGA_J4)), "lb")


def fixing_shear(V: Numeric, s: Stretch, d: Design, t_1: float, F_u1: float) -> Held:
    """Shear of one screw between the new steel and the old purlin; the old sheet between them adds nothing."""
    P_n = screws.nominal_shear(t_1, s.t_2_in, d.recover.framing.screw_diameter, F_u1, nan_if_none(d.Fu2_ksi))
    return Held(V, f.in_pounds(screws.allowable(P_n, screws.OMEGA_J4)), "lb")


def fixing_combined(
    T: Numeric, V: Numeric, s: Stretch, d: Design, t_1: float, F_u1: float, one_sided: bool
) -> Held:
    """Shear and tension together: the worse of J4.5.1 and J4.5.2, or their straight lines outside the tested ranges."""
    framing = d.recover.framing
    T, V, t2 = np.broadcast_arrays(np.asarray(T, float), np.asarray(V, float), np.asarray(s.t_2_in, float))
    known = np.isfinite(t2) & np.isfinite(T) & np.isfinite(V) & (d.Fu2_ksi is not None)
    T, V = np.where(known, T, 0.0), np.where(known, V, 0.0)
    g = screws.screw_group(
        _kip(T),
        _kip(V),
        t_1,
        np.where(known, t2, 0.05),
        framing.screw_diameter,
        F_u1,
        d.Fu2_ksi or 65.0,
        framing.washer_diameter,
        Fy2=d.Fy2_ksi,
        one_sided=one_sided,
    )
    ratio = np.maximum(g.ratio_shear_pull_over, g.ratio_shear_pull_out)
    return Held(np.where(known, ratio, np.nan), 1.0, "-")


def screw_itself(T: Numeric, V: Numeric, d: Design) -> Held:
    """The screw's own strength, from its maker's test; the straight line of shear and tension over J4.5.3."""
    test = d.recover.framing.screw
    T, V = np.asarray(T, float), np.asarray(V, float)
    if test is None:
        return Held(T, np.full(np.broadcast(T, V).shape, np.nan), "lb")
    from secondroof.steel.screw_interaction import screw_shear_tension_asd

    ratio = screw_shear_tension_asd(
        V / 1000, T / 1000, test.shear / 1000, test.tension / 1000, screws.OMEGA_J4
    )
    single = np.maximum(T / (test.tension / screws.OMEGA_J4), V / (test.shear / screws.OMEGA_J4))
    return Held(np.maximum(ratio, single), 1.0, "-")


def nan_if_none(value: float | None) -> float:
    """NaN for a blank: it stays unknown through the arithmetic."""
    return float("nan") if value is None else value


def thickness_need(d: Design) -> Need | None:
    """What is missing where the screws' hold in the old purlin cannot be worked out."""
    if d.Fu2_ksi is None:
        return Need(
            "tensile strength of the old purlins",
            "a coupon (ASTM E8) or the mill mark; the engineer may allow a low value",
            "what one screw holds in the old purlin",
            "engineer",
        )
    return Need(
        "bare thickness of the old purlin here",
        "three clean spots stripped to steel, micrometer, web and flange, away from laps",
        "what one screw holds in the old purlin",
    )


def screw_need(_: Design) -> Need | None:
    """The screw's own test."""
    return Need(
        "strength of the screw itself in tension and shear",
        "the screw maker's test report",
        "whether the screw breaks before the steel lets go",
        "estimator",
    )


def purlin_sources(d: Design) -> Mapping[str, Source]:
    """Where the numbers of a fixing to the old purlin come from (thickness and strength are added per place)."""
    name = d.recover.name
    return {
        "d": Source(f"screw, outside of thread, recover {name}"),
        "d_w": Source(f"head or washer, recover {name}"),
        "t_1": Source(f"new steel under the head, recover {name}"),
        "F_u1": Source(f"new steel, recover {name}"),
        "F_u": Source("of the sheet the step is of: new steel or old purlin, as given"),
        "n": Source(f"screws in a group, recover {name}"),
        "s": Source(f"distance of screw groups, recover {name}"),
        "D": Source(f"weight of the new roof, recover {name}"),
        "theta": Source("survey"),
        "q_d": Source("not given, taken as none", True) if d.recover.clip_drag is None else Source("recover"),
        "Omega": Source("AISI S100-16 J4"),
    }
