"""Load cases of one roof: patches in plan, loads along lines, and what each case is.

Plan coordinates are those of ``roof.model``. Downward is positive, uplift negative.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Literal

if TYPE_CHECKING:
    from secondroof.checks.model import Need, Source
    from secondroof.formula import Step

#: Name of a load in the combinations (``loads.combinations.LOADS``); C is a construction load, in none of them.
Kind = Literal["D", "Lr", "S", "R", "W_down", "W_up", "C"]
#: Words that end what a need decides where the load is left out until it is met.
NOT_COUNTED = "not counted until then"
When = Literal["before", "after", "both"]


@dataclass(frozen=True, slots=True)
class Patch:
    """Load over a rectangle of one plane in plan, linear along its sides.

    Attributes
    ----------
    plane : str
        Plane it lies on.
    x0_ft, x1_ft, y0_ft, y1_ft : float
        Sides in plan, ``x0 < x1`` and ``y0 < y1``.
    psf : tuple of four float
        Load at (x0, y0), (x1, y0), (x1, y1), (x0, y1). [psf]
    """

    plane: str
    x0_ft: float
    x1_ft: float
    y0_ft: float
    y1_ft: float
    psf: tuple[float, float, float, float]


@dataclass(frozen=True, slots=True)
class Along:
    """Load on one line: spread from ``x0_ft`` to ``x1_ft``, or one point where they are equal.

    Attributes
    ----------
    plane, line : str, int
        The line, counted from the eave.
    w0, w1 : float
        At ``x0_ft`` and ``x1_ft`` [lb/ft]; a point load stands in both [lb].
    what : str
        e.g. ``radiant heater``.
    """

    plane: str
    line: int
    x0_ft: float
    x1_ft: float
    w0: float
    w1: float
    what: str = ""

    @property
    def is_point(self) -> bool:
        """True for a point load."""
        return self.x0_ft == self.x1_ft


@dataclass(frozen=True, slots=True)
class Case:
    """One load case of the roof, with its card.

    Attributes
    ----------
    key : str
        Stable name, e.g. ``snow.balanced.after``.
    kind : Kind
        Which load of the combinations it is.
    when : When
        Today (before), with the recover (after), or both alike.
    title : str
        A foreman's words.
    patches, along : tuple
        What acts where. Patches of one case add where they overlap.
    per : str
        ``plan``: patches are per square foot of horizontal projection; ``slope``: of roof surface.
    acts : str
        ``vertical``, or ``normal`` to the roof.
    sure : bool
        Dead load surely present, so that it may be counted against uplift.
    pattern : tuple of float, optional
        Share of the case on each bay (partial loading), 1 or 0.5.
    level : str
        ``service`` or ``strength``: the level of the edition's load.
    clause, checked, sentence, steps, sources, assumed : the card
        ``checked`` says how the clause was confirmed; ``assumed`` what was assumed, or empty.
    """

    key: str
    kind: Kind
    when: When
    title: str
    sentence: str
    clause: str
    patches: tuple[Patch, ...] = ()
    along: tuple[Along, ...] = ()
    per: Literal["plan", "slope"] = "plan"
    acts: Literal["vertical", "normal"] = "vertical"
    sure: bool = False
    pattern: tuple[float, ...] | None = None
    level: Literal["service", "strength"] = "service"
    checked: str = ""
    steps: tuple[Step, ...] = ()
    sources: Mapping[str, Source] = field(default_factory=dict)
    assumed: str = ""

    @property
    def headline_psf(self) -> float | None:
        """Largest load of its patches, by size: the number a map or table shows first. [psf]"""
        values = [v for p in self.patches for v in p.psf]
        return max(values, key=abs) if values else None


@dataclass(frozen=True, slots=True)
class Part:
    """What one kind of load gives: its cases, and what is missing for the rest."""

    cases: tuple[Case, ...] = ()
    needs: tuple[Need, ...] = ()
    notes: tuple[str, ...] = ()
