"""Whole recovers added to a survey's text, by copying their own text; nothing else is touched."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING

from secondroof.errors import InputError, NotFoundError, Problem

if TYPE_CHECKING:
    from secondroof.survey.document import Node


def copied(text: str, name: str) -> tuple[str, str]:
    """Text with a copy of recover ``name`` at the end of its list, and the copy's name."""
    from secondroof.survey.document import parse_document

    document = parse_document(text)
    listed = document.root.get("recovers")
    items = listed.items if listed is not None and listed.kind == "list" else []
    names = [_name(item) for item in items]
    if listed is None or name not in names:
        raise NotFoundError(f"There is no recover {name} in this survey.")
    if listed.flow:
        raise InputError(
            Problem(
                "recovers", "", "are written on one line.", "Write them as a list of lines, then copy again."
            )
        )
    source = document.text
    item, last = items[names.index(name)], items[-1]
    new = free_name(names)
    at = item.get("name")
    assert at is not None
    body = source[item.start : item.end].rstrip()
    shift = at.start - item.start
    body = body[:shift] + new + body[shift + (at.end - at.start) :]
    dash = " " * (source[: item.start].rfind("-") - source.rfind("\n", 0, item.start) - 1)
    gap = source[source[: item.start].rfind("-") + 1 : item.start]
    gap = gap if "\n" not in gap else " "
    head = source[: last.end].rstrip()
    return f"{head}\n{dash}-{gap}{body}\n" + source[last.end :].lstrip("\n"), new


def free_name(names: list[str]) -> str:
    """``R1``, ``R2``: the first free one."""
    return next(f"R{i}" for i in range(1, len(names) + 2) if f"R{i}" not in names)


def _name(item: Node) -> str:
    found = item.get("name")
    return "" if found is None else found.text


def with_recovers_of(text: str, other: str) -> str:
    """Text with the recovers and uplift tests of another survey; refused where it has recovers of its own."""
    from secondroof.survey.document import parse_document

    own, lent = parse_document(text), parse_document(other)
    tried = own.root.get("recovers")
    if tried is not None and tried.items:
        raise InputError(
            Problem("recovers", "", "There are recovers in this survey already.", "Add a copy of one.")
        )
    out = _without(own.text, own.root, "recovers")
    out = _without(out, parse_document(out).root, "uplift_tests")
    out = out.rstrip("\n") + "\n# Begun from an invented example: change every size to your own.\n"
    for key in ("uplift_tests", "recovers"):
        at, node = lent.root.key(key), lent.root.get(key)
        if at is not None and node is not None and node.items:
            out += lent.text[at.start : node.end].rstrip() + "\n"
    return out


def _without(text: str, root: Node, key: str) -> str:
    at, node = root.key(key), root.get(key)
    if at is None or node is None:
        return text
    cut = text[: at.start] + text[node.end :]
    return re.sub(r"\n{3,}", "\n\n", cut)
