"""Edits of a survey's text that touch nothing else: every comment, blank line and other value stays as it was.

The text is cut and joined at the places its own tree gives; it is never written anew. An edit whose result does not
read without problems is refused with those problems.
"""

from __future__ import annotations

import json
import re

from secondroof.errors import InputError, Problem
from secondroof.survey.document import Document, Key, Node, Path, dotted, parse_document, plain
from secondroof.survey.reading import survey_of

_STEP = re.compile(r"([^.\[\]]+)|\[(\d+)\]")
_PLAIN = re.compile(r"[A-Za-z0-9.(/+][^\n\r\t]*")


def parse_path(path: str) -> Path:
    """``building.bays[2]`` as steps; InputError where it is none."""
    steps: list[Key] = []
    at = 0
    while at < len(path):
        if path[at] == "." and at:
            at += 1
        match = _STEP.match(path, at)
        if match is None:
            raise InputError(
                Problem(path, "", "is not the path of an item.", "Write it as building.bays[2].")
            )
        steps.append(match[1] if match[1] is not None else int(match[2]))
        at = match.end()
    if not steps:
        raise InputError(Problem("path", "", "is empty.", "Write it as building.bays[2]."))
    return tuple(steps)


def set_value(text: str, path: str, value_text: str) -> str:
    """Text with the value at ``path`` replaced, or put in where it was blank or not there.

    Parameters
    ----------
    text : str
        A survey file.
    path : str
        Dotted path, e.g. ``purlins.thickness[0].readings``.
    value_text : str
        As a person writes it. A list or map in brackets is taken as such; anything else is one value and is put in
        quotes where it needs them. Blank text blanks the item.

    Raises
    ------
    InputError
        With every problem of the result; ``text`` itself is never changed.
    """
    if not value_text.strip():
        return remove_value(text, path)
    return _checked(_put(parse_document(text), parse_path(path), value_text.strip()))


def remove_value(text: str, path: str) -> str:
    """Text with the item at ``path`` blank, its name and comments kept; an item of a list is taken out."""
    document, steps = parse_document(text), parse_path(path)
    node = _found(document, steps)
    if isinstance(steps[-1], int):
        return _checked(_without_item(document, steps))
    parent = _found(document, steps[:-1])
    if node.blank:
        return text
    return _checked(_blanked(document, parent, node, str(steps[-1])))


def append_item(text: str, path: str, item_text: str) -> str:
    """Text with one more item at the end of the list at ``path``; a blank or missing list is begun.

    ``item_text`` is one value, or a map in brackets: ``{kind: skylight, what: panels 3 x 10 ft, count: 2}``.
    """
    document, steps = parse_document(text), parse_path(path)
    node, walked = document.nearest(steps)
    if len(walked) < len(steps) or node.blank:
        return _checked(_put(document, steps, f"[{_written(item_text.strip(), in_flow=True)}]"))
    if node.kind != "list":
        raise InputError(
            Problem(path, "", "is not a list.", "Set its value instead.", node.line, node.column)
        )
    if node.flow:
        comma = ", " if node.items else ""
        at = node.items[-1].end if node.items else node.end - 1
        return _checked(text[:at] + comma + _written(item_text.strip(), in_flow=True) + text[at:])
    indent = " " * (node.column - 1)
    at = _line_end(text, node.end)
    return _checked(f"{text[:at]}\n{indent}- {_written(item_text.strip(), in_flow=False)}{text[at:]}")


def _checked(text: str) -> str:
    survey_of(parse_document(text))
    return text


def _found(document: Document, steps: Path) -> Node:
    node, walked = document.nearest(steps)
    if len(walked) < len(steps):
        raise InputError(
            Problem(
                dotted(steps),
                "",
                "is not in this survey.",
                "Look up its path in the file.",
                node.line,
                node.column,
            )
        )
    return node


def _written(value: str, *, in_flow: bool) -> str:
    """One value as YAML: brackets as they are, plain where plain reads back as itself, else in double quotes."""
    if value[:1] in "[{":
        return value
    if _PLAIN.fullmatch(value) and not (in_flow and re.search(r"[,\[\]{}]", value)):
        probe = f"k: [{value}]" if in_flow else f"k: {value}"
        try:
            node = parse_document(probe).root.get("k")
            node = node.get(0) if node is not None and in_flow else node
        except InputError:
            node = None
        if node is not None and node.kind == "scalar" and plain(node) is not None and node.text == value:
            return value
    return json.dumps(value, ensure_ascii=False)


def _put(document: Document, steps: Path, value: str) -> str:
    node, walked = document.nearest(steps)
    text = document.text
    if len(walked) == len(steps):
        parent, _ = document.nearest(steps[:-1])
        written = _written(value, in_flow=parent.flow)
        if node.blank and node.start == node.end:
            return (
                f"{text[: _after_colon(text, node.start)]} {written}{text[_after_colon(text, node.start) :]}"
            )
        if node.kind != "scalar" and not node.flow:
            key = parent.key(str(steps[-1])) if isinstance(steps[-1], str) else None
            if key is None:
                return text[: node.start] + written + text[node.end :]
            at = _after_colon(text, key.end)
            return (
                f"{text[:at]} "
                f"{written}{text[at : _line_end(text, at)]}{_kept_comments(text, _line_end(text, at), node.end)}"
            )
        return text[: node.start] + written + text[node.end :]
    rest = steps[len(walked) :]
    if any(isinstance(step, int) for step in rest):
        raise InputError(
            Problem(
                dotted(steps),
                "",
                "is not in this survey.",
                "Add an item to its list first.",
                node.line,
                node.column,
            )
        )
    if node.flow:
        nested = _written(value, in_flow=True)
        for step in reversed(rest[1:]):
            nested = f"{{{step}: {nested}}}"
        comma = ", " if node.items else ""
        at = node.items[-1].end if node.items else node.end - 1
        return f"{text[:at]}{comma}{rest[0]}: {nested}{text[at:]}"
    indent = node.column - 1
    at = _line_end(text, max(node.end, node.start))
    if node.blank and walked:
        indent = _indent_of(text, node.start) + 2
        at = _line_end(text, node.start)
    elif node.kind == "scalar":
        raise InputError(
            Problem(
                dotted(walked),
                document.written(node),
                "is one value; it has no items.",
                "Mend it first.",
                node.line,
                node.column,
            )
        )
    lines = [f"{' ' * (indent + 2 * i)}{step}:" for i, step in enumerate(rest)]
    lines[-1] += f" {_written(value, in_flow=False)}"
    return text[:at] + "".join(f"\n{line}" for line in lines) + text[at:]


def _blanked(document: Document, parent: Node, node: Node, name: str) -> str:
    text = document.text
    if parent.flow or node.flow or node.kind == "scalar":
        end = node.end
        start = node.start - 1 if text[node.start - 1 : node.start] == " " and not parent.flow else node.start
        return text[:start] + text[end:]
    key = parent.key(name)
    assert key is not None
    at = _line_end(text, key.end)
    return text[:at] + _kept_comments(text, at, node.end)


def _kept_comments(text: str, start: int, end: int) -> str:
    """Whole-line comments between two places, then the rest of the text from the end of the last line."""
    end = _line_end(text, end)
    kept = [line for line in text[start:end].split("\n")[1:] if line.lstrip().startswith("#")]
    return "".join(f"\n{line}" for line in kept) + text[end:]


def _without_item(document: Document, steps: Path) -> str:
    text, index = document.text, int(steps[-1])
    parent = _found(document, steps[:-1])
    item = parent.items[index]
    if len(parent.items) == 1:
        if isinstance(steps[-2], str):
            return _blanked(document, _found(document, steps[:-2]), parent, steps[-2])
        raise InputError(
            Problem(
                dotted(steps),
                "",
                "is the last item of a list inside a list.",
                "Take out the list.",
                item.line,
                item.column,
            )
        )
    if parent.flow:
        if index + 1 < len(parent.items):
            return text[: item.start] + text[parent.items[index + 1].start :]
        return text[: parent.items[index - 1].end] + text[item.end :]
    start = text.rfind("\n", 0, item.start) + 1
    end = _line_end(text, item.end)
    return (
        text[:start]
        + _kept_comments("\n" + text[start:end], 0, len(text[start:end]) + 1).lstrip("\n")
        + text[end + 1 :]
    )


def _after_colon(text: str, at: int) -> int:
    colon = text.find(":", at)
    return colon + 1 if 0 <= colon < _line_end(text, at) else at


def _line_end(text: str, at: int) -> int:
    end = text.find("\n", at)
    return len(text) if end < 0 else end


def _indent_of(text: str, at: int) -> int:
    line = text[text.rfind("\n", 0, at) + 1 : _line_end(text, at)]
    bare = line.lstrip(" ")
    extra = len(bare) - len(bare.lstrip("- ")) if bare.startswith("- ") else 0
    return len(line) - len(bare) + extra
