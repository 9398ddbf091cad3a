"""A clause formula, and the recorder that turns calls of it into the steps of a card.

A formula is one function holding one expression. Off, the decorator only looks at one context
variable. With :func:`recording` on, every call leaves a :class:`Step`: which formula, which numbers,
which result. What is printed from a step is made from the function's own syntax tree
(``checks.render``), so print and calculation cannot drift apart.

Symbols, units and meanings of the arguments are read from the function's own docstring::

    V : numeric
        Basic wind speed. [mph]
"""

from __future__ import annotations

import functools
import inspect
import re
from collections.abc import Callable, Iterator, Mapping
from contextlib import contextmanager
from contextvars import ContextVar
from dataclasses import dataclass, field
from typing import Any, ParamSpec, TypeVar, cast

P = ParamSpec("P")
R = TypeVar("R")

CHECKED_WORDS = ("verified", "from memory", "common practice", "own derivation", "definition")


@dataclass(frozen=True, slots=True)
class Argument:
    """One argument of a formula: its symbol, what it is and its unit (``-`` for none)."""

    name: str
    what: str
    unit: str


@dataclass(frozen=True, slots=True)
class Limit:
    """The range in which a formula is valid, for one argument or for ``result``.

    A breach is a finding; nothing is ever clamped silently.
    """

    name: str
    low: float | None = None
    high: float | None = None
    why: str = ""


@dataclass(frozen=True, slots=True)
class Formula:
    """What is known of a formula beside its expression.

    Attributes
    ----------
    name : str
        Dotted name inside the package, e.g. ``loads.wind.velocity_pressure``.
    symbol, unit, clause : str
        Symbol and unit of the result, and the clause it comes from.
    checked : str
        How it was checked; begins with one of ``CHECKED_WORDS``.
    limits : tuple of Limit
        Ranges of validity.
    func : callable
        The undecorated function (its syntax tree is printed on cards).
    """

    name: str
    symbol: str
    unit: str
    clause: str
    checked: str
    limits: tuple[Limit, ...]
    func: Callable[..., Any]

    @property
    def title(self) -> str:
        """First line of the docstring, without its unit."""
        first = (inspect.getdoc(self.func) or "").split("\n", 1)[0]
        return re.sub(r"\s*\[[^\]]*\]\.?$", "", first).rstrip(".")

    @property
    def arguments(self) -> tuple[Argument, ...]:
        """Arguments in order, read from the docstring."""
        return _arguments(self.func)

    @property
    def from_memory(self) -> bool:
        """True where the clause or its constants were not confirmed against a printed source."""
        return self.checked.startswith("from memory")


@functools.cache
def _arguments(func: Callable[..., Any]) -> tuple[Argument, ...]:
    doc = inspect.getdoc(func) or ""
    found: dict[str, tuple[str, str]] = {}
    for head, body in re.findall(r"^(\w[\w, ]*) : [^\n]*\n((?:[ ]{4}[^\n]*\n?)+)", doc, re.MULTILINE):
        text = " ".join(line.strip() for line in body.strip().splitlines())
        unit = re.search(r"\[([^\]]*)\]\s*$", text)
        what = re.sub(r"\s*\[[^\]]*\]\s*$", "", text).rstrip(".")
        for name in head.split(","):
            found[name.strip()] = (what, unit.group(1) if unit else "")
    return tuple(Argument(n, *found.get(n, ("", ""))) for n in inspect.signature(func).parameters)


@dataclass(frozen=True, slots=True)
class Step:
    """One recorded step of a calculation.

    ``formula`` is set for a clause formula. A solver or a table records a step without one:
    ``title``, ``clause``, ``inputs``, ``method`` and a ``self_check`` line then say what was done.
    """

    title: str
    symbol: str
    unit: str
    clause: str
    inputs: Mapping[str, Any]
    result: Any
    formula: Formula | None = None
    method: str = ""
    self_check: str = ""
    checked: str = ""


@dataclass(slots=True)
class Recorder:
    """Steps noted while :func:`recording` is on, in order."""

    steps: list[Step] = field(default_factory=list)


@dataclass(frozen=True, slots=True)
class Breach:
    """An argument outside the range in which a formula is valid."""

    formula: Formula
    limit: Limit
    value: float


_recorder: ContextVar[Recorder | None] = ContextVar("secondroof_recorder", default=None)
REGISTRY: dict[str, Formula] = {}


def formula(
    symbol: str, *, unit: str, clause: str, checked: str, limits: tuple[Limit, ...] = ()
) -> Callable[[Callable[P, R]], Callable[P, R]]:
    """Mark a function as a clause formula.

    Parameters
    ----------
    symbol, unit, clause : str
        Symbol and unit of the result, and its clause, e.g. ``"q_h"``, ``"psf"``, ``"ASCE 7-16 Eq. 26.10-1"``.
    checked : str
        How the formula was checked, beginning with one of ``CHECKED_WORDS``, e.g.
        ``"verified: residential code table cells"`` or ``"from memory"``.
    limits : tuple of Limit, optional
        Ranges of validity.
    """
    if not checked.startswith(CHECKED_WORDS):
        raise ValueError(f"checked must begin with one of {CHECKED_WORDS}, not {checked!r}")

    def decorate(func: Callable[P, R]) -> Callable[P, R]:
        module = func.__module__.removeprefix("secondroof.")
        spec = Formula(f"{module}.{func.__name__}", symbol, unit, clause, checked, limits, func)
        REGISTRY[spec.name] = spec

        @functools.wraps(func)
        def call(*args: P.args, **kwargs: P.kwargs) -> R:
            result = func(*args, **kwargs)
            recorder = _recorder.get()
            if recorder is not None:
                bound = inspect.signature(func).bind(*args, **kwargs)
                bound.apply_defaults()
                inputs = dict(bound.arguments)
                recorder.steps.append(
                    Step(spec.title, symbol, unit, clause, inputs, result, formula=spec, checked=checked)
                )
            return result

        call.formula = spec  # type: ignore[attr-defined]
        return call

    return decorate


def spec_of(func: Callable[..., Any]) -> Formula:
    """Formula record of a decorated function."""
    return cast(Formula, func.formula)  # type: ignore[attr-defined]


@contextmanager
def recording() -> Iterator[Recorder]:
    """Note every formula called inside the block.

    Examples
    --------
    >>> with recording() as r:
    ...     pass
    >>> r.steps
    []
    """
    recorder = Recorder()
    token = _recorder.set(recorder)
    try:
        yield recorder
    finally:
        _recorder.reset(token)


def note_step(
    title: str,
    *,
    symbol: str,
    unit: str,
    clause: str,
    inputs: Mapping[str, Any],
    result: Any,
    method: str,
    checked: str,
    self_check: str = "",
) -> None:
    """Record one step of a table look-up or a solver; does nothing when no recorder is on."""
    recorder = _recorder.get()
    if recorder is not None:
        recorder.steps.append(
            Step(title, symbol, unit, clause, dict(inputs), result, None, method, self_check, checked)
        )


def breaches(spec: Formula, inputs: Mapping[str, Any], result: Any = None) -> tuple[Breach, ...]:
    """Arguments (or the result) outside the formula's range of validity; scalars only."""
    found = []
    for limit in spec.limits:
        value = float(result if limit.name == "result" else inputs[limit.name])
        if (limit.low is not None and value < limit.low) or (limit.high is not None and value > limit.high):
            found.append(Breach(spec, limit, value))
    return tuple(found)
