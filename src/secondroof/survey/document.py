"""A survey file as text with places: every value keeps its line, column and the way it was written.

Only plain YAML 1.2 is taken: maps, lists and scalars. Anchors, aliases and tags are refused, so a small file
cannot grow into a large one, and a value is always what a person sees.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from typing import Any, Literal

from ruamel.yaml import YAML
from ruamel.yaml.error import MarkedYAMLError, YAMLError
from ruamel.yaml.events import (
    AliasEvent,
    DocumentStartEvent,
    MappingStartEvent,
    ScalarEvent,
    SequenceStartEvent,
)
from ruamel.yaml.reader import ReaderError

from secondroof.errors import InputError, Problem

LARGEST_BYTES = 1_000_000
DEEPEST = 20
MOST_ITEMS = 50_000
Key = str | int
Path = tuple[Key, ...]


@dataclass(slots=True)
class Node:
    """One map, list or scalar of the file.

    Attributes
    ----------
    kind : str
        ``map``, ``list`` or ``scalar``.
    text : str
        Text of a scalar.
    quoted, flow : bool
        Scalar in quotes; map or list in brackets.
    line, column : int
        Place, counted from 1.
    start, end : int
        Place in the text; ``end`` of a block map or list is the end of its last item.
    items, keys : list
        Values of a map or list, and the keys of a map.
    """

    kind: Literal["map", "list", "scalar"]
    line: int
    column: int
    start: int
    end: int
    text: str = ""
    quoted: bool = False
    flow: bool = False
    items: list[Node] = field(default_factory=list)
    keys: list[Node] = field(default_factory=list)

    @property
    def blank(self) -> bool:
        """True where a plain scalar says nothing."""
        return self.kind == "scalar" and not self.quoted and self.text in ("", "~", "null")

    def get(self, key: Key) -> Node | None:
        """Value under a key or at an index; None where there is none."""
        if self.kind == "map" and isinstance(key, str):
            return next(
                (v for k, v in reversed(list(zip(self.keys, self.items, strict=True))) if k.text == key), None
            )
        if self.kind == "list" and isinstance(key, int) and 0 <= key < len(self.items):
            return self.items[key]
        return None

    def key(self, name: str) -> Node | None:
        """Key of that name."""
        return next((k for k in reversed(self.keys) if k.text == name), None)


@dataclass(frozen=True, slots=True)
class Document:
    """Text of a survey file with its tree, and the problems that did not stop the reading of it."""

    name: str
    text: str
    root: Node
    problems: tuple[Problem, ...] = ()

    def nearest(self, path: Sequence[Key]) -> tuple[Node, Path]:
        """Deepest node on ``path`` that is in the file, and the part of the path that leads to it."""
        node = self.root
        walked: list[Key] = []
        for step in path:
            inner = node.get(step)
            if inner is None:
                break
            node, walked = inner, [*walked, step]
        return node, tuple(walked)

    def written(self, node: Node, longest: int = 70) -> str:
        """A value as it stands in the file, cut where it is long."""
        if node.kind != "scalar" and not node.flow:
            return f"a list of {len(node.items)}" if node.kind == "list" else "a section"
        raw = " ".join(self.text[node.start : node.end].split())
        return raw if len(raw) <= longest else raw[: longest - 3] + "..."

    def data(self) -> dict[str, Any]:
        """Plain data: blanks left out, everything but true, false and blanks as its own text."""
        body = plain(self.root)
        return body if isinstance(body, dict) else {}


def plain(node: Node, *, keep_blanks: bool = False, depth: int = 0) -> Any:
    """Data of a node. A blank value of a map is not given, nor is a section below the top with nothing in it.

    ``not_read`` keeps its blanks: an item named there without a reason is told.
    """
    if node.kind == "map":
        out = {}
        for key, value in zip(node.keys, node.items, strict=True):
            if value.blank and not keep_blanks:
                continue
            body = plain(value, keep_blanks=key.text == "not_read", depth=depth + 1)
            if depth and body == {} and not keep_blanks:
                continue
            out[key.text] = body
        return out
    if node.kind == "list":
        return [plain(v, depth=depth + 1) for v in node.items]
    if node.blank:
        return None
    if not node.quoted and node.text in ("true", "false"):
        return node.text == "true"
    return node.text


def dotted(path: Sequence[Key]) -> str:
    """Path in words: ``building.bays[2]``."""
    out = ""
    for step in path:
        out += f"[{step}]" if isinstance(step, int) else f".{step}" if out else step
    return out


def parse_document(source: str | bytes, name: str = "survey") -> Document:
    """Text with the place of every value.

    Parameters
    ----------
    source : str or bytes
        YAML text.
    name : str
        What the file is called, for the words of problems.

    Raises
    ------
    InputError
        Too large, not text, not YAML, or YAML that is more than maps, lists and values.
    """
    text = decode(source, name)
    builder = _Builder(name, text)
    try:
        for event in YAML(typ="safe", pure=True).parse(text):
            builder.take(event)
    except ReaderError as error:
        line = text.count("\n", 0, error.position) + 1
        raise InputError(
            Problem(name, "", "holds a sign that is not text.", "Save it as plain UTF-8 text.", line)
        ) from error
    except MarkedYAMLError as error:
        raise InputError(_not_yaml(error, name)) from error
    except YAMLError as error:
        raise InputError(
            Problem(name, "", "cannot be read as YAML.", "Start from `secondroof survey new`.")
        ) from error
    return builder.finish()


def decode(source: str | bytes, name: str) -> str:
    """Text of a file; InputError where it is too large or not text."""
    size = len(source) if isinstance(source, bytes) else len(source.encode("utf-8", "surrogatepass"))
    if size > LARGEST_BYTES:
        raise too_large(size, name)
    text = _from_bytes(source, name) if isinstance(source, bytes) else source.removeprefix("\ufeff")
    if "\0" in text:
        line = text.count("\n", 0, text.index("\0")) + 1
        mend = "A survey is a text file; save it as plain UTF-8 text."
        raise InputError(Problem(name, "", "is not text: it holds a zero byte.", mend, line))
    return text


def _from_bytes(source: bytes, name: str) -> str:
    try:
        return source.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        line = source.count(b"\n", 0, error.start) + 1
        message = f"is not UTF-8 text: byte {error.start + 1} cannot be read."
        mend = "A survey is a text file; save it as plain UTF-8 text."
        raise InputError(Problem(name, "", message, mend, line)) from error


def too_large(size: int, name: str) -> InputError:
    """The refusal of a file over the limit."""
    return InputError(
        Problem(
            name,
            f"{size / 1e6:.1f} MB",
            f"is larger than a survey may be: {LARGEST_BYTES / 1e6:.0f} MB.",
            "Name photographs by their file names; they do not go inside.",
        )
    )


_WHY = (
    ("mapping values are not allowed", "has a colon where none is expected.",
     "Put the value in quotes, or line it up with its neighbours."),
    ("cannot start any token", "begins with a sign that cannot start a value (a tab, @, ` or %).",
     "Indent with spaces, and put such a value in quotes."),
    ("could not find expected ':'", "has a name without its colon.", ("Write name: value, with "
        "a space after the colon.")),
    ("unexpected end of stream", "ends inside quotes.", "Close the quotes."),
    ("expected ',' or", ("has a bracket that is not "
        "closed, or a comma is missing."), "Close [ with ] and { with }, commas between."),
    ("expected <block end>", "is not lined up with its neighbours.", ("Indent the items of one "
        "section alike, with spaces.")),
    ("did not find expected", "is not lined up with its neighbours.", ("Indent the items of one "
        "section alike, with spaces.")),
    ("unknown escape", "has a backslash inside double quotes.", "Use single quotes."),
)  # fmt: skip


def _not_yaml(error: MarkedYAMLError, name: str) -> Problem:
    mark = error.problem_mark or error.context_mark
    said = f"{error.problem or ''} {error.context or ''}"
    message, mend = next(
        ((m, how) for part, m, how in _WHY if part in said),
        ("cannot be read as YAML.", "Compare it with a new template."),
    )
    line = mark.line + 1 if mark is not None else None
    return Problem(
        name,
        "",
        f"This line or the one before it {message}",
        mend,
        line,
        mark.column + 1 if mark is not None else None,
    )


class _Builder:
    """Makes the tree from the parser's events, and collects what is refused."""

    def __init__(self, name: str, text: str) -> None:
        self._name, self._text = name, text
        self._stack: list[Node] = []
        self._root: Node | None = None
        self._problems: list[Problem] = []
        self._refused = False
        self._documents = 0
        self._items = 0

    def take(self, event: Any) -> None:
        """One event."""
        if isinstance(event, DocumentStartEvent):
            self._documents += 1
            if self._documents > 1:
                self._stop(
                    event,
                    "",
                    "is a second document in one file.",
                    "One file holds one roof; take out the line of dashes.",
                )
        elif isinstance(event, AliasEvent):
            self._refuse(event, f"*{event.anchor}", "is an alias.")
            self._add(self._node("scalar", event))
        elif isinstance(event, ScalarEvent):
            self._marks(event)
            node = self._node("scalar", event)
            node.text, node.quoted = str(event.value), event.style is not None
            self._add(node)
        elif isinstance(event, MappingStartEvent | SequenceStartEvent):
            self._marks(event)
            node = self._node("map" if isinstance(event, MappingStartEvent) else "list", event)
            node.flow = bool(event.flow_style)
            self._add(node)
            self._stack.append(node)
            if len(self._stack) > DEEPEST:
                self._stop(
                    event,
                    "",
                    f"is nested more than {DEEPEST} deep.",
                    "A survey needs at most about eight levels.",
                )
        elif type(event).__name__ in ("MappingEndEvent", "SequenceEndEvent"):
            node = self._stack.pop()
            if node.flow:
                node.end = event.end_mark.index
            elif node.items:
                node.end = max(child.end for child in (*node.items, *node.keys))

    def _node(self, kind: Literal["map", "list", "scalar"], event: Any) -> Node:
        mark = event.start_mark
        self._items += 1
        if self._items > MOST_ITEMS:
            self._stop(
                event,
                "",
                f"holds more than {MOST_ITEMS:,} values.",
                "A survey of the largest roof needs a few thousand.",
            )
        return Node(kind, mark.line + 1, mark.column + 1, mark.index, event.end_mark.index)

    def _add(self, node: Node) -> None:
        if not self._stack:
            self._root = node if self._root is None else self._root
            return
        parent = self._stack[-1]
        if parent.kind == "map" and len(parent.keys) == len(parent.items):
            if node.kind != "scalar":
                self._stop(node, "", "is a name that is not one word.", "Write name: value.")
            if parent.key(node.text) is not None:
                first = parent.key(node.text)
                assert first is not None
                self._problems.append(
                    Problem(node.text, "", f"stands twice in one section, first in line {first.line}.",
                            "Keep one; a list of several needs one name and - before each.", node.line, node.column)
                )  # fmt: skip
            parent.keys.append(node)
            return
        if parent.kind == "map" and node.blank and not node.text:
            node.start = node.end = parent.keys[-1].end  # an empty value is marked at the next token
            node.line, node.column = parent.keys[-1].line, parent.keys[-1].column
        parent.items.append(node)

    def _marks(self, event: Any) -> None:
        if event.anchor is not None:
            self._refuse(event, f"&{event.anchor}", "is an anchor.")
        if event.tag is not None and not (isinstance(event, ScalarEvent) and event.tag == "!"):
            self._refuse(event, str(event.tag), "is a tag.")

    def _refuse(self, event: Any, given: str, message: str) -> None:
        self._refused = True
        if len(self._problems) < 5:
            mark = event.start_mark
            self._problems.append(
                Problem(self._name, given, (f"{message} Anchors, aliases and tags are not "
                    "taken: a few lines of them can grow without end."),
                        "Write the value out.", mark.line + 1, mark.column + 1)
            )  # fmt: skip

    def _stop(self, event: Any, given: str, message: str, mend: str) -> None:
        if isinstance(event, Node):
            line, column = event.line, event.column
        else:
            line, column = event.start_mark.line + 1, event.start_mark.column + 1
        raise InputError((*self._problems, Problem(self._name, given, message, mend, line, column)))

    def finish(self) -> Document:
        """The document; InputError where something was refused."""
        if self._refused:
            raise InputError(self._problems)
        if self._root is None or self._root.blank:
            raise InputError(Problem(self._name, "", "is empty.", "Start from `secondroof survey new`."))
        if self._root.kind != "map":
            node = self._root
            raise InputError(
                Problem(self._name, "", ("is not a survey: it "
                    "has no named sections."), "Start from `secondroof survey new`.",
                        node.line, node.column)
            )  # fmt: skip
        return Document(self._name, self._text, self._root, tuple(self._problems))
