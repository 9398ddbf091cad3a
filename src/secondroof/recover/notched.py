"""Framing kind: a notched sub-purlin over each old purlin.

A low section with its web cut out for the old ribs; its foot lies on the flats and is screwed through the
old sheet into the purlin. Open where the old roof sits on the purlins or is low.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from secondroof.checks.model import Source
from secondroof.recover import chain
from secondroof.recover import formulas as f
from secondroof.recover.chain import Design, Held, Link, Stretch

if TYPE_CHECKING:
    from collections.abc import Mapping

    from secondroof.survey.models import Survey
    from secondroof.survey.proposals import NotchedLine

KIND = "notched sub-purlin"
#: Old roofs this kind may stand on.
OPEN_FOR = ("sits", "low")
#: Room beside the rib in each notch, each way [in]; common practice, no source.
NOTCH_PLAY_IN = 0.25


def pitch_ft(survey: Survey, framing: NotchedLine) -> float | None:
    """Distance between screw groups: one in each flat, so the rib module. [ft]"""
    module = framing.rib_module or survey.old_panel.rib_module
    return None if module is None else float(module) / 12


def _tension(s: Stretch, d: Design) -> chain.Numeric:
    return f.screw_tension(f.line_uplift(s.p_screw_psf, s.b_ft), d.pitch_ft, s.n)


def _shear(s: Stretch, d: Design) -> chain.Numeric:
    v = f.down_slope(d.dead_new_psf, s.b_ft, s.theta_deg, d.recover.clip_drag or 0.0)
    return f.screw_shear(v, d.pitch_ft, s.n)


def pull_out(s: Stretch, d: Design) -> Held:
    """Pull-out from the old purlin."""
    return chain.fixing_pull_out(_tension(s, d), s, d)


def pull_over(s: Stretch, d: Design) -> Held:
    """Pull-over of the foot: its web stands on one side of the screw, so the pull is one-sided."""
    framing = d.recover.framing
    return chain.fixing_pull_over(
        _tension(s, d), framing.thickness, framing.tensile_strength, d, one_sided=True
    )


def shear(s: Stretch, d: Design) -> Held:
    """Shear down the slope, foot against old purlin; the old sheet between adds nothing."""
    framing = d.recover.framing
    return chain.fixing_shear(_shear(s, d), s, d, framing.thickness, framing.tensile_strength)


def combined(s: Stretch, d: Design) -> Held:
    """Shear and tension together."""
    framing = d.recover.framing
    return chain.fixing_combined(
        _tension(s, d), _shear(s, d), s, d, framing.thickness, framing.tensile_strength, one_sided=True
    )


def screw(s: Stretch, d: Design) -> Held:
    """The screw itself."""
    return chain.screw_itself(_tension(s, d), _shear(s, d), d)


def bending(s: Stretch, d: Design) -> Held:
    """Bending of the line between two flats, over the notch; its strength is not worked out here."""
    P_c = f.clip_force(s.p_clip_psf, d.recover.panel.width / 12, s.b_ft)
    M = f.clip_moment(P_c, d.pitch_ft)
    return Held(M, np.full(np.shape(M), np.nan), "lb-in")


def _bending_sources(d: Design) -> Mapping[str, Source]:
    return {
        "c": Source(f"panel width, recover {d.recover.name}"),
        "s": Source("distance of flats: rib module"),
    }


LINKS: tuple[Link, ...] = (
    chain.PANEL,
    chain.CLIP,
    Link(
        "pull-out",
        "Screws pulled out of the old purlin",
        "H",
        "AISI S100-16 J4.4.1",
        pull_out,
        "screw",
        chain.thickness_need,
        "a second screw in each flat, or closer lines",
        chain.purlin_sources,
    ),
    Link(
        "pull-over",
        "Foot of the line pulled over the screw heads",
        "H",
        "AISI S100-16 J4.4.2",
        pull_over,
        "screw",
        chain.no_need,
        "a larger washer, a thicker line or a second screw",
        chain.purlin_sources,
    ),
    Link(
        "shear",
        "Screws sheared down the slope",
        "H",
        "AISI S100-16 J4.3.1",
        shear,
        "screw",
        chain.thickness_need,
        "a second screw in each flat",
        chain.purlin_sources,
    ),
    Link(
        "combined",
        "Screws in shear and tension together",
        "H",
        "AISI S100-16 J4.5",
        combined,
        "screw",
        chain.thickness_need,
        "a second screw in each flat",
        chain.purlin_sources,
    ),
    Link(
        "screw",
        "The screw itself",
        "H",
        "AISI S100-16 J4.4.3, J4.5.3",
        screw,
        "screw",
        chain.screw_need,
        "a stronger screw or a second one",
        chain.purlin_sources,
    ),
    Link(
        "line bending",
        "Bending of the line over its notches",
        "H",
        "rational analysis, AISI S100-16 A1.2(c)",
        bending,
        "clip",
        chain.no_need,
        "its tester's load table, or the engineer",
        _bending_sources,
        judged_by_engineer=True,
    ),
)
