"""A card for the terminal: plain ASCII, no colour, nothing wider than it must be."""

from __future__ import annotations

import textwrap
from collections.abc import Sequence
from typing import Any

from secondroof.checks.numbers import show, show_with_unit
from secondroof.checks.render import CardLine, SymbolRow, card_lines_of, symbols_table

_ASCII = str.maketrans(
    {"−": "-", "×": "x", "²": "2", "³": "3", "⁴": "4", "⁶": "6", "°": "deg", "≤": "<=", "≥": ">="}
)
NOT_KNOWN = "not known"


def card_text(card: Any, width: int = 88) -> str:
    """Card as text.

    Parameters
    ----------
    card : object
        With ``title`` (or ``what`` and ``where``), ``clause``, ``steps``, ``sources``, ``demand``, ``capacity``,
        ``unit``, ``ratio``, ``state``, ``sentence`` and ``both_ways``; ``id`` and ``needs`` where it has them.
    width : int
        Letters on a line, for words; a formula is never broken.

    Returns
    -------
    str
        Lines ending without a newline.
    """
    lines = [*_head(card, width), ""]
    for line in card_lines_of(tuple(card.steps), sources=card.sources):
        lines += [*_step(line, width), ""]
    rows = symbols_table(tuple(card.steps), card.sources)
    if rows:
        lines += [*_table(rows), ""]
    lines += _result(card, width)
    if card.both_ways:
        lines += ["", *_both_ways(card.both_ways)]
    return "\n".join(text.rstrip().translate(_ASCII) for text in lines)


def _head(card: Any, width: int) -> list[str]:
    title = getattr(card, "title", None) or ", ".join(x for x in (card.what, getattr(card, "where", "")) if x)
    left = "  ".join(x for x in (getattr(card, "id", ""), title) if x)
    gap = width - len(left) - len(card.clause)
    first = [f"{left}{' ' * gap}{card.clause}"] if gap >= 2 else [left, card.clause]
    return [*first, "-" * width]


def _step(line: CardLine, width: int) -> list[str]:
    lines = [f"{line.title}  ({line.clause})" if line.clause else line.title]
    if line.numeric.text:
        lines.append(f"    {line.symbolic.text}")
        if line.numeric.text != line.value.replace("−", "-"):
            lines.append(f"      = {line.numeric.text}")
        lines.append(f"      = {line.result.text}")
    else:
        lines += [f"    {text}" for text in _table(line.inputs)]
        lines += _words(f"How: {line.method}", width, "    ") if line.method else []
        lines.append(f"    {line.equation.text}")
    lines += _words(f"Self-check: {line.self_check}", width, "    ") if line.self_check else []
    for caution in line.cautions:
        lines += _words(f"Caution: {caution}", width, "    ")
    return lines


def _table(rows: Sequence[SymbolRow]) -> list[str]:
    """Symbol, value, unit, what, from; an assumed value is marked in words."""
    cells = []
    for r in rows:
        origin = r.source
        if r.pencil and not origin.startswith(("assumed", "source not stated")):
            origin = f"assumed: {origin}"
        cells.append((r.symbol.text, r.value, r.unit, r.what, origin))
    if not cells:
        return []
    wide = [max(len(c[i]) for c in cells) for i in range(5)]
    return [
        "  ".join((s.ljust(wide[0]), v.rjust(wide[1]), u.ljust(wide[2]), w.ljust(wide[3]), o))
        for s, v, u, w, o in cells
    ]


def _words(text: str, width: int, indent: str = "") -> list[str]:
    return textwrap.wrap(text, width, initial_indent=indent, subsequent_indent=indent, break_long_words=False)


def _state(state: Any) -> str:
    return str(getattr(state, "value", state))


def _ratio(ratio: float | None) -> str:
    return NOT_KNOWN if ratio is None else show(ratio, "ratio")


def _result(card: Any, width: int) -> list[str]:
    ends = [
        f"{word} {NOT_KNOWN if value is None else show_with_unit(value, card.unit)}"
        for word, value in (("demand", card.demand), ("capacity", card.capacity))
        if value is not None or card.ratio is not None or card.unit
    ]
    head = (
        f"{_state(card.state)}, ratio {_ratio(card.ratio)}" if card.ratio is not None else _state(card.state)
    )
    lines = [f"Result: {head}" + (f" ({', '.join(ends)})" if ends else "")]
    lines += _words(card.sentence, width) if card.sentence else []
    for need in getattr(card, "needs", ()):
        lines += _words(
            f"Missing: {need.what}, {need.where}. {need.who} to get it. It decides: {need.decides}", width
        )
    return lines


def _both_ways(ways: Sequence[Any]) -> list[str]:
    rows = []
    for way in ways:
        label, ratio, state = way[:3] if isinstance(way, tuple) else (way.label, way.ratio, way.state)
        used = " (used)" if getattr(way, "used", False) and "(used)" not in label else ""
        rows.append((f"{label}{used}", _ratio(ratio), _state(state)))
    wide = [max(len(r[i]) for r in rows) for i in range(3)]
    return ["Shown both ways", *(f"  {a.ljust(wide[0])}  {b.rjust(wide[1])}  {c}" for a, b, c in rows)]
