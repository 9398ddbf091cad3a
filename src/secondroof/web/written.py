"""A survey's values as they were written, laid out in the order of its form."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from functools import cache
from typing import TYPE_CHECKING, Any

from secondroof.web.contexts import Row, Section

if TYPE_CHECKING:
    from secondroof.survey.document import Node

YES_NO = ("true", "false")
#: Parts of a group that say where and how, shown only where they were filled.
QUIET = {
    "plane",
    "lines",
    "bays",
    "station",
    "at",
    "by",
    "on",
    "tool",
    "subtracted",
    "note",
    "photos",
    "family",
    "nominal",
}
TITLES = {
    "job": "Job", "building": "Building", "slope_readings": "Slope readings", "enclosure": "Openings and wind class",
    "old_panel": "Old panel", "standoff": "Standoff", "thermal_blocks": "Thermal blocks", "purlins": "Old purlins",
    "bracing": "Bracing", "hung_loads": "Hung loads", "insulation": "Insulation", "roof_items": "On the roof",
    "edges": "Edges", "surroundings": "Surroundings", "not_read": "Left blank on purpose",
    "uplift_tests": "Uplift tests of new panels", "ground_rules": "Ground rules", "recovers": "Recovers",
}  # fmt: skip
LABELS = {
    "sds": "S_DS, short-period design acceleration",
    "at": "Where, in words",
    "other": "In every zone not named",
    "by_zone": "By zone",
    "sag": "Sag rods, straps or angles",
    "r_value": "R-value",
    "nominal_r": "Nominal R-value",
}


class Written:
    """One mapping, list or scalar of the file, with its own text."""

    def __init__(self, node: Node | None, text: str) -> None:
        self._node = node
        self._text = text
        self.kind = "none" if node is None else node.kind
        self.items: dict[str, Written] = {}
        self.list: list[Written] = []
        if node is not None and node.kind == "map":
            self.items = {k.text: Written(v, text) for k, v in zip(node.keys, node.items, strict=True)}
        elif node is not None and node.kind == "list":
            self.list = [Written(v, text) for v in node.items]

    @property
    def blank(self) -> bool:
        """True where nothing is written."""
        return self._node is None or self._node.blank

    @property
    def value(self) -> str:
        """The scalar, or the list in one line, as written."""
        if self._node is None or self._node.blank:
            return ""
        if self._node.kind == "scalar":
            return self._node.text
        if self._node.kind == "list" and not self._node.flow:
            return "[" + ", ".join(item.inline for item in self.list) + "]"
        return re.sub(r"\s*\n\s*", " ", self._text[self._node.start : self._node.end].strip())

    @property
    def inline(self) -> str:
        """The value as it may stand inside a list, quoted where it was."""
        if self._node is None or self._node.kind != "scalar":
            return self.value
        return self._text[self._node.start : self._node.end].strip()

    def get(self, key: str) -> Written:
        """Item of a mapping; nothing where it is not there."""
        return self.items.get(key, NOTHING)


NOTHING = Written(None, "")


def as_written(text: str) -> Written:
    """Tree of a survey's text that reads without problems."""
    from secondroof.survey.document import parse_document

    document = parse_document(text)
    return Written(document.root, document.text)


@cache
def schema() -> dict[str, Any]:
    """JSON Schema of the survey file."""
    from secondroof.survey.models import Survey

    return Survey.model_json_schema()


def resolved(part: Mapping[str, Any]) -> dict[str, Any]:
    """A part of the schema with its reference followed and its null taken off."""
    body = dict(part)
    if "$ref" in body:
        named = schema()["$defs"][body.pop("$ref").rsplit("/", 1)[1]]
        body = {**resolved(named), **body}
    if "anyOf" in body and "unit" not in body:
        options = [o for o in body["anyOf"] if o.get("type") != "null"]
        if len(options) == 1:
            rest = {k: v for k, v in body.items() if k not in ("anyOf", "default", "title")}
            inner = resolved(options[0])
            return {**inner, **rest, "description": rest.get("description") or inner.get("description", "")}
    return body


def words(key: str) -> str:
    """A field's name in words."""
    return TITLES.get(key) or LABELS.get(key) or key.replace("_", " ").capitalize()


def survey_sections(written: Written, **marks: Any) -> tuple[Section, ...]:
    """Every section of the survey but its ground rules and recovers."""
    skip = {"secondroof", "ground_rules", "recovers", "not_read"}
    return tuple(_top_sections(written, skip, marks))


def _top_sections(written: Written, skip: set[str], marks: Mapping[str, Any]) -> Iterator[Section]:
    loose: list[Row] = []
    for key, part in schema()["properties"].items():
        if key in skip:
            continue
        body = resolved(part)
        if body.get("type") == "array" and is_record(body["items"]):
            yield _list_section(key, key, body, written.get(key), marks)
        elif body.get("properties"):
            yield section(key, words(key), body, written.get(key), marks)
        else:
            loose.append(row(key, key, body, written.get(key), marks))
    if loose:
        yield Section("more", "More", tuple(loose), blanks=sum(r.ink == "blank" for r in loose))


def is_record(part: Mapping[str, Any]) -> bool:
    """True where a part of the schema has named items of its own."""
    body = resolved(part)
    return bool(body.get("properties") or body.get("oneOf"))


def section(
    path: str,
    title: str,
    body: Mapping[str, Any],
    written: Written,
    marks: Mapping[str, Any],
    *,
    quiet: bool = False,
) -> Section:
    """Rows and parts of one record of the survey."""
    rows: list[Row] = []
    parts: list[Section] = []
    for key, part in _properties(body, written).items():
        inner, own, at = resolved(part), written.get(key), f"{path}.{key}"
        if inner.get("type") == "array" and is_record(inner["items"]):
            parts.append(_list_section(at, key, inner, own, marks))
        elif inner.get("properties") or inner.get("oneOf") or _is_mapping(inner):
            if not own.blank or not quiet:
                parts.append(_mapping_section(at, key, inner, own, marks))
        elif not (own.blank and (quiet or key in QUIET) and at not in marks.get("typed", {})):
            rows.append(row(at, key, inner, own, marks))
    blanks = sum(r.ink == "blank" for r in rows) + sum(p.blanks for p in parts)
    return Section(path, title, tuple(rows), tuple(p for p in parts if p.rows or p.parts or p.note), blanks)


def _properties(body: Mapping[str, Any], written: Written) -> Mapping[str, Any]:
    if "oneOf" in body:
        kind = written.get("kind").value
        for option in body["oneOf"]:
            inner = resolved(option)
            if resolved(inner["properties"]["kind"]).get("const") == kind:
                return dict(inner["properties"])
        return {}
    return dict(body["properties"])


def _is_mapping(body: Mapping[str, Any]) -> bool:
    return body.get("type") == "object" and "additionalProperties" in body


def _mapping_section(
    path: str, key: str, body: Mapping[str, Any], written: Written, marks: Mapping[str, Any]
) -> Section:
    if not _is_mapping(body) or body.get("properties"):
        return section(path, words(key), body, written, marks)
    extra = body["additionalProperties"]
    inner = resolved(extra) if isinstance(extra, dict) else {}
    rows = tuple(row(f"{path}.{k}", k, inner, v, marks) for k, v in written.items.items())
    return Section(path, words(key), rows)


def _list_section(
    path: str, key: str, body: Mapping[str, Any], written: Written, marks: Mapping[str, Any]
) -> Section:
    item = resolved(body["items"])
    if key == "lines" and path.startswith("building."):
        shown = row(path, key, {"type": "array", "description": body.get("description", "")}, written, marks)
        return Section(path, words(key), (shown,), blanks=int(written.blank))
    parts = tuple(
        section(f"{path}[{i}]", _item_title(own, i), item, own, marks, quiet=True)
        for i, own in enumerate(written.list)
    )
    note = "" if parts else ("looked, none" if written.kind == "list" else "not read")
    adds = "readings" in item.get("properties", {})
    return Section(path, words(key), (), parts, blanks=int(note == "not read"), note=note, adds=adds)


def _item_title(own: Written, index: int) -> str:
    said = [
        own.get(k).value
        for k in ("name", "what", "kind", "member", "plane", "station", "at", "wall")
        if k in own.items
    ]
    where = [
        f"{k} {own.get(k).value}" for k in ("lines", "bays") if k in own.items and len(own.get(k).value) < 20
    ]
    return ", ".join([*said, *where][:4]) or f"{index + 1}"


def row(path: str, key: str, body: Mapping[str, Any], written: Written, marks: Mapping[str, Any]) -> Row:
    """One value of the survey as a page shows it."""
    kind, choices = _choices(body)
    value = written.value
    typed, problems = marks.get("typed", {}), marks.get("problems", {})
    readings = tuple(_reading(item) for item in written.list) if key == "readings" else ()
    doubtful = value.endswith("?") or value == "assumed" or path in marks.get("pencil", ())
    return Row(
        path=path,
        label=words(key),
        value=typed.get(path, value),
        kind=kind,
        ink="blank" if written.blank else "pencil" if doubtful else "ink",
        unit=_unit(body),
        help=str(body.get("description") or ""),
        choices=choices,
        source=marks.get("sources", {}).get(path, ""),
        was=marks.get("was", {}).get(path),
        problem=problems.get(path, ""),
        readings=readings,
    )


def _choices(body: Mapping[str, Any]) -> tuple[Any, tuple[str, ...]]:
    if "const" in body:
        return "fixed", ()
    if "enum" in body:
        return "choice", tuple(str(v) for v in body["enum"])
    if body.get("type") == "boolean":
        return "choice", YES_NO
    return ("list" if body.get("type") == "array" else "text"), ()


def _unit(body: Mapping[str, Any]) -> str:
    if body.get("type") == "array":
        items = body.get("items")
        return str(items.get("unit", "")) if isinstance(items, dict) else ""
    unit = str(body.get("unit", ""))
    return "" if unit == "-" else {"ft2": "ft²", "degF": "°F"}.get(unit, unit)


def _reading(item: Written) -> tuple[str, bool]:
    if item.kind != "map":
        return item.value, item.value.endswith("?")
    doubtful = bool({"why", "set_aside", "doubtful", "read_again"} & set(item.items))
    return item.get("read").value, doubtful


def flat(written: Written, path: str = "") -> dict[str, str]:
    """Every value of a file by its path, lists of scalars as one value."""
    if written.kind == "map":
        out: dict[str, str] = {}
        for key, item in written.items.items():
            out |= flat(item, f"{path}.{key}" if path else key)
        return out
    if written.kind == "list" and any(
        item.kind == "map" and "read" not in item.items for item in written.list
    ):
        out = {}
        for i, item in enumerate(written.list):
            out |= flat(item, f"{path}[{i}]")
        return out
    return {path: written.value}
