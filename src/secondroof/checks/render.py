"""Cards: the steps of a calculation as printed lines, made from the formulas' own expressions.

A number is printed with the digits of its unit, and with more where the printed line would not give the printed
result. The same number has the same digits everywhere on one card, so a sum done by hand with what is printed
comes out right.
"""

from __future__ import annotations

import math
import re
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any

import numpy as np

from secondroof.checks.expr import (
    Expression,
    FormulaError,
    Logic,
    Node,
    Num,
    evaluate,
    expression,
    names,
    put_in,
)
from secondroof.checks.model import Source
from secondroof.checks.notation import (
    EMPTY,
    Forms,
    finished,
    join,
    strong_forms,
    symbol_forms,
    word_forms,
)
from secondroof.checks.numbers import (
    decimals_for,
    decimals_needed,
    fixed,
    scalar,
    show,
    unit_key,
    unit_text,
    with_unit,
)
from secondroof.checks.printing import tree_forms
from secondroof.formula import Argument, Formula, Step, breaches

Index = int | tuple[int, ...]
NOT_STATED = Source("source not stated", assumed=True)
FROM_MEMORY = "From memory: check this clause and its numbers against the printed standard."
_MATCH = 1e-9  # how closely the tree must repeat the recorded result
_SUFFIX = re.compile(r"_(ft2|ft|in2|in3|in4|in|psf|plf|lb|kip_in|kip|ksi|psi|mph|degF|deg|pcf)$")
_RATIO_NAMES = ("ratio", "DCR", "dcr")


@dataclass(frozen=True, slots=True)
class SymbolRow:
    """One line of the table under a card.

    Attributes
    ----------
    name : str
        Symbol as written in the formula.
    symbol : Forms
        The symbol in three notations.
    what, value, unit, source : str
        What it is, its size, its unit, where it comes from.
    pencil : bool
        Assumed, or of unknown source: drawn in pencil.
    """

    name: str
    symbol: Forms
    what: str
    value: str
    unit: str
    source: str
    pencil: bool


@dataclass(frozen=True, slots=True)
class CardLine:
    """One printed step.

    Attributes
    ----------
    title, clause : str
        What is worked out, and the clause.
    symbolic : Forms
        ``P_a = 0.85 t d F_u / Omega``; for a solver or table its symbol alone.
    numeric : Forms
        The right side with numbers; empty for a solver or table.
    result : Forms
        Result with its unit.
    equation : Forms
        All of it in one line, the result bold.
    value : str
        Result without its unit.
    unit : str
        Unit as printed.
    inputs : tuple of SymbolRow
        Numbers put in.
    method, self_check : str
        Of a solver or table: how it was done, and what proves it.
    cautions : tuple of str
        What a reader must know: a clause from memory, a number outside the range of the formula.
    checked : str
        How the formula was checked.
    """

    title: str
    clause: str
    symbolic: Forms
    numeric: Forms
    result: Forms
    equation: Forms
    value: str
    unit: str
    inputs: tuple[SymbolRow, ...]
    method: str = ""
    self_check: str = ""
    cautions: tuple[str, ...] = ()
    checked: str = ""


@dataclass(slots=True)
class _Digits:
    """Decimals of every number of one card; a number only ever gains digits."""

    known: dict[tuple[float, str], int] = field(default_factory=dict)

    def of(self, value: float, unit: str, least: int) -> int:
        return max(least, self.known.get((value, unit_key(unit)), 0))

    def keep(self, value: float, unit: str, decimals: int) -> None:
        key = (value, unit_key(unit))
        self.known[key] = max(decimals, self.known.get(key, 0))


@dataclass(frozen=True, slots=True)
class _Plain:
    """A step with scalars picked out."""

    step: Step
    inputs: Mapping[str, Any]
    result: Any


def kind_of(name: str, what: str, unit: str) -> str | None:
    """Kind of number a symbol stands for, where its unit does not say it: base steel, ratio or None."""
    key = unit_key(unit)
    if key == "in" and (
        re.match(r"t(_|\d|$)", name) or re.search(r"thickness|base steel", what, re.IGNORECASE)
    ):
        return "base steel"
    if key in ("-", "ratio") and name.rstrip("_") in _RATIO_NAMES:
        return "ratio"
    return None


def card_lines(
    step: Step, index: Index | None = None, sources: Mapping[str, Source] | None = None
) -> CardLine:
    """Printed form of one step.

    Parameters
    ----------
    step : Step
        Recorded step.
    index : int or tuple of int, optional
        Which element, where the step holds arrays.
    sources : mapping of str to Source, optional
        Where each symbol's value comes from.

    Raises
    ------
    FormulaError
        The formula cannot be printed, the step holds arrays and no index was given, or the recorded result is not
        what the printed expression gives.
    """
    return card_lines_of((step,), index=index, sources=sources)[0]


def card_lines_of(
    steps: Sequence[Step], *, index: Index | None = None, sources: Mapping[str, Source] | None = None
) -> tuple[CardLine, ...]:
    """Printed forms of all steps of one card, with the same digits for the same number throughout."""
    plain = [_pick(step, index) for step in steps]
    digits = _settle(plain)
    return tuple(
        _formula_line(p, digits, sources or {}, plain[:i])
        if p.step.formula
        else _noted_line(p, digits, sources or {})
        for i, p in enumerate(plain)
    )


def symbols_table(
    steps: Sequence[Step], sources: Mapping[str, Source], *, index: Index | None = None
) -> tuple[SymbolRow, ...]:
    """Table of the symbols of a card: what, value, unit, where from, and whether in pencil.

    A symbol worked out by an earlier step of the card is left out, unless a source is given for it. A symbol of
    which nobody states the source stands in pencil and says so. Inputs of solvers and tables stand with their step.
    """
    plain = [_pick(step, index) for step in steps]
    digits = _settle(plain)
    found: dict[tuple[str, str, str], SymbolRow] = {}
    for i, p in enumerate(plain):
        if p.step.formula is None:
            continue
        for row in _rows(p, digits, sources, plain[:i]):
            if not (
                _worked_out(row.name, p.inputs.get(row.name), plain[:i])
                and _source(row.name, sources) is None
            ):
                found.setdefault((row.name, row.value, row.unit), row)
    return tuple(found.values())


def _pick(step: Step, index: Index | None) -> _Plain:
    """Scalars of a step; of arrays the element meant."""
    if step.formula is None:
        return _Plain(step, step.inputs, step.result)
    values = {**step.inputs, "": step.result}
    shape = np.broadcast_shapes(*(np.shape(v) for v in values.values()))
    if math.prod(shape) != 1 and index is None:
        raise FormulaError(
            f"step {step.title!r} ({step.formula.name}) holds arrays of shape {shape}; a card prints one case. "
            "Give the index of the one meant."
        )
    picked = {}
    for name, value in values.items():
        if isinstance(value, str) or value is None:
            raise FormulaError(
                f"step {step.title!r} ({step.formula.name}): {name} is {value!r}, not a number"
            )
        element = np.broadcast_to(value, shape)[index] if math.prod(shape) != 1 else np.asarray(value)
        if np.size(element) != 1:
            raise FormulaError(
                f"index {index!r} does not name one element of shape {shape} in {step.title!r}"
            )
        number = scalar(element)
        picked[name] = number if isinstance(number, (bool, int)) else float(number)
    result = picked.pop("")
    return _Plain(step, picked, result)


def _arguments(spec: Formula, tree: Expression) -> dict[str, Argument]:
    known = {a.name: a for a in spec.arguments}
    return {n: known.get(n) or Argument(n, "constant", "-") for n in names(tree.tree)}


def _values(p: _Plain, tree: Expression) -> dict[str, Any]:
    return {n: p.inputs[n] if n in p.inputs else tree.constants[n] for n in names(tree.tree)}


def _settle(plain: Sequence[_Plain]) -> _Digits:
    """Digits of every number of a card, raised until every printed line gives its printed result."""
    digits = _Digits()
    for _ in range(12):
        before = dict(digits.known)
        for p in reversed(plain):
            if p.step.formula is not None:
                _fit(p, p.step.formula, digits)
        if digits.known == before:
            return digits
    return digits


def _result_decimals(p: _Plain, digits: _Digits) -> int:
    kind = kind_of(p.step.symbol, p.step.title, p.step.unit)
    least = decimals_for(p.result, p.step.unit, kind)
    return digits.of(float(p.result), p.step.unit, least)


def _first_decimals(value: float, unit: str, kind: str | None) -> int:
    """Decimals by unit; a short number is shown as it is."""
    decimals = decimals_for(value, unit, kind)
    if math.isfinite(value) and value != 0:
        exact = decimals_needed(float(value))
        worth = len(f"{abs(value):.{exact}f}".replace(".", "").strip("0"))
        if worth <= 4:
            return max(decimals, exact)
    return decimals


def _fit(p: _Plain, spec: Formula, digits: _Digits) -> None:
    tree = expression(spec)
    arguments, values = _arguments(spec, tree), _values(p, tree)
    result = float(p.result)
    taken: list[int] = []
    again = float(evaluate(tree.tree, values, taken))
    if not _same(again, result):
        raise FormulaError(
            f"formula {spec.name}: the printed expression gives {again!r} where {result!r} was recorded; "
            "the card would not show what was computed"
        )
    exact = {n: _exact(v) for n, v in values.items()}
    decimals = {}
    for n, v in values.items():
        if isinstance(v, bool):
            continue
        first = _first_decimals(v, arguments[n].unit, kind_of(n, arguments[n].what, arguments[n].unit))
        decimals[n] = digits.of(float(v), arguments[n].unit, exact[n] if n in tree.constants else first)
    if math.isfinite(result):
        shown = _result_decimals(p, digits)
        digits.keep(result, p.step.unit, shown)
        target = float(fixed(result, shown, plain=True, commas=False))
        _raise_digits(tree.tree, values, decimals, exact, (target, 0.5 * 10.0**-shown, taken), spec.name)
    for n, d in decimals.items():
        digits.keep(float(values[n]), arguments[n].unit, d)


def _raise_digits(
    tree: Node,
    values: Mapping[str, Any],
    decimals: dict[str, int],
    exact: Mapping[str, int],
    aim: tuple[float, float, list[int]],
    name: str,
) -> None:
    """Add digits, always to the number whose rounding moves the result most, until the printed line is right."""
    target, half, taken = aim
    # what 16-digit arithmetic itself may be off by, far below anything printed
    slack = half * 1e-6 + 1e-12 * abs(target)

    def off(of: Iterable[str]) -> float:
        now: list[int] = []
        rounded = {**values, **{n: _rounded(values[n], decimals[n]) for n in of}}
        result = float(evaluate(tree, rounded, now))
        return abs(result - target) if now == taken and math.isfinite(result) else math.inf

    while off(decimals) > half + slack:
        open_ = [n for n in decimals if decimals[n] < exact[n]]
        if not open_:
            raise FormulaError(
                f"formula {name}: no number of digits makes its printed line give its printed result"
            )
        worst = max(open_, key=lambda n: off((n,)))
        decimals[worst] += 1


def _same(a: float, b: float) -> bool:
    return (math.isnan(a) and math.isnan(b)) or a == b or abs(a - b) <= _MATCH * max(abs(a), abs(b))


def _exact(value: Any) -> int:
    return decimals_needed(float(value)) if math.isfinite(value) else 0


def _rounded(value: float, decimals: int) -> float:
    return float(fixed(float(value), decimals, plain=True, commas=False)) if math.isfinite(value) else value


def _printed(value: float, decimals: int) -> Num:
    return Num(_rounded(value, decimals), fixed(float(value), decimals, plain=True))


def _formula_line(
    p: _Plain, digits: _Digits, sources: Mapping[str, Source], earlier: Sequence[_Plain]
) -> CardLine:
    step, spec = p.step, p.step.formula
    assert spec is not None
    tree = expression(spec)
    arguments, values = _arguments(spec, tree), _values(p, tree)
    numbers: dict[str, Num | bool] = {
        n: v if isinstance(v, bool) else _printed(v, digits.of(float(v), arguments[n].unit, 0))
        for n, v in values.items()
    }
    filled, conditions = put_in(tree.tree, numbers)
    head = symbol_forms(step.symbol) if step.symbol.strip() not in ("", "-") else EMPTY
    symbolic = tree_forms(tree.tree)
    if head != EMPTY and head.text.replace(" ", "") != symbolic.text.replace(" ", ""):
        symbolic = join(head, "==", symbolic)
    numeric = tree_forms(filled, numeric=True)
    plain_value, pretty, result = _result(p, digits)
    middle = () if isinstance(filled, Num) or numeric.text == plain_value else (numeric, "==")
    equation = join(symbolic, "==", *middle, result)
    if conditions:
        test = conditions[0] if len(conditions) == 1 else Logic("and", conditions)
        numeric = join(numeric, word_forms(" as "), tree_forms(test, numeric=True))
    return CardLine(
        title=step.title,
        clause=step.clause,
        symbolic=finished(symbolic),
        numeric=finished(numeric),
        result=finished(result),
        equation=finished(equation),
        value=pretty,
        unit=unit_text(step.unit),
        inputs=_rows(p, digits, sources, earlier),
        cautions=_cautions(p),
        checked=step.checked,
    )


def _result(p: _Plain, digits: _Digits) -> tuple[str, str, Forms]:
    decimals = _result_decimals(p, digits)
    plain, pretty = (fixed(float(p.result), decimals, plain=x) for x in (True, False))
    unit = p.step.unit
    return plain, pretty, strong_forms(with_unit(plain, unit, plain=True), with_unit(pretty, unit))


def _cautions(p: _Plain) -> tuple[str, ...]:
    found = [FROM_MEMORY] if p.step.checked.startswith("from memory") else []
    if p.step.formula is not None:
        known = {a.name: a for a in p.step.formula.arguments}
        for breach in breaches(p.step.formula, p.inputs, p.result):
            limit = breach.limit
            argument = known.get(limit.name) or Argument(p.step.symbol, p.step.title, p.step.unit)
            bounds = [
                f"at {word} {_worded(bound, argument)}"
                for word, bound in (("least", limit.low), ("most", limit.high))
                if bound is not None
            ]
            why = f" {limit.why}" if limit.why else ""
            value = _worded(breach.value, argument, [b for b in (limit.low, limit.high) if b is not None])
            name = argument.name.rstrip("_")
            found.append(f"{name} = {value} is outside the range of this formula, {', '.join(bounds)}.{why}")
    return tuple(found)


def _worded(value: float, argument: Argument, apart_from: Sequence[float] = ()) -> str:
    """Number with its unit, with digits enough to tell it from others."""
    kind = kind_of(argument.name, argument.what, argument.unit)
    decimals = _first_decimals(value, argument.unit, kind) if math.isfinite(value) else 0
    while any(_rounded(value, decimals) == bound != value for bound in apart_from) and decimals < _exact(
        value
    ):
        decimals += 1
    return with_unit(fixed(value, decimals), argument.unit)


def _source(name: str, sources: Mapping[str, Source]) -> Source | None:
    return sources.get(name) or sources.get(name.rstrip("_"))


def _worked_out(name: str, value: Any, earlier: Sequence[_Plain]) -> _Plain | None:
    """Earlier step whose result this is, by symbol and size."""
    for p in reversed(earlier):
        if p.step.symbol.rstrip("_") == name.rstrip("_") and _number(p.result) and p.result == value:
            return p
    return None


def _number(value: Any) -> bool:
    return isinstance(value, (int, float)) and not isinstance(value, bool)


def _rows(
    p: _Plain, digits: _Digits, sources: Mapping[str, Source], earlier: Sequence[_Plain]
) -> tuple[SymbolRow, ...]:
    spec = p.step.formula
    assert spec is not None
    tree = expression(spec)
    rows = []
    for name, argument in _arguments(spec, tree).items():
        value = _values(p, tree)[name]
        source = _source(name, sources)
        if source is None and name in tree.constants:
            source = Source("constant of the formula")
        if source is None and (above := _worked_out(name, value, earlier)):
            source = Source(f"above: {above.step.title}")
        source = source or NOT_STATED
        text = (
            show(value)
            if isinstance(value, bool)
            else fixed(float(value), digits.of(value, argument.unit, 0))
        )
        rows.append(_row(name, argument.what, text, unit_text(argument.unit), source))
    return tuple(rows)


def _row(name: str, what: str, value: str, unit: str, source: Source) -> SymbolRow:
    return SymbolRow(name, finished(symbol_forms(name)), what, value, unit, source.text, source.assumed)


def _noted_line(p: _Plain, digits: _Digits, sources: Mapping[str, Source]) -> CardLine:
    """Line of a solver or a table: what went in, how, what came out, what proves it."""
    step = p.step
    rows = []
    for name, given in step.inputs.items():
        value, unit = (
            given
            if isinstance(given, tuple) and len(given) == 2 and isinstance(given[1], str)
            else (given, "")
        )
        if not unit and (suffix := _SUFFIX.search(name)):
            unit = suffix.group(1).replace("_", "-")
        text = _several(value, unit, kind_of(name, name, unit))
        rows.append(_row(name, "", text, unit_text(unit), _source(name, sources) or NOT_STATED))
    kind = kind_of(step.symbol, step.title, step.unit)
    if _number(p.result) and math.isfinite(p.result):
        plain, pretty, result = _result(p, digits)
    else:
        pretty, plain = (_several(p.result, step.unit, kind, plain=x) for x in (False, True))
        unitless = isinstance(p.result, str) or p.result is None
        unit = "" if unitless else step.unit
        result = strong_forms(with_unit(plain, unit, plain=True), with_unit(pretty, unit))
    head = symbol_forms(step.symbol) if step.symbol.strip() not in ("", "-") else EMPTY
    return CardLine(
        title=step.title,
        clause=step.clause,
        symbolic=finished(head),
        numeric=EMPTY,
        result=finished(result),
        equation=finished(join(head, "==", result) if head != EMPTY else result),
        value=pretty,
        unit=unit_text(step.unit),
        inputs=tuple(rows),
        method=step.method,
        self_check=step.self_check,
        cautions=_cautions(p),
        checked=step.checked,
    )


def _several(value: Any, unit: str, kind: str | None = None, *, plain: bool = False) -> str:
    """Shown value of an input or result of any shape: a number, a few numbers, or how many and their range."""
    if value is None or isinstance(value, (str, bool)):
        return show(value, unit, kind, plain=plain)
    if isinstance(value, Mapping):
        return ", ".join(f"{k} {_several(v, unit, kind, plain=plain)}" for k, v in value.items())
    array = np.asarray(value)
    if array.dtype.kind not in "fiu":
        return ", ".join(str(v) for v in array.ravel().tolist())
    if array.size == 1:
        return show(array, unit, kind, plain=plain)
    if array.size <= 8:
        return ", ".join(show(v, unit, kind, plain=plain) for v in array.ravel())
    low, high = (show(f(array), unit, kind, plain=plain) for f in (np.nanmin, np.nanmax))
    return f"{array.size:,} values, {low} to {high}"
