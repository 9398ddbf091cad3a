"""Framing kind: a line on base brackets set on the old purlins through a floating roof.

The pan of the old panel is slotted and sealed at each bracket, so that the bracket stands on steel and its
screws cross no gap. Open where the old roof floats.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from secondroof.checks.model import Need, Source
from secondroof.recover import chain
from secondroof.recover import formulas as f
from secondroof.recover.chain import Design, Held, Link, Stretch
from secondroof.steel import screws

if TYPE_CHECKING:
    from collections.abc import Mapping

    from secondroof.survey.models import Survey
    from secondroof.survey.proposals import BracketLine

KIND = "line on base brackets"
OPEN_FOR = ("floats",)
OMEGA_BENDING = 1.67


def pitch_ft(survey: Survey, framing: BracketLine) -> float | None:
    """Distance between brackets along the line. [ft]"""
    return float(framing.bracket_spacing)


def _framing(d: Design) -> BracketLine:
    from secondroof.survey.proposals import BracketLine

    assert isinstance(d.recover.framing, BracketLine)
    return d.recover.framing


def _pull(s: Stretch, d: Design) -> chain.Numeric:
    return f.bracket_uplift(f.line_uplift(s.p_screw_psf, s.b_ft), d.pitch_ft)


def _drag(s: Stretch, d: Design) -> chain.Numeric:
    v = f.down_slope(d.dead_new_psf, s.b_ft, s.theta_deg, d.recover.clip_drag or 0.0)
    return f.bracket_uplift(v, d.pitch_ft)


def _tension(s: Stretch, d: Design) -> chain.Numeric:
    framing = _framing(d)
    return f.bracket_screw_tension(
        _pull(s, d), _drag(s, d), framing.bracket_height + framing.height, framing.bracket_base, s.n
    )


def _shear(s: Stretch, d: Design) -> chain.Numeric:
    return f.shared(_drag(s, d), s.n)


def line_to_bracket(s: Stretch, d: Design) -> Held:
    """Screws of the line pulled out of the bracket's top."""
    framing = _framing(d)
    T = f.shared(_pull(s, d), framing.screws_line_to_bracket)
    P_n = screws.pull_out(framing.bracket_thickness, framing.screw_diameter, framing.bracket_tensile)
    return Held(T, f.in_pounds(screws.allowable(P_n, screws.OMEGA_J4)), "lb")


def pull_out(s: Stretch, d: Design) -> Held:
    """Base screws pulled out of the old purlin, with the couple of the shear at the line's top."""
    return chain.fixing_pull_out(_tension(s, d), s, d)


def pull_over(s: Stretch, d: Design) -> Held:
    """Bracket base pulled over the screw heads; the post stands on one side of each row."""
    framing = _framing(d)
    return chain.fixing_pull_over(
        _tension(s, d), framing.bracket_thickness, framing.bracket_tensile, d, one_sided=True
    )


def shear(s: Stretch, d: Design) -> Held:
    """Shear down the slope, bracket base against old purlin."""
    framing = _framing(d)
    return chain.fixing_shear(_shear(s, d), s, d, framing.bracket_thickness, framing.bracket_tensile)


def combined(s: Stretch, d: Design) -> Held:
    """Shear and tension together."""
    framing = _framing(d)
    return chain.fixing_combined(
        _tension(s, d), _shear(s, d), s, d, framing.bracket_thickness, framing.bracket_tensile, one_sided=True
    )


def screw(s: Stretch, d: Design) -> Held:
    """The screw itself."""
    return chain.screw_itself(_tension(s, d), _shear(s, d), d)


def bracket(s: Stretch, d: Design) -> Held:
    """The bracket's own allowable uplift, from its test."""
    R = _pull(s, d)
    return Held(R, np.full(np.shape(R), chain.nan_if_none(_framing(d).bracket_uplift)), "lb")


def bending(s: Stretch, d: Design) -> Held:
    """Bending of the line between brackets, taken as simple spans."""
    framing = _framing(d)
    M = f.span_moment(f.line_uplift(s.p_line_psf, s.b_ft), d.pitch_ft)
    S_e = chain.nan_if_none(framing.section_modulus)
    return Held(M, f.allowable_moment(S_e, framing.yield_strength, OMEGA_BENDING), "kip-in")


def _bracket_need(_: Design) -> Need | None:
    return Need(
        "uplift test of the base bracket",
        "its maker or a laboratory, on steel as thin as the old purlin",
        "what one bracket holds",
        "estimator",
    )


def _section_need(_: Design) -> Need | None:
    return Need(
        "effective section modulus of the new line",
        "the maker's section table for the stated thickness and Fy",
        "how far apart brackets may stand",
        "estimator",
    )


def _top_sources(d: Design) -> Mapping[str, Source]:
    here = Source(f"bracket, recover {d.recover.name}")
    return {"t_c": here, "F_u2": here, "d": here, "n": here, "s": here, "Omega": Source("AISI S100-16 J4")}


def _base_sources(d: Design) -> Mapping[str, Source]:
    here = Source(f"bracket, recover {d.recover.name}")
    return {**chain.purlin_sources(d), "h": here, "a": here, "s": here}


def _line_sources(d: Design) -> Mapping[str, Source]:
    here = Source(f"new line, recover {d.recover.name}")
    return {"S_e": here, "F_y": here, "s": here, "Omega": Source("AISI S100-16 F2")}


LINKS: tuple[Link, ...] = (
    chain.PANEL,
    chain.CLIP,
    Link(
        "line to bracket",
        "Screws of the line pulled out of the bracket",
        "H",
        "AISI S100-16 J4.4.1",
        line_to_bracket,
        "screw",
        chain.no_need,
        "more screws or a thicker bracket",
        _top_sources,
    ),
    Link(
        "pull-out",
        "Base screws pulled out of the old purlin",
        "H",
        "AISI S100-16 J4.4.1",
        pull_out,
        "screw",
        chain.thickness_need,
        "more screws a bracket, or brackets closer together",
        _base_sources,
    ),
    Link(
        "pull-over",
        "Bracket base pulled over the screw heads",
        "H",
        "AISI S100-16 J4.4.2",
        pull_over,
        "screw",
        chain.no_need,
        "larger washers or a thicker base",
        _base_sources,
    ),
    Link(
        "shear",
        "Base screws sheared down the slope",
        "H",
        "AISI S100-16 J4.3.1",
        shear,
        "screw",
        chain.thickness_need,
        "more screws a bracket",
        _base_sources,
    ),
    Link(
        "combined",
        "Base screws in shear and tension together",
        "H",
        "AISI S100-16 J4.5",
        combined,
        "screw",
        chain.thickness_need,
        "more screws a bracket",
        _base_sources,
    ),
    Link(
        "screw",
        "The screw itself",
        "H",
        "AISI S100-16 J4.4.3, J4.5.3",
        screw,
        "screw",
        chain.screw_need,
        "a stronger screw or more of them",
        _base_sources,
    ),
    Link(
        "bracket",
        "The base bracket itself",
        "H",
        "test of the bracket",
        bracket,
        "screw",
        _bracket_need,
        "a stronger bracket, or brackets closer together",
        _base_sources,
    ),
    Link(
        "line bending",
        "Bending of the line between brackets",
        "H",
        "AISI S100-16 F2, F3",
        bending,
        "line",
        _section_need,
        "brackets closer together or a deeper line",
        _line_sources,
    ),
)
