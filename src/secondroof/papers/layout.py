"""Plain text in columns for a terminal, 100 wide."""

from __future__ import annotations

import textwrap
from collections.abc import Sequence

WIDTH = 100
_ASCII = str.maketrans({"−": "-", "×": "x", "²": "2", "³": "3", "⁴": "4", "⁶": "6", "°": "deg ", "–": "-"})


def plain_line(line: str) -> str:
    """Line in plain letters, nothing behind its end."""
    return line.translate(_ASCII).rstrip()


def wrap(text: str, first: str = "", rest: str | None = None, width: int = WIDTH) -> list[str]:
    """Text in lines; later lines stand under the first unless told otherwise."""
    rest = " " * len(first) if rest is None else rest
    return textwrap.wrap(
        text,
        width,
        initial_indent=first,
        subsequent_indent=rest,
        break_long_words=True,
        break_on_hyphens=False,
    ) or [first.rstrip()]


def table(head: Sequence[str], rows: Sequence[Sequence[str]], right: set[int]) -> list[str]:
    """Columns as wide as they need, two apart; those of ``right`` flush right."""
    wide = [max(len(r[i]) for r in (head, *rows)) for i in range(len(head))]

    def line(cells: Sequence[str]) -> str:
        return "  " + "  ".join(
            c.rjust(w) if i in right else c.ljust(w) for i, (c, w) in enumerate(zip(cells, wide, strict=True))
        )

    return [line(head), *(line(r) for r in rows)]


def cut(line: str) -> str:
    """Line no longer than the screen; dots where something is left out."""
    line = line.rstrip()
    return line if len(line) <= WIDTH else f"{line[: WIDTH - 4].rstrip()} ..."
