"""What the models refuse, said in plain words with its place in the file."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from secondroof.errors import Problem
from secondroof.survey.document import Document, Key, Node, Path, dotted
from secondroof.survey.fields import ReadingsError
from secondroof.survey.form import nearest_name, part_at, places_of_names
from secondroof.survey.models import spread_line
from secondroof.units import UnitError


def in_file(document: Document, path: Sequence[Key]) -> tuple[Node, Path]:
    """Node of a model's path in the file: spread lines and tags of alternatives are turned back."""
    node = document.root
    walked: list[Key] = []
    for k, step in enumerate(path):
        if (
            isinstance(step, int)
            and k
            and path[k - 1] == "lines"
            and node.kind == "list"
            and "planes" in path[:k]
        ):
            step = _unspread(node, step)
        inner = node.get(step)
        if inner is None:
            if (
                k + 1 < len(path)
                and node.kind == "map"
                and node.get("kind") is not None
                and node.get(path[k + 1]) is not None
            ):
                continue  # the tag of one of several kinds
            break
        node, walked = inner, [*walked, step]
    return node, tuple(walked)


def _unspread(lines: Node, index: int) -> int:
    count = 0
    for i, item in enumerate(lines.items):
        count += len(spread_line(item.text)) if item.kind == "scalar" else 1
        if index < count:
            return i
    return index


def problem_at(
    document: Document, path: Sequence[Key], message: str, mend: str, *, given: bool = True
) -> Problem:
    """A problem at a path of the model, or at the nearest thing in the file."""
    node, walked = in_file(document, path)
    found = not path or walked[-1:] == tuple(path[-1:]) or _is_line(path)
    shown = walked if found else tuple(path)
    text = (
        document.written(node)
        if given and node.kind != "map" and len(walked) >= len(path) - 1 and walked
        else ""
    )
    return Problem(dotted(shown) or document.name, text, message, mend, node.line, node.column)


def _is_line(path: Sequence[Key]) -> bool:
    return "lines" in path and "planes" in path


def problems_of(
    document: Document, data: Mapping[str, Any], errors: Sequence[Mapping[str, Any]]
) -> list[Problem]:
    """Problems of the models' error records."""
    out: list[Problem] = []
    for error in errors:
        path = tuple(step for step in error["loc"] if step != "[key]")
        cause = error.get("ctx", {}).get("error")
        if (
            error["type"] == "too_short"
            and len(in_file(document, path)[0].items) >= error["ctx"]["min_length"]
        ):
            continue  # items that were refused themselves
        if isinstance(cause, ReadingsError):
            out += [problem_at(document, (*path, i), e.message, e.mend) for i, e in cause.wrong]
        elif isinstance(cause, UnitError):
            out.append(problem_at(document, path, cause.message, cause.mend))
        elif error["type"] == "missing":
            out.append(_missing(document, data, path))
        elif error["type"] == "extra_forbidden":
            out.append(_unknown(document, data, path))
        else:
            message, mend = _said(error)
            words = (
                part_at(in_file(document, path)[1], data).get("enum")
                if error["type"] == "literal_error"
                else None
            )
            if words:
                mend = f"Write one of: {'; '.join(map(str, words))}."
            out.append(problem_at(document, path, message, mend))
    return out


def _missing(document: Document, data: Mapping[str, Any], path: Path) -> Problem:
    node, walked = in_file(document, path[:-1])
    name = str(path[-1])
    key = node.key(name)
    about = part_at([*walked, name], data).get("description", "")
    mend = f"Write {name}: {about}." if about else f"Write {name}: and its value."
    if key is not None:
        return Problem(
            dotted((*walked, name)), "", "is left blank and is needed.", mend, key.line, key.column
        )
    return Problem(dotted((*walked, name)), "", "is missing and is needed.", mend, node.line, node.column)


def _unknown(document: Document, data: Mapping[str, Any], path: Path) -> Problem:
    node, walked = in_file(document, path[:-1])
    name = str(path[-1])
    key = node.key(name) or node
    known = list(part_at(walked, data).get("properties", {}))
    where = dotted(walked) or "the top of the file"
    near = nearest_name(name, known)
    homes = places_of_names().get(name, ())
    if near is not None:
        mend = f"Did you mean {near}?"
    elif homes:
        mend = f"It belongs in {' or '.join(h or 'the top of the file' for h in homes[:3])}."
    else:
        mend = f"Names known there: {', '.join(known)}." if known else "Take it out, or put it under notes."
    return Problem(
        dotted((*walked, name)), name, f"is not a name known in {where}.", mend, key.line, key.column
    )


def _said(error: Mapping[str, Any]) -> tuple[str, str]:
    kind, ctx, given = error["type"], error.get("ctx", {}), error.get("input")
    if kind in ("literal_error", "enum"):
        return (
            "is not one of the words known here.",
            f"Write one of: {_choices(str(ctx.get('expected', '')))}.",
        )
    if kind == "union_tag_invalid":
        return "is not a kind known here.", f"Write one of: {_choices(str(ctx.get('expected_tags', '')))}."
    if kind == "union_tag_not_found":
        return "has no kind.", "Write kind: first; it says which items follow."
    limits = {"greater_than": "gt", "greater_than_equal": "ge", "less_than": "lt", "less_than_equal": "le"}
    if kind in limits:
        words = {"gt": "more than", "ge": "at least", "lt": "less than", "le": "at most"}
        return (
            f"is outside what it can be: {words[limits[kind]]} {ctx[limits[kind]]:g}.",
            "Mend the value or its unit.",
        )
    if kind.startswith("int") or kind == "whole":
        return "is not a whole number.", "Write a whole number such as 4."
    if kind.startswith(("float", "decimal")):
        return "is not a number.", "Write a number such as 1.0."
    if kind == "string_type":
        if isinstance(given, bool):
            return "is true or false where words are needed.", "Put it in quotes."
        return "is not words.", "Write it as one line of text."
    if kind == "string_too_short":
        return "says nothing.", "Write some words, or leave it out."
    if kind == "string_too_long":
        return f"is longer than {ctx.get('max_length')} characters.", "Shorten it."
    if kind == "string_pattern_mismatch":
        return (
            "has signs that a name cannot have.",
            "Letters, digits and hyphens, 16 at most, a letter first: R1.",
        )
    if kind.startswith("bool"):
        return "is not true or false.", "Write true or false, or leave it blank."
    if kind in ("tuple_type", "list_type"):
        return (
            "is one value where a list is needed.",
            "Write it in brackets: [25.0, 25.0], or one item a line after -.",
        )
    if kind in ("model_type", "dict_type", "model_attributes_type"):
        return "is not a section with named items.", "Write each item on a line of its own: name: value."
    if kind == "too_short":
        return f"has too few items: at least {ctx.get('min_length')}.", "Write the missing ones."
    if kind == "too_long":
        return (
            f"has too many items: at most {ctx.get('max_length')}.",
            "A roof with more is surveyed as several roofs.",
        )
    cause = ctx.get("error")
    if cause is not None:
        return str(cause), "Mend one of them."
    return "cannot be used as it is written.", "Compare it with a new template."


def _choices(expected: str) -> str:
    return expected.replace("'", "").replace('"', "").replace(" or ", ", ")
