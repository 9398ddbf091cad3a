"""A commented blank survey, and the published JSON Schema. Both are made from the models, so they cannot drift."""

from __future__ import annotations

import json
import textwrap
from collections.abc import Iterator, Mapping
from typing import Any

from secondroof.survey.fields import Group
from secondroof.survey.form import followed, raw_schema

_HEAD = """\
# A survey of one roof for a new metal roof over an old one.
#
# Fill in what was found. Leave blank what was not read: it is listed, with what it would decide.
# Lengths as people write them: 24'-6 1/2", 7.47 m, 0.0598 in, 16 ga base. A bare number is in the unit named.
# Readings go in lists, each as it was read: [.0585, .0590]. A doubtful one gets a ?: .31?
# One set aside says why: {read: .0625, why: primer on?, set_aside: primer not stripped}
# Lists of things are commented out below: take off the # of the lines you use, and copy them as often as needed.
# So are sections that may be left out whole, but not in part.
# To begin, fill in the lines marked NEEDED that have no # before them.
"""
_WIDTH = 112
#: Items every group of readings has: said in full once.
_COMMON = tuple(Group.model_fields)


def schema() -> dict[str, Any]:
    """JSON Schema of a survey file, draft 2020-12. A blank (null) stands for an item not read."""
    body = json.loads(json.dumps(raw_schema()))
    line = body["$defs"]["Plane"]["properties"]["lines"]
    line["items"] = {"anyOf": [{"type": "number"}, {"type": "string"}, {"$ref": "#/$defs/Line"}]}
    for part in (body, *body["$defs"].values()):
        for name, inner in part.get("properties", {}).items():
            if name not in part.get("required", ()):
                part["properties"][name] = _or_blank(inner)
    return {
        "$schema": "https://json-schema.org/draft/2020-12/schema",
        **body,
        "title": "secondroof survey",
        "description": "One roof as found, its ground rules and the recovers tried on it.",
    }


def _or_blank(part: dict[str, Any]) -> dict[str, Any]:
    if part.get("type") == "null" or {"type": "null"} in part.get("anyOf", ()):
        return part
    kept = {k: v for k, v in part.items() if k in ("description", "default", "title")}
    return {"anyOf": [{k: v for k, v in part.items() if k not in kept}, {"type": "null"}], **kept}


def template() -> str:
    """A commented blank survey file, valid once its NEEDED lines are filled in."""
    return _HEAD + "\n".join(_Writer().record(followed(raw_schema()), "", top=True)) + "\n"


class _Writer:
    """Writes the form; says the items common to all groups of readings once."""

    def __init__(self) -> None:
        self._common_said = False

    def record(
        self, body: Mapping[str, Any], indent: str, *, top: bool = False, needed: bool = True
    ) -> Iterator[str]:
        """Lines of one record."""
        required = body.get("required", ())
        names = (
            sorted(body["properties"], key=lambda n: n not in required)
            if not top and not needed
            else body["properties"]
        )
        for name in names:
            part = followed(body["properties"][name])
            must = needed and name in required
            if top:
                yield ""
            if name == "secondroof":
                yield f"secondroof: 1  # {part['description']}"
            elif part.get("properties"):
                yield from _comment(part.get("description", ""), indent)
                yield f"{indent}{name}:"
                if must or not part.get("required"):
                    yield from self.record(part, indent + "  ", needed=must)
                else:  # may be left out, but not in part
                    yield from (f"{indent}#     {line}" for line in self.record(part, ""))
            elif "oneOf" in part:
                yield from self._kinds(name, part, indent)
            elif _of_records(part):
                yield from self._list(name, part, indent, must=must)
            else:
                yield from _scalar(name, part, indent, must=must)

    def _kinds(self, name: str, part: Mapping[str, Any], indent: str) -> Iterator[str]:
        first, *others = [followed(o) for o in part["oneOf"]]
        yield from _comment(first.get("description", ""), indent)
        yield f"{indent}{name}:"
        yield from self.record(first, indent + "  ")
        for other in others:
            yield from _comment(f"or, in its place: {other.get('description', '')}", indent)
            yield from (f"{indent}#{line[len(indent) :]}" for line in self.record(other, indent + "  "))

    def _list(self, name: str, part: Mapping[str, Any], indent: str, *, must: bool) -> Iterator[str]:
        inner = followed(part["items"])
        yield from _comment(_text(part) or inner.get("description", ""), indent)
        yield f"{indent}{name}:"
        if must:
            lines = list(self.record(inner, indent + "    "))
            first = next(i for i, line in enumerate(lines) if not line.lstrip().startswith("#"))
            lines[first] = f"{indent}  - {lines[first].lstrip()}"
            yield from lines
            return
        common = [n for n in inner["properties"] if n in _COMMON and n not in inner.get("required", ())]
        own = {n: v for n, v in inner["properties"].items() if n not in common}
        if common and not self._common_said and len(common) == len(_COMMON):
            own |= {n: inner["properties"][n] for n in common}
            common, self._common_said = [], True
        required = inner.get("required", ())
        body = list(
            self.record(
                {
                    "properties": {n: own[n] for n in sorted(own, key=lambda n: n not in required)},
                    "required": required,
                },
                "",
            )
        )
        first = next(i for i, line in enumerate(body) if not line.lstrip().startswith("#"))
        for i, line in enumerate(body):
            yield f"{indent}#   {'- ' if i == first else '  '}{line}"
        if common:
            yield from (
                f"{indent}#     {line}" for line in _comment(f"and, as said above: {', '.join(common)}", "")
            )


def _of_records(part: Mapping[str, Any]) -> bool:
    items = part.get("items")
    return isinstance(items, dict) and bool(followed(items).get("properties"))


def _scalar(name: str, part: Mapping[str, Any], indent: str, *, must: bool) -> Iterator[str]:
    words = "; ".join(w for w in ("NEEDED" if must else "", _text(part)) if w)
    head = f"{indent}{name}:"
    if not words or len(head) + len(words) + 4 <= _WIDTH:
        yield f"{head}  # {words}" if words else head
        return
    yield from _comment(words, indent)
    yield head


def _text(part: Mapping[str, Any]) -> str:
    """Description, unit, choices and example of one value."""
    own = str(part.get("description") or "")
    inside = part
    listed = part.get("type") == "array" and isinstance(part.get("items"), dict)
    if listed:
        inside = followed(part["items"])
    options = inside.get("enum") or ([inside["const"]] if "const" in inside else [])
    unit, example = inside.get("unit"), inside.get("example")
    words = ["" if "when a bare number]" in own else own]
    if unit and not part.get("readings"):
        words.append(f"{'' if unit == '-' else f'[{unit}] '}e.g. {example}")
    if options:
        words.append(" | ".join(str(o) for o in options))
    if inside.get("type") == "boolean":
        words.append("true | false")
    if listed and not _of_records(part) and not part.get("readings"):
        words.append("a list in brackets")
    return "; ".join(w for w in words if w)


def _comment(text: str, indent: str) -> Iterator[str]:
    for line in textwrap.wrap(text, _WIDTH - len(indent) - 2, break_on_hyphens=False):
        yield f"{indent}# {line}"
