"""Tables of the loads page: wind by zone, old against new, what the frames get, metal against membrane."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING

import numpy as np

from secondroof.checks.numbers import feet_inches, show
from secondroof.web.contexts import Link, Table

if TYPE_CHECKING:
    from secondroof.acting.frames import Frames
    from secondroof.acting.then_now import ThenNowFound
    from secondroof.checks.model import Need
    from secondroof.findings.model import Findings
    from secondroof.lines.membrane import MetalAgainstMembrane

Href = Callable[..., str]
UNCONFIRMED = "not confirmed against a printed source"


def wind_tables(f: Findings, href: Href) -> tuple[tuple[str, Table], ...]:
    """A table of zones for each part of the roof, with where its coefficients come from and its card."""
    cards = {(x.zone, x.part): x for x in f.loads}
    out = []
    for name in dict.fromkeys(z.component for z in f.zones):
        rows = []
        for z in f.zones:
            if z.component != name:
                continue
            card = cards.get((z.zone, name))
            came = z.entered or (UNCONFIRMED if card is None or card.unconfirmed else "confirmed in print")
            rows.append(
                (
                    z.plane,
                    z.zone,
                    show(z.effective_area_ft2, "ft2"),
                    show(abs(z.uplift_psf_asd), "psf"),
                    show(z.down_psf_asd, "psf"),
                    show(z.area_ft2, "ft2", "whole"),
                    came,
                    Link(card.id, href(card=card.id) + "#card", card=True) if card else "",
                )
            )
        head = ("plane", "zone", "effective area, ft²", "uplift, psf", "down, psf", "area of zone, ft²",
                "coefficients", "card")  # fmt: skip
        out.append((name, Table(head, tuple(rows), (False, False, True, True, True, True, False, False))))
    return tuple(out)


def then_now_table(found: ThenNowFound) -> Table:
    """Uplift the code of the building's day asked beside today's, by the zones a piece of roof was and is in."""
    rows = tuple(
        (
            r.part,
            r.zone_then,
            r.zone_now,
            show(r.roof_area_ft2, "ft2", "whole"),
            show(r.effective_area_ft2, "ft2"),
            show(r.uplift_then_psf, "psf"),
            show(r.uplift_now_psf, "psf"),
            show(r.ratio, "-", "ratio"),
            UNCONFIRMED if r.unconfirmed else "confirmed in print",
        )
        for r in found.rows
    )
    head = ("part", "zone then", "zone now", "roof, ft²", "effective area, ft²", f"ASCE {found.edition_then}, psf",
            f"ASCE {found.edition_now}, psf", "times", "coefficients")  # fmt: skip
    return Table(head, rows, (False, False, False, True, True, True, True, True, False))


def frame_tables(found: Frames) -> tuple[Table, Table]:
    """Dead load of the roof on every frame, and main-frame wind on each surface."""
    weights = Table(
        ("frame", "from frame 1", "today, kip", "with the recover, kip", "added, kip", "added, %"),
        tuple(
            (
                str(x.frame),
                feet_inches(x.x_ft),
                _kip(x.before_kip),
                _kip(x.after_kip),
                _kip(x.added_kip),
                show(100 * x.added_kip / x.before_kip, "-", "whole") if x.before_kip > 0 else "not known",
            )
            for x in found.loads
        ),
        (False, True, True, True, True, True),
    )
    wind = Table(
        ("surface", "where", "across the ridge, pressure inside", "across, suction inside",
         "along the ridge, pressure inside", "along, suction inside"),
        tuple(
            (
                s.surface,
                s.what,
                *(show(v, "psf") for v in (s.across_up_psf, s.across_down_psf, s.along_up_psf, s.along_down_psf)),
            )
            for s in found.surfaces
        ),
        (False, False, True, True, True, True),
    )  # fmt: skip
    return weights, wind


def _kip(value: float) -> str:
    return "not known" if np.isnan(value) else show(value, "kip")


def water_tables(found: MetalAgainstMembrane) -> tuple[Table, Table]:
    """The same purlin line under metal and under a membrane: water that gathers, and deflection limits."""

    def times(value: float) -> str:
        return "runs away" if not np.isfinite(value) else show(value, "-", "ratio")

    sides = (
        ("metal", found.metal),
        ("membrane, rain goes on", found.level_held),
        ("membrane, the same water", found.same_water),
    )
    water = Table(
        ("roof", "water in mid-bay, times what lies even", "bending, times", "largest depth, in"),
        tuple(
            (
                name,
                times(s.amplification),
                times(s.moment_amplification),
                show(float(np.max(s.depth_in)), "in", "gap") if np.isfinite(s.depth_in).all() else "not known",
            )
            for name, s in sides
        ),
        (False, True, True, True),
    )  # fmt: skip
    limits = Table(
        ("roof", "limit", "load", "deflection, in", "allowed, in", "ratio", "clause"),
        tuple(
            (
                x.roof,
                f"span / {x.limit.over:g}",
                x.limit.load,
                show(x.deflection_in, "in", "gap"),
                show(x.allowed_in, "in", "gap"),
                (("holds" if x.ratio <= 1.0 else "short"), show(x.ratio, "-", "ratio")),
                x.limit.clause,
            )
            for x in found.limits
        ),
        (False, False, False, True, True, True, False),
    )
    return water, limits


def needs_table(needs: tuple[Need, ...]) -> Table:
    """What is missing, where to get it and what it decides."""
    return Table(
        ("what", "where to get it", "what it decides", "who"),
        tuple((n.what, n.where, n.decides, n.who) for n in needs),
    )


def loads_needs(f: Findings) -> tuple[Need, ...]:
    """What is missing for the loads, once each."""
    parts = [
        f.acting.needs if f.acting else (),
        f.then_now.needs if f.then_now else (),
        f.frames.needs if f.frames else (),
        f.ponding.needs if f.ponding else (),
    ]
    found: dict[str, Need] = {}
    for need in (n for part in parts for n in part):
        found.setdefault(need.what, need)
    return tuple(found.values())
