"""The form of a survey file: which names belong where. Read from the models, so that it cannot drift."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from difflib import get_close_matches
from functools import cache
from typing import Any

from secondroof.survey.document import Key, dotted
from secondroof.survey.models import Survey


@cache
def raw_schema() -> dict[str, Any]:
    """JSON Schema as the models give it."""
    return Survey.model_json_schema()


def followed(part: Mapping[str, Any]) -> dict[str, Any]:
    """A part of the schema with its reference followed and its null taken off."""
    body = dict(part)
    if "$ref" in body:
        body = {
            **raw_schema()["$defs"][body["$ref"].rsplit("/", 1)[1]],
            **{k: v for k, v in body.items() if k != "$ref"},
        }
    if "anyOf" in body and "unit" not in body:
        rest = [o for o in body["anyOf"] if o.get("type") != "null"]
        if len(rest) == 1:
            own = {k: v for k, v in body.items() if k not in ("anyOf", "default")}
            inner = followed(rest[0])
            return {**inner, **own, "description": own.get("description") or inner.get("description", "")}
    return body


def part_at(path: Sequence[Key], data: Any) -> dict[str, Any]:
    """The schema of what stands at ``path`` of ``data``; empty where the form has nothing there."""
    body = followed(raw_schema())
    for step in path:
        if "oneOf" in body:
            body = _chosen(body, data)
        data = _inside(data, step)
        if isinstance(step, int):
            body = followed(body.get("items", {}) if isinstance(body.get("items"), dict) else {})
        elif step in body.get("properties", {}):
            body = followed(body["properties"][step])
        elif isinstance(body.get("additionalProperties"), dict):
            body = followed(body["additionalProperties"])
        else:
            return {}
    return _chosen(body, data) if "oneOf" in body else body


def _inside(data: Any, step: Key) -> Any:
    try:
        return data[step]
    except (KeyError, IndexError, TypeError):
        return None


def _chosen(body: Mapping[str, Any], data: Any) -> dict[str, Any]:
    kind = data.get("kind") if isinstance(data, dict) else None
    options = [followed(o) for o in body["oneOf"]]
    return next((o for o in options if o["properties"]["kind"].get("const") == kind), {})


@cache
def places_of_names() -> dict[str, tuple[str, ...]]:
    """Every name of the form with the sections it belongs in."""
    out: dict[str, list[str]] = {}
    for path in _walk(followed(raw_schema()), (), frozenset()):
        out.setdefault(str(path[-1]), []).append(dotted(path[:-1]))
    return {name: tuple(dict.fromkeys(where)) for name, where in out.items()}


@cache
def known_paths() -> frozenset[str]:
    """Every dotted path of the form, without list indices."""
    paths = _walk(followed(raw_schema()), (), frozenset())
    return frozenset(".".join(path) for path in paths)


def _walk(body: Mapping[str, Any], path: tuple[str, ...], seen: frozenset[str]) -> Iterator[tuple[str, ...]]:
    for option in [followed(o) for o in body.get("oneOf", [])]:
        yield from _walk(option, path, seen)
    if isinstance(body.get("items"), dict) and "unit" not in body["items"]:
        yield from _walk(followed(body["items"]), path, seen)
    for name, part in body.get("properties", {}).items():
        yield (*path, name)
        yield from _walk(followed(part), (*path, name), seen)


def nearest_name(given: str, known: Sequence[str]) -> str | None:
    """The known name most like what was given."""
    tidy = given.strip().lower().replace(" ", "_").replace("-", "_")
    found = get_close_matches(tidy, known, n=1, cutoff=0.6)
    return found[0] if found else None
