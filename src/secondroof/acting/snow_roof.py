"""What every snow case of a roof stands on: the ground rules, and the roof today and with the recover."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Literal

from secondroof.acting.model import Case, Patch
from secondroof.acting.thermal import Thermal, slippery, thermal
from secondroof.acting.where import whole_plane
from secondroof.checks.model import Source
from secondroof.checks.numbers import feet_inches, show
from secondroof.formula import Step, note_step, recording
from secondroof.loads import snow
from secondroof.loads.wind_figures import load_table

if TYPE_CHECKING:
    from secondroof.roof.model import Roof, RoofPlane
    from secondroof.survey.models import Survey
    from secondroof.survey.proposals import Recover

BeforeAfter = Literal["before", "after"]
#: Tables of exposure, thermal and importance factors by edition; those of 7-05 from memory.
TABLES = {
    "7-05": ("Table 7-2", "Table 7-3", "Table 7-4"),
    "7-10": ("Table 7-2", "Table 7-3", "Table 1.5-2"),
    "7-16": ("Table 7.3-1", "Table 7.3-2", "Table 1.5-2"),
    "7-22": ("Table 7.3-1", "Tables 7.3-2 and 7.3-3", ""),
}
WHEN_WORDS = {"before": "today", "after": "with the recover"}


@dataclass(frozen=True, slots=True)
class SnowSite:
    """Ground rules of snow, all of them known.

    Attributes
    ----------
    p_g_psf, C_e, terrain, roof_exposure, risk, W_2
        Ground snow, exposure factor with its two words, risk category, winter wind parameter (7-22) or None.
    """

    survey: Survey
    recover: Recover
    roof: Roof
    edition: str
    p_g_psf: float
    C_e: float
    terrain: str
    roof_exposure: str
    risk: str
    W_2: float | None


@dataclass(frozen=True, slots=True)
class SnowRoof:
    """Balanced snow of the roof in one state, and how it was found.

    Attributes
    ----------
    by_plane : mapping of plane name to BalancedSnow
        Balanced snow with its minimum and rain-on-snow.
    base : tuple of Patch
        Balanced snow ``p_s`` on every plane, without minimum or rain: what drifts and slides lie on.
    """

    site: SnowSite
    when: BeforeAfter
    thermal: Thermal
    C_t: float
    slippery: bool
    slippery_words: str
    by_plane: Mapping[str, snow.BalancedSnow]
    base: tuple[Patch, ...]
    steps: tuple[Step, ...]
    sources: Mapping[str, Source] = field(default_factory=dict)

    def p_s(self, plane: str) -> float:
        """Balanced snow of a plane. [psf]"""
        return float(self.by_plane[plane].p_s_psf)

    def p_f(self, plane: str) -> float:
        """Flat roof snow of a plane. [psf]"""
        return float(self.by_plane[plane].p_f_psf)

    @property
    def words(self) -> str:
        """Today, or with the recover."""
        return WHEN_WORDS[self.when]

    @property
    def assumed(self) -> str:
        """What was worked out or assumed of the roof itself."""
        return self.thermal.assumed

    def case(
        self,
        stem: str,
        title: str,
        sentence: str,
        clause: str,
        *,
        patches: tuple[Patch, ...] = (),
        steps: tuple[Step, ...] = (),
        sources: Mapping[str, Source] | None = None,
        assumed: str = "",
        pattern: tuple[float, ...] | None = None,
    ) -> Case:
        """Case of this state of the roof, with the steps of the balanced snow before its own."""
        every = (*self.steps, *steps)
        return Case(
            key=f"snow.{stem}.{self.when}",
            kind="S",
            when=self.when,
            title=f"{title}, {self.words}",
            sentence=sentence,
            clause=clause,
            patches=patches,
            pattern=pattern,
            level="strength" if snow.level(self.site.edition) == "strength" else "service",
            checked=checked_words(every, self.site.edition),
            steps=every,
            sources={**self.sources, **(sources or {})},
            assumed=" ".join(x for x in (self.assumed, assumed) if x),
        )


def checked_words(steps: tuple[Step, ...], edition: str) -> str:
    """How the steps of a card were confirmed: what stands from memory is named, so is an edition not read."""
    memory = list(dict.fromkeys(s.clause for s in steps if s.checked.startswith("from memory")))
    if edition != "7-10":
        memory.append(
            f"chapter 7 was read in ASCE 7-10 and is taken as unchanged in {edition} where nothing else is said"
        )
    return "from memory: " + "; ".join(memory) if memory else "verified: ASCE 7-10 chapter 7"


def band(plane: RoofPlane) -> tuple[float, float]:
    """Plan limits of a plane across the building, low and high. [ft]"""
    low, high = sorted((plane.y_eave_ft, plane.y_top_ft))
    return low, high


def whole(roof: Roof, psf: Mapping[str, float]) -> tuple[Patch, ...]:
    """One patch for each plane, alike all over it and over its overhang."""
    return tuple(whole_plane(roof, plane, psf[plane.name]) for plane in roof.planes)


def snow_roof(site: SnowSite, when: BeforeAfter) -> SnowRoof | Thermal:
    """Balanced snow of the roof in one state; the thermal record alone where its factor cannot be said."""
    heat = thermal(site.survey, site.recover, site.edition, when)
    if heat.C_t is None:
        return heat
    slides, words = slippery(site.survey, site.recover, site.edition, heat, when)
    found: dict[str, snow.BalancedSnow] = {}
    done: dict[tuple[float, float], snow.BalancedSnow] = {}
    with recording() as recorder:
        _note_factors(site, heat)
        for plane in site.roof.planes:
            like = (plane.slope_deg, plane.run_ft)
            if like not in done:
                done[like] = snow.balanced_snow(
                    site.edition,
                    site.p_g_psf,
                    site.C_e,
                    heat.C_t,
                    site.risk,
                    plane.slope_deg,
                    slides,
                    plane.run_ft,
                )
            found[plane.name] = done[like]
    base = whole(site.roof, {name: float(b.p_s_psf) for name, b in found.items()})
    return SnowRoof(
        site,
        when,
        heat,
        heat.C_t,
        slides,
        words,
        found,
        base,
        tuple(recorder.steps),
        _sources(site, heat, words),
    )


def _note_factors(site: SnowSite, heat: Thermal) -> None:
    table = load_table("snow")
    note_step(
        "Exposure factor",
        symbol="C_e",
        unit="-",
        clause=f"ASCE {site.edition} {TABLES[site.edition][0]}",
        inputs={"terrain": site.terrain, "roof": site.roof_exposure},
        result=site.C_e,
        method="read from the table by terrain and exposure of the roof",
        checked=str(table["exposure_checked"]),
    )
    entered = heat.condition is None
    note_step(
        "Thermal factor",
        symbol="C_t",
        unit="-",
        clause=f"ASCE {site.edition} {TABLES[site.edition][1]}",
        inputs={"roof": "entered" if entered else heat.condition},
        result=heat.C_t,
        method="entered by a person" if entered else "read from the table by thermal condition",
        checked=heat.checked,
    )
    if site.edition != "7-22":
        note_step(
            "Importance factor",
            symbol="I_s",
            unit="-",
            clause=f"ASCE {site.edition} {TABLES[site.edition][2]}",
            inputs={"risk category": site.risk},
            result=snow.importance_factor(site.risk),
            method="read from the table by risk category",
            checked=str(table["importance_checked"]),
        )


def _sources(site: SnowSite, heat: Thermal, slippery_words: str) -> dict[str, Source]:
    rules = site.survey.ground_rules
    told = Source(rules.source or "ground rules of the job", rules.source is None)
    return {
        "p_g": told,
        "W_2": told,
        "C_e": Source(f"terrain {site.terrain}, roof {site.roof_exposure}"),
        "C_t": heat.source,
        "I_s": Source(f"risk category {site.risk}"),
        "p_m_max": Source(f"ASCE 7-22 Table 7.3-4, risk category {site.risk}"),
        "theta": Source("slope of the plane, survey"),
        "theta_0": Source(slippery_words),
        "S": Source("slope of the leeward plane, survey"),
        "L": Source("length of this roof square to the obstacle, survey"),
    }


def psf(value: float) -> str:
    """Load as people read it."""
    return f"{show(value, 'psf')} psf"


def feet(value: float) -> str:
    """Length as people read it."""
    return feet_inches(value, eighths=False)


def slug(words: str) -> str:
    """Name for a key: letters, digits and hyphens."""
    return re.sub(r"[^a-z0-9]+", "-", words.lower()).strip("-")[:40].strip("-") or "thing"


class Names:
    """Gives each thing a key of its own, in order; same words twice get a number."""

    def __init__(self) -> None:
        self._seen: dict[str, int] = {}

    def of(self, words: str) -> str:
        """Key of a thing."""
        name = slug(words)
        self._seen[name] = self._seen.get(name, 0) + 1
        return name if self._seen[name] == 1 else f"{name}-{self._seen[name]}"
