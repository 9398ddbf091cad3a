"""Checks, loads, what is missing and the verdict of one recover on one roof.

Everything shown anywhere is made of these records. They are plain and frozen; nothing here computes
a capacity. The order of states and the rule that picks the worst are here, once, for every surface.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Literal

from secondroof.formula import Step

if TYPE_CHECKING:
    import numpy as np

State = Literal["holds", "short", "unknown", "engineer"]
Whose = Literal["new", "made worse", "was so"]
Asked = Literal["required", "not required", "ask the official"]

#: Where several states meet, the shown one is the first of these.
STATE_ORDER: tuple[State, ...] = ("short", "unknown", "engineer", "holds")


def worst(states: Iterable[State]) -> State:
    """First of short, unknown, engineer, holds among ``states``; holds when there are none."""
    found = set(states)
    return next((s for s in STATE_ORDER if s in found), "holds")


def state_of(ratio: float) -> State:
    """State of a demand over a capacity: a ratio of exactly 1.0 holds."""
    return "holds" if ratio <= 1.0 else "short"


@dataclass(frozen=True, slots=True)
class Source:
    """Where a number on a card comes from, and whether it is assumed (pencil)."""

    text: str
    assumed: bool = False


@dataclass(frozen=True, slots=True)
class Need:
    """Something missing: what, where, who gets it, what it would decide."""

    what: str
    where: str
    decides: str
    who: str = "surveyor"


@dataclass(frozen=True, slots=True)
class OtherWay:
    """The same check with a credit or an assumption changed."""

    label: str
    ratio: float | None
    state: State
    used: bool = False


@dataclass(frozen=True, slots=True)
class Check:
    """One limit looked at.

    Attributes
    ----------
    id : str
        Card number, e.g. ``H-27`` (H hold-down, P panel, W weight, C code, L load, S old steel, R old roof).
    key : str
        Stable name of the kind of check, e.g. ``pull-out``.
    what, where : str
        In words.
    whose : Whose
        Of the parts this recover brings, of old steel it loads more, or an old shortage.
    demand, capacity : float or None
        In ``unit``; None where missing.
    ratio, ratio_before : float or None
        Demand over capacity with the recover, and today.
    asked : Asked
        What the code asks of this recover there, with ``asked_why``.
    basis : str
        Readings and assumptions in one line.
    sentence : str
        State, numbers and what would help, in plain words.
    steps, sources : card: formulas with numbers, and where each symbol's value comes from.
    both_ways, moves, needs : credits and assumptions shown both ways, what would move it, what is missing.
    plane, line, zone, x0_ft, x1_ft : place on the plan, where it has one.
    """

    id: str
    key: str
    what: str
    where: str
    whose: Whose
    state: State
    clause: str
    sentence: str
    demand: float | None = None
    capacity: float | None = None
    unit: str = ""
    ratio: float | None = None
    ratio_before: float | None = None
    asked: Asked = "required"
    asked_why: str = ""
    basis: str = ""
    steps: tuple[Step, ...] = ()
    sources: Mapping[str, Source] = field(default_factory=dict)
    both_ways: tuple[OtherWay, ...] = ()
    moves: tuple[OtherWay, ...] = ()
    needs: tuple[Need, ...] = ()
    plane: str | None = None
    line: int | None = None
    zone: str | None = None
    x0_ft: float | None = None
    x1_ft: float | None = None


@dataclass(frozen=True, slots=True)
class Load:
    """One load at one place, with its card; no limit, so no state.

    Attributes
    ----------
    id, what, where, zone, part : str
        Card number, words, wind zone and the part whose effective area was used.
    value, unit
        Uplift as a plain size at allowable stress level.
    clause, sentence, steps, sources
        The card.
    unconfirmed : bool
        True where coefficients were not confirmed against a printed source.
    """

    id: str
    what: str
    where: str
    zone: str
    part: str
    value: float
    unit: str
    clause: str
    sentence: str
    steps: tuple[Step, ...]
    sources: Mapping[str, Source]
    unconfirmed: bool


@dataclass(frozen=True, slots=True)
class Sentence:
    """One of the four sentences of the verdict."""

    state: State
    sentence: str


@dataclass(frozen=True, slots=True)
class Verdict:
    """Four sentences, each with its state: new work, old steel, code path, what is open."""

    new_work: Sentence
    old_steel: Sentence
    code_path: Sentence
    open: Sentence


@dataclass(frozen=True, slots=True)
class ZoneRow:
    """Uplift of one zone on one plane at one effective area.

    ``entered`` says who read the coefficients and where, if a person typed them in; empty where they are held.
    """

    plane: str
    zone: str
    component: str
    effective_area_ft2: float
    uplift_psf_asd: float
    down_psf_asd: float
    area_ft2: float
    entered: str = ""


@dataclass(frozen=True, slots=True)
class WeightItem:
    """One added weight, spread over the roof."""

    what: str
    psf: float
    how: str
    covering: bool


@dataclass(frozen=True, slots=True)
class Segments:
    """Every stretch of every line in one zone, as columns of equal length.

    Attributes
    ----------
    plane : (n,) str
        Plane name.
    line : (n,) int
        Line counted from the eave.
    zone : (n,) str
        Wind zone.
    x0_ft, x1_ft : (n,) float
        Ends of the stretch along the ridge.
    y_ft : (n,) float
        Plan distance across the building.
    width_ft : (n,) float
        Width of roof the line carries, along the slope.
    ratio : (n,) float
        Worst ratio of the hold-down chain there; NaN where a link is unknown and none is short.
    state : (n,) str
        State of the chain there.
    governs : (n,) str
        Key of the link that governs.
    links : mapping of key to (n,) float
        Ratio of every link.
    """

    plane: np.ndarray
    line: np.ndarray
    zone: np.ndarray
    x0_ft: np.ndarray
    x1_ft: np.ndarray
    y_ft: np.ndarray
    width_ft: np.ndarray
    ratio: np.ndarray
    state: np.ndarray
    governs: np.ndarray
    links: Mapping[str, np.ndarray]


@dataclass(frozen=True, slots=True)
class SpacingRow:
    """The largest line spacing that would hold in a zone, beside the one that is there."""

    zone: str
    there_ft: float
    holds_ft: float | None
    governs: str
    sentence: str


@dataclass(frozen=True, slots=True)
class RegionReading:
    """What the standoff readings say of one region."""

    region: str
    plane: str | None
    kind: Literal["sits", "low", "between", "floats", "unknown"]
    count: int
    low_in: float | None
    high_in: float | None
    mean_in: float | None
    odd: tuple[str, ...]
    sentence: str


@dataclass(frozen=True, slots=True)
class OldRoof:
    """What the old roof is: sits on the purlins, low, floats, mixed or unknown."""

    kind: Literal["sits", "low", "floats", "mixed", "unknown"]
    regions: tuple[RegionReading, ...]
    open_kinds: tuple[str, ...]
    refused_kinds: Mapping[str, str]
    strengthening: str
    sentence: str
