"""From raw readings to design values: what was used, what was set aside and why, and the rule.

Two rules are known. *Lowest clean reading* serves thickness: steel is as thin as its thinnest clean spot. *One-sided
95/75 tolerance limit* (95 % of the population lies above it, with 75 % confidence) is given beside it where five or
more clean readings stand in one group; it supposes a normal population and is shown, not used, for thickness.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from functools import lru_cache
from typing import TYPE_CHECKING, Literal

import numpy as np

if TYPE_CHECKING:
    from secondroof.survey.fields import Reading, ThicknessGroup
    from secondroof.survey.models import Survey

BadSide = Literal["low", "high", "both"]
#: Clean readings from which a tolerance limit is worked out.
FEWEST_FOR_LIMIT = 5


@dataclass(frozen=True, slots=True)
class SetAside:
    """A reading that is not used, and why."""

    reading: Reading
    reason: str

    def __str__(self) -> str:
        return f"{self.reading.written or self.reading.value:}: {self.reason}"


@dataclass(frozen=True, slots=True)
class Clean:
    """Readings used, and readings set aside with the reason.

    ``used`` holds the value read again in place of the first where there is one. A doubtful reading is in ``used``
    only where it lies on the bad side of every clean one, or where there is no clean one; ``doubtful`` names those.
    """

    used: tuple[Reading, ...]
    aside: tuple[SetAside, ...]
    doubtful: tuple[Reading, ...]

    @property
    def values(self) -> tuple[float, ...]:
        """Values used."""
        return tuple(r.value for r in self.used)


def clean(readings: Iterable[Reading], bad: BadSide = "low") -> Clean:
    """Sort readings into those used and those set aside.

    Parameters
    ----------
    readings : iterable of Reading
        Raw readings of one group.
    bad : {'low', 'high', 'both'}
        Side on which a wrong value would do harm; ``both`` uses no doubtful reading beside clean ones.
    """
    sure: list[Reading] = []
    unsure: list[Reading] = []
    aside: list[SetAside] = []
    for r in readings:
        if r.read_again is not None:
            aside.append(SetAside(r, f"read again: {r.read_again:g}"))
            sure.append(r.model_copy(update={"value": r.read_again, "doubtful": False, "read_again": None}))
        elif r.set_aside is not None:
            aside.append(SetAside(r, r.set_aside))
        elif r.doubtful:
            unsure.append(r)
        else:
            sure.append(r)
    kept: list[Reading] = []
    for r in unsure:
        if sure and not _on_bad_side(r.value, [s.value for s in sure], bad):
            why = f"doubtful ({r.why})" if r.why else "doubtful"
            aside.append(SetAside(r, f"{why}, and not on the bad side"))
        else:
            kept.append(r)
    if not sure and len(kept) > 1 and bad != "both":
        worst = (min if bad == "low" else max)(kept, key=lambda r: r.value)
        aside += [SetAside(r, "doubtful; the worst doubtful one is used") for r in kept if r is not worst]
        kept = [worst]
    return Clean((*sure, *kept), tuple(aside), tuple(kept))


def _on_bad_side(value: float, clean_values: Sequence[float], bad: BadSide) -> bool:
    return (bad == "low" and value < min(clean_values)) or (bad == "high" and value > max(clean_values))


@dataclass(frozen=True, slots=True)
class Statistic:
    """One group of readings as numbers.

    Attributes
    ----------
    count : int
        Readings used.
    lowest, highest, mean : float
        Of those used.
    spread : float
        Highest less lowest.
    deviation : float
        Sample standard deviation; 0 for one reading.
    limit : float or None
        One-sided 95/75 tolerance limit on the bad side, where five or more were used.
    design : float
        The design value, by ``rule``.
    rule : str
        In words, with the count.
    set_aside : tuple of SetAside
        What was not used.
    doubtful : int
        Doubtful readings among those used.
    """

    count: int
    lowest: float
    highest: float
    mean: float
    spread: float
    deviation: float
    limit: float | None
    design: float
    rule: str
    set_aside: tuple[SetAside, ...]
    doubtful: int


def statistic(
    readings: Iterable[Reading], bad: Literal["low", "high"] = "low", *, tolerance: bool = False
) -> Statistic | None:
    """Statistic of one group of readings; None where none can be used.

    Parameters
    ----------
    readings : iterable of Reading
    bad : {'low', 'high'}
        Side of the design value.
    tolerance : bool
        Use the 95/75 tolerance limit as design value where there are five or more; else the worst clean reading.
    """
    sorted_out = clean(readings, bad)
    x = np.array(sorted_out.values)
    if not x.size:
        return None
    n = int(x.size)
    s = float(x.std(ddof=1)) if n > 1 else 0.0
    sign = -1.0 if bad == "low" else 1.0
    limit = float(x.mean() + sign * tolerance_factor(n) * s) if n >= FEWEST_FOR_LIMIT else None
    worst = float(x.min() if bad == "low" else x.max())
    word = "lowest" if bad == "low" else "highest"
    doubt = f", {len(sorted_out.doubtful)} of them doubtful" if sorted_out.doubtful else ""
    if tolerance and limit is not None:
        design, rule = limit, f"95/75 tolerance limit of {n} readings{doubt}"
    elif n == 1:
        design, rule = worst, "the one doubtful reading" if sorted_out.doubtful else "the one clean reading"
    else:
        design, rule = worst, f"{word} of {n} {'' if doubt else 'clean '}readings{doubt}"
    return Statistic(
        n,
        float(x.min()),
        float(x.max()),
        float(x.mean()),
        float(np.ptp(x)),
        s,
        limit,
        design,
        rule,
        sorted_out.aside,
        len(sorted_out.doubtful),
    )


@lru_cache(maxsize=256)
def tolerance_factor(n: int, coverage: float = 0.95, confidence: float = 0.75) -> float:
    """One-sided tolerance factor k of a normal population. [-]

    ``mean - k * s`` lies below a share ``coverage`` of the population with ``confidence``, from the noncentral
    t distribution (NIST/SEMATECH e-Handbook 7.2.6.3).
    """
    from scipy.stats import nct, norm

    return float(nct.ppf(confidence, n - 1, norm.ppf(coverage) * math.sqrt(n)) / math.sqrt(n))


# Thickness of old steel --------------------------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class ThicknessAt:
    """Design thickness of the old member at one place.

    Attributes
    ----------
    value_in : float
        Base steel. [in]
    count : int
        Readings it rests on.
    rule : str
        How it was taken, and where it was read.
    assumed : bool
        True where nothing was read there and another place's reading is used.
    note : str
        Where it was read, when assumed; and what was set aside.
    readings : tuple of Reading
        Readings used.
    """

    value_in: float
    count: int
    rule: str
    assumed: bool
    note: str
    readings: tuple[Reading, ...]


@dataclass(frozen=True, slots=True)
class _Read:
    group: ThicknessGroup
    found: Clean
    lowest: float


def design_thickness(survey: Survey, plane: str, line: int, bay: int, n_bays: int) -> ThicknessAt | None:
    """Design thickness of the old member under one line in one bay; None where no member of its kind was read.

    Parameters
    ----------
    survey : Survey
    plane : str
        Plane name.
    line : int
        Line counted from the eave, strut 0.
    bay, n_bays : int
        Bay counted from 1, and how many there are.

    Notes
    -----
    Line 0 is looked up among eave-strut readings and the last line among ridge-purlin readings where the plane has
    such; else among purlins. Readings that name the line go before those of a gauge family that names its bays, those
    before the ones that name the plane, those before the rest; the lowest clean reading among them is used. Readings
    of no named family are samples of one gauge: the bay they were read in does not keep them to that bay. Where
    nothing was read at the place, the lowest of the same member elsewhere is used, and is marked assumed.
    """
    return _thickness_at(_read_groups(survey), _last_lines(survey), plane, line, bay)


def thickness_everywhere(
    survey: Survey,
) -> dict[str, tuple[np.ndarray, np.ndarray, tuple[ThicknessAt | None, ...]]]:
    """Design thickness of every line in every bay.

    Returns
    -------
    dict
        For each plane: (n_line, n_bay) design thickness [in], NaN where not read; (n_line, n_bay) index into the
        distinct values; and those values.
    """
    read, last = _read_groups(survey), _last_lines(survey)
    bays = len(survey.building.bays)
    out: dict[str, tuple[np.ndarray, np.ndarray, tuple[ThicknessAt | None, ...]]] = {}
    for plane in survey.building.planes:
        distinct: dict[object, int] = {}
        values: list[ThicknessAt | None] = []
        which = np.zeros((len(plane.lines), bays), int)
        for line in range(len(plane.lines)):
            for bay in range(1, bays + 1):
                at = _thickness_at(read, last, plane.name, line, bay)
                key = None if at is None else (at.value_in, at.rule, at.note, at.assumed)
                if key not in distinct:
                    distinct[key] = len(values)
                    values.append(at)
                which[line, bay - 1] = distinct[key]
        numbers = np.array([np.nan if v is None else v.value_in for v in values])
        out[plane.name] = (numbers[which] if which.size else np.zeros(which.shape), which, tuple(values))
    return out


def _read_groups(survey: Survey) -> tuple[_Read, ...]:
    found = ((g, clean(g.readings)) for g in survey.purlins.thickness)
    return tuple(_Read(g, c, min(c.values)) for g, c in found if c.used)


def _last_lines(survey: Survey) -> dict[str, int]:
    return {p.name: len(p.lines) - 1 for p in survey.building.planes}


def _thickness_at(
    read: Sequence[_Read], last: dict[str, int], plane: str, line: int, bay: int
) -> ThicknessAt | None:
    member = _member(read, last, plane, line)
    own = [r for r in read if r.group.member == member]
    here = [r for r in own if _matches(r.group, plane, line, bay)]
    for narrow in ("lines", "family", "plane"):
        named = [r for r in here if _names(r.group, narrow)]
        if named:
            return _lowest(named, assumed=False)
    if here:
        return _lowest(here, assumed=False)
    elsewhere = [r for r in own if r.group.lines is None or line in r.group.lines]
    return _lowest(elsewhere, assumed=True) if elsewhere else None


def _member(read: Sequence[_Read], last: dict[str, int], plane: str, line: int) -> str:
    def has(member: str) -> bool:
        return any(r.group.member == member and r.group.plane in (None, plane) for r in read)

    if line == 0 and has("eave strut"):
        return "eave strut"
    if line == last.get(plane) and line > 0 and has("ridge purlin"):
        return "ridge purlin"
    return "purlin"


def _names(group: ThicknessGroup, narrow: str) -> bool:
    """Whether a group speaks for a place more closely: its lines, the bays of its own gauge family, its plane."""
    if narrow == "family":
        return group.family is not None and group.bays is not None
    return getattr(group, narrow) is not None


def _matches(group: ThicknessGroup, plane: str, line: int, bay: int) -> bool:
    return (
        group.plane in (None, plane)
        and (group.lines is None or line in group.lines)
        and (group.bays is None or group.family is None or bay in group.bays)
    )


def _lowest(read: Sequence[_Read], *, assumed: bool) -> ThicknessAt:
    governs = min(read, key=lambda r: r.lowest)
    used = tuple(r for one in read for r in one.found.used)
    doubtful = sum(len(one.found.doubtful) for one in read)
    aside = [str(a) for one in read for a in one.found.aside]
    where = place_in_words(governs.group)
    kind = "clean " if not doubtful else ""
    count = "the one reading" if len(used) == 1 else f"lowest of {len(used)} {kind}readings"
    rule = f"{count}{f', {doubtful} doubtful' if doubtful else ''}, {where}"
    notes = []
    if assumed:
        notes.append(f"not read here; taken from {where}")
    if aside:
        notes.append("set aside " + "; ".join(aside))
    return ThicknessAt(governs.lowest, len(used), rule, assumed, ". ".join(notes), used)


def place_in_words(group: object) -> str:
    """Where a group was read: plane, lines, bays, station, words."""
    words = []
    if plane := getattr(group, "plane", None):
        words.append(f"{plane} slope")
    for name in ("lines", "bays", "frames"):
        numbers = getattr(group, name, None)
        if numbers:
            words.append(f"{name if len(numbers) > 1 else name[:-1]} {_numbers(numbers)}")
    if station := getattr(group, "station", None):
        words.append(station)
    if at := getattr(group, "at", None):
        words.append(at)
    return ", ".join(words) or "place not written down"


def _numbers(numbers: Sequence[int]) -> str:
    if len(numbers) > 2 and list(numbers) == list(range(numbers[0], numbers[-1] + 1)):
        return f"{numbers[0]} to {numbers[-1]}"
    return ", ".join(map(str, numbers))


# Run-out of the old ribs -------------------------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class ModuleAt:
    """Rib module measured at one station. [in]"""

    plane: str | None
    station: str | None
    where: str
    width_in: float
    module_in: float


@dataclass(frozen=True, slots=True)
class RunOut:
    """Rib module over many ribs, and how far one pattern drifts from it.

    Attributes
    ----------
    stations : tuple of ModuleAt
        Each reading, never averaged.
    nominal_in : float
        Nominal module. [in]
    ribs : float
        Rib spaces each reading spans. [-]
    set_aside : tuple of SetAside
        Readings not used.
    """

    stations: tuple[ModuleAt, ...]
    nominal_in: float
    ribs: float
    set_aside: tuple[SetAside, ...]

    @property
    def modules_in(self) -> tuple[float, ...]:
        """Measured modules. [in]"""
        return tuple(s.module_in for s in self.stations)

    @property
    def mean_module_in(self) -> float:
        """Mean of the measured modules: the one to order to. [in]"""
        return math.fsum(self.modules_in) / len(self.stations)

    def drift_in(self, ordered_in: float | None = None, piece_ft: float = 10.0) -> tuple[float, ...]:
        """Gain of the ribs over notches of ``ordered_in`` along one piece, station by station. [in]"""
        ordered = self.mean_module_in if ordered_in is None else ordered_in
        return tuple((m - ordered) * 12 * piece_ft / ordered for m in self.modules_in)

    def worst_in(self, ordered_in: float | None = None, piece_ft: float = 10.0) -> float:
        """Largest size of :meth:`drift_in`. [in]"""
        return max(abs(d) for d in self.drift_in(ordered_in, piece_ft))

    def fan_in(self, piece_ft: float = 10.0) -> dict[str, float]:
        """Ridge less eave along one piece, for each plane read at both. [in]"""
        out = {}
        for plane in dict.fromkeys(s.plane for s in self.stations if s.plane is not None):
            at = {s.station: s.module_in for s in self.stations if s.plane == plane}
            if "eave" in at and "ridge" in at:
                out[plane] = (at["ridge"] - at["eave"]) * 12 * piece_ft / self.mean_module_in
        return out


def run_out(survey: Survey) -> RunOut | None:
    """Run-out of the old ribs; None where no width over several panels was read or the nominal module is blank."""
    panel = survey.old_panel
    nominal = panel.rib_module if panel.rib_module is not None else panel.coverage
    if not panel.run_out or not nominal or not panel.coverage:
        return None
    ribs = panel.run_out_panels * panel.coverage / nominal
    stations: list[ModuleAt] = []
    aside: list[SetAside] = []
    for group in panel.run_out:
        found = clean(group.readings, "both")
        aside += found.aside
        for r in found.used:
            where = place_in_words(group)
            stations.append(ModuleAt(group.plane, group.station, where, r.value, r.value / ribs))
    return RunOut(tuple(stations), nominal, ribs, tuple(aside)) if stations else None
