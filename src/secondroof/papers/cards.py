"""A check or a load as the data of one printed card: steps, symbols, result, both ways, what is missing."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping, Sequence
from typing import Any

import numpy as np

from secondroof.checks.expr import FormulaError
from secondroof.checks.model import Check, Load, OtherWay, Source
from secondroof.checks.notation import finished, symbol_forms
from secondroof.checks.numbers import show, unit_text
from secondroof.checks.render import NOT_STATED, CardLine, SymbolRow, card_lines_of
from secondroof.checks.steps import singled
from secondroof.formula import Step
from secondroof.papers.words import PARTS, WHOSE, amount, numbers, ratio_text, without_head

#: Cards of more steps than this do not repeat steps that stand on an earlier card with the same numbers.
LONG = 8
#: Cards of more steps than this print a formula once: steps worked by one printed before show their result.
VERY_LONG = 20
#: Results that stand with their formula on every card.
ALWAYS = frozenset({"M_a", "ratio"})
#: Digits a value told without its formula keeps at most.
MOST_DIGITS = 6
_UNIT_OF_CHECK = "as the check"


def _key(step: Step) -> tuple[Any, ...]:
    """Formula, numbers put in and result: the same on two cards means the same step."""
    numbers_in = tuple((k, _number(v)) for k, v in step.inputs.items())
    return (step.formula.name if step.formula else step.title, step.symbol, numbers_in, _number(step.result))


def _number(value: Any) -> Any:
    return value.tolist() if isinstance(value, (np.ndarray, np.generic)) else value


def leading_to(steps: Sequence[Step], target: float | None) -> tuple[Step, ...]:
    """Steps whose results lead to a number, signs aside; all of them where none gives it.

    A pressure is worked out for uplift and for the downward case together; a card of one shows its own steps.
    """
    one = singled(steps)
    wanted = set() if target is None else {abs(float(target))}
    kept: list[Step] = []
    for step in reversed(one):
        if _size(step.result) in wanted:
            kept.append(step)
            wanted |= {size for v in step.inputs.values() if (size := _size(v)) is not None}
    return tuple(reversed(kept)) or one


def _size(value: Any) -> float | None:
    if isinstance(value, (str, bool)) or value is None or np.size(value) != 1:
        return None
    return abs(float(np.asarray(value).ravel()[0]))


class CardWriter:
    """Makes card data in order, so that a long card can point to steps printed on an earlier one."""

    def __init__(self) -> None:
        self._seen: dict[str, str] = {}
        self._formulas: dict[str, str] = {}

    def check(self, c: Check) -> dict[str, Any]:
        """Card of one check."""
        steps = leading_to(c.steps, c.demand) if c.key == "purlin uplift" else c.steps
        body = self._body(c.id, steps, c.sources, c.unit)
        return {
            **body,
            "id": c.id,
            "title": c.what,
            "where": c.where,
            "clause": c.clause,
            "state": c.state,
            "ratio": ratio_text(c.ratio),
            "before": ratio_text(c.ratio_before),
            "asked": amount(c.demand, c.unit) if c.ratio is not None or c.unit not in ("-", "") else "",
            "there": amount(c.capacity, c.unit) if c.unit not in ("-", "") else "",
            "sentence": without_head(c.sentence),
            "whose": WHOSE[c.whose],
            "code": c.asked + (f": {c.asked_why}" if c.asked_why else ""),
            "basis": c.basis,
            "ways": [_way(w) for w in c.both_ways],
            "moves": [_way(w) for w in c.moves],
            "needs": [
                {"what": n.what, "where": n.where, "who": n.who, "decides": n.decides} for n in c.needs
            ],
        }

    def loads(self, found: Sequence[Load]) -> list[dict[str, Any]]:
        """Cards of loads; parts of one zone whose pressure is the same share one."""
        groups: dict[tuple[str, float], list[Load]] = {}
        for x in found:
            groups.setdefault((x.zone, round(x.value, 9)), []).append(x)
        return [self._load(group) for group in groups.values()]

    def _load(self, group: Sequence[Load]) -> dict[str, Any]:
        x = group[0]
        parts = [PARTS.get(g.part, g.part) for g in group]
        same = ""
        if len(group) > 1:
            same = f"The same pressure acts on: {', '.join(parts[1:])}. The table of loads gives each effective area."
        return {
            **self._body(x.id, leading_to(x.steps, x.value), x.sources, x.unit, long=0),
            "id": numbers([g.id for g in group]),
            "title": f"Uplift on the {parts[0]}",
            "where": x.where,
            "clause": x.clause,
            "state": "",
            "ratio": "",
            "value": amount(x.value, x.unit),
            "sentence": " ".join(t for t in (x.sentence, same) if t),
            "unconfirmed": x.unconfirmed,
            "ways": [],
            "moves": [],
            "needs": [],
        }

    def plain(
        self, *, id: str, title: str, where: str, clause: str, steps: Sequence[Step], sources: Mapping[str, Source],
        unit: str, value: str, sentence: str, basis: str = "",
    ) -> dict[str, Any]:  # fmt: skip
        """Card of steps that are no check: a load case, a comparison."""
        return {
            **self._body(id, steps, sources, unit),
            "id": id,
            "title": title,
            "where": where,
            "clause": clause,
            "state": "",
            "ratio": "",
            "value": value,
            "sentence": sentence,
            "basis": basis,
            "ways": [],
            "moves": [],
            "needs": [],
        }

    def _body(
        self, id: str, steps: Sequence[Step], sources: Mapping[str, Source], unit: str, long: int = LONG
    ) -> dict[str, Any]:
        one = singled(steps)
        try:
            lines = card_lines_of(one, sources=sources)
        except FormulaError as error:
            return {
                "steps": [],
                "long": False,
                "symbols": [],
                "notes": [],
                "not_printed": f"The steps cannot be printed: {error}",
            }
        kept = self._kept(id, one, long)
        shown = self._shown(id, one, kept)
        notes: list[str] = []
        out = []
        for step, line, on, by in zip(one, lines, kept, shown, strict=True):
            whole = on is None and by is None
            out.append(_step(line, notes, unit) if whole else _pointer(step, line, on or "", by or "", unit))
        rows = _rows(
            line for line, on, by in zip(lines, kept, shown, strict=True) if on is None and by is None
        )
        return {
            "steps": out,
            "long": len(one) > VERY_LONG,
            "symbols": [cells for r in rows if (cells := _symbol(r, rows, lines, unit)) is not None],
            "notes": notes,
            "not_printed": "",
        }

    def _kept(self, id: str, steps: Sequence[Step], most: int) -> list[str | None]:
        """For each step None where it is printed here, else the card it is printed on."""
        keys = [repr(_key(s)) for s in steps]
        long = len(steps) > most
        last = len(steps) - 1
        on = [self._seen.get(k) if long and i != last else None for i, k in enumerate(keys)]
        for k, where in zip(keys, on, strict=True):
            if where is None:
                self._seen.setdefault(k, id)
        return on

    def _shown(self, id: str, steps: Sequence[Step], kept: Sequence[str | None]) -> list[str | None]:
        """For each step None where it is printed whole, else the card its formula is printed on."""
        out: list[str | None] = []
        for step, on in zip(steps, kept, strict=True):
            name = step.formula.name if step.formula is not None else ""
            fold = len(steps) > VERY_LONG and on is None and bool(name) and step.symbol not in ALWAYS
            by = self._formulas.get(name) if fold else None
            out.append(by)
            if on is None and by is None and name:
                self._formulas[name] = id
        return [("this card" if by == id else by) for by in out]


def _unit(text: str, unit: str) -> str:
    return unit_text(unit) if text == _UNIT_OF_CHECK else text


def _step(line: CardLine, notes: list[str], unit: str) -> dict[str, Any]:
    marks = []
    for caution in line.cautions:
        if caution not in notes:
            notes.append(caution)
        marks.append(notes.index(caution) + 1)
    return {
        "title": line.title,
        "clause": line.clause,
        "equation": line.equation.typst,
        "symbolic": line.symbolic.typst,
        "numeric": line.numeric.typst,
        "result": line.result.typst,
        "method": line.method,
        "self_check": line.self_check,
        "marks": marks,
        "on": "",
        "by": "",
        "inputs": [_cells(r, r.source, r.pencil, unit) for r in line.inputs] if line.method else [],
    }


def _rows(lines: Iterable[CardLine]) -> list[SymbolRow]:
    """Symbols of the printed steps, once each; what an earlier step worked out is left out."""
    found: dict[tuple[str, str, str], SymbolRow] = {}
    for line in lines:
        for r in () if line.method else line.inputs:
            if not r.source.startswith("above: "):
                found.setdefault((r.name, r.value, r.unit), r)
    return list(found.values())


def _pointer(step: Step, line: CardLine, on: str, by: str, unit: str) -> dict[str, Any]:
    """A step that stands with the same numbers on an earlier card (``on``), or whose formula does (``by``)."""
    return {
        "title": line.title,
        "symbol": finished(symbol_forms(step.symbol)).typst if step.symbol.strip() not in ("", "-") else "",
        "value": f"{_few_digits(step, line)} {_unit(line.unit, unit)}".strip(),
        "on": on,
        "by": by,
    }


def _few_digits(step: Step, line: CardLine) -> str:
    """Value of a step told without its formula: nothing is worked on from it, so four digits of worth do."""
    long = len(re.sub(r"\D", "", line.value).lstrip("0")) > MOST_DIGITS
    return show(step.result, line.unit, "coefficient") if long and np.size(step.result) == 1 else line.value


def _cells(row: SymbolRow, source: str, pencil: bool, unit: str) -> dict[str, Any]:
    return {
        "symbol": row.symbol.typst,
        "what": row.what,
        "value": row.value,
        "unit": _unit(row.unit, unit),
        "from": source,
        "pencil": pencil,
    }


def _symbol(
    row: SymbolRow, rows: Sequence[SymbolRow], lines: Sequence[CardLine], unit: str
) -> dict[str, Any] | None:
    """One row of the symbol table; none for a value worked out on this card; one the same as another's says so."""
    if row.source == "above":
        return None
    if row.source != NOT_STATED.text:
        return _cells(row, row.source, row.pencil, unit)
    above = _above(row, lines)
    if above is not None:
        return None if not above.endswith("in kip") else _cells(row, f"above: {above}", False, unit)
    twins = [
        r
        for r in rows
        if r.source != NOT_STATED.text and (r.value, r.unit) == (row.value, row.unit) and r.unit
    ]
    names = list(dict.fromkeys(r.name.rstrip("_") for r in twins))
    if names and _letter(row.name) in {_letter(n) for n in names}:
        names = [n for n in names if _letter(n) == _letter(row.name)]
        pencil = any(r.pencil for r in twins if r.name.rstrip("_") in names)
        return _cells(row, "as " + " or ".join(_plain_symbol(n) for n in names), pencil, unit)
    return _cells(row, row.source, row.pencil, unit)


def _letter(name: str) -> str:
    return re.sub(r"[\d_]+$", "", name.rstrip("_")).rstrip("_")


def _plain_symbol(name: str) -> str:
    return name.replace("_", "")


def _above(row: SymbolRow, lines: Sequence[CardLine]) -> str | None:
    """Title of the step of this card whose result is this number, in its unit or in pounds for kips."""
    digits = re.sub(r"\D", "", row.value).lstrip("0")
    if not digits or (not row.unit and len(digits) < 4):
        return None  # a plain small number would be found by chance
    for line in lines:
        if (line.value, line.unit) == (row.value, row.unit):
            return line.title
    if row.unit == "kip":
        for line in lines:
            letters = {_letter(row.name), _letter(line.symbolic.text.split(" = ")[0].strip())}
            if line.unit == "lb" and (len(letters) == 1 or letters == {"T", "V"}):
                apart = abs(_printed(row.value) * 1000 - _printed(line.value))
                if apart <= 1000 * _half_digit(row.value) + _half_digit(line.value) + 1e-9:
                    return f"{line.title}, in kip"
    return None


def _printed(text: str) -> float:
    return float(text.replace(",", "").replace("−", "-"))


def _half_digit(text: str) -> float:
    """Half of the last printed digit."""
    return 0.5 * 10.0 ** -len(text.partition(".")[2])


def _way(w: OtherWay) -> dict[str, Any]:
    return {"label": w.label, "ratio": ratio_text(w.ratio), "state": w.state, "used": w.used}
