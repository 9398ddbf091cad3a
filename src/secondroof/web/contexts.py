"""What every page shows: one frozen record a page, shared by its HTML and its JSON, each field with help.

The record is the page's contract: a test asserts that what a template really gets is what stands here.
"""

from __future__ import annotations

import dataclasses
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any, Literal

import secondroof
from secondroof.checks.model import State


def told(help: str, **kw: Any) -> Any:
    """Field of a context with its help text."""
    return dataclasses.field(metadata={"help": help}, **kw)


# ---- parts shared by pages


@dataclass(frozen=True, slots=True)
class Foot:
    """One duty on the tape: number, name, address, state mark and a few words; ``here`` is the page shown."""

    number: int
    name: str
    href: str
    state: State | None
    words: str
    here: bool


@dataclass(frozen=True, slots=True)
class Cell:
    """One cell of the title block: label, state, sentence, where to read on, and the folded rest."""

    label: str
    state: State | None
    sentence: str
    href: str = ""
    link: str = ""
    rest: str = ""


@dataclass(frozen=True, slots=True)
class JobHead:
    """The job as the head line shows it."""

    id: str
    name: str
    size: str
    revision: int
    saved_at: str
    invented: bool
    can_undo: bool
    archived: bool


@dataclass(frozen=True, slots=True)
class Wrong:
    """One problem as shown: where it links to, line in the file, field, what was given, what to do."""

    anchor: str
    line: int | None
    field: str
    given: str
    message: str
    mend: str


@dataclass(frozen=True, slots=True)
class Change:
    """One number or verdict that moved: old beside new."""

    what: str
    where: str
    old: str
    new: str
    old_state: State
    new_state: State
    href: str = ""


@dataclass(frozen=True, slots=True)
class Moved:
    """Everything that moved between two revisions."""

    since: int
    line: str
    changes: tuple[Change, ...]


@dataclass(frozen=True, slots=True)
class Frame:
    """What stands round every page: head, tape, problems, what moved, title block."""

    title: str
    here: str
    sheet: str
    job: JobHead | None = None
    tape: tuple[Foot, ...] = ()
    recover: str | None = None
    cells: tuple[Cell, ...] = ()
    headline: str = ""
    problems: tuple[Wrong, ...] = ()
    moved: Moved | None = None
    notice: str = ""
    version: str = secondroof.__version__


@dataclass(frozen=True, slots=True)
class Row:
    """One value of the survey, as written, with what it takes to change it.

    ``kind`` is text, choice or list; ``ink`` is ink, pencil (doubtful or assumed) or blank. ``was`` is
    the value before the change just made; ``problem`` what is wrong with what was just typed.
    """

    path: str
    label: str
    value: str
    kind: Literal["text", "choice", "list", "fixed"]
    ink: Literal["ink", "pencil", "blank"]
    unit: str = ""
    help: str = ""
    choices: tuple[str, ...] = ()
    source: str = ""
    was: str | None = None
    problem: str = ""
    readings: tuple[tuple[str, bool], ...] = ()


@dataclass(frozen=True, slots=True)
class Section:
    """Rows that belong together, and sections within; ``adds`` where readings may be added at ``id``."""

    id: str
    title: str
    rows: tuple[Row, ...]
    parts: tuple[Section, ...] = ()
    blanks: int = 0
    note: str = ""
    adds: bool = False


@dataclass(frozen=True, slots=True)
class Link:
    """A cell that leads on; ``card`` where it opens a card beside the page."""

    text: str
    href: str
    card: bool = False


CellOf = str | tuple[str, str] | Link


@dataclass(frozen=True, slots=True)
class Table:
    """A plain table: head with units, rows of cells; a cell is text, a link, or a state and a text."""

    head: tuple[str, ...]
    rows: tuple[tuple[CellOf, ...], ...]
    right: tuple[bool, ...] = ()
    foot: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class CaseLine:
    """One load case today and with the recover, and the line it loads most; ``inside`` are rows folded under it."""

    key: str
    title: str
    href: str
    cards: tuple[Link, ...]
    psf_before: str
    psf_after: str
    line: str
    line_href: str
    w_before: str
    w_after: str
    level: str
    assumed: str
    inside: tuple[CaseLine, ...] = ()


@dataclass(frozen=True, slots=True)
class CaseRows:
    """Load cases of one kind."""

    title: str
    lines: tuple[CaseLine, ...]


@dataclass(frozen=True, slots=True)
class Told:
    """A part of a page: state where it has one, sentences, tables with their captions, and links."""

    state: State | None = None
    sentences: tuple[str, ...] = ()
    tables: tuple[tuple[str, Table], ...] = ()
    links: tuple[Link, ...] = ()


# ---- pages


@dataclass(frozen=True, slots=True)
class StartPage:
    """The jobs, or the empty sheet."""

    frame: Frame = told("head and foot round the page")
    jobs: tuple[Mapping[str, str], ...] = told("each job: id, name, revision, saved_at, href")
    archived: tuple[Mapping[str, str], ...] = told("jobs put away: id, name, saved_at")
    drafts: tuple[Mapping[str, str], ...] = told(
        "texts kept that could not be taken in: id, reason, at, href"
    )
    examples: tuple[Mapping[str, str], ...] = told("invented examples: id, name, about")


@dataclass(frozen=True, slots=True)
class NewPage:
    """Three ways to add a survey: a file, the template's text, a short form."""

    frame: Frame = told("head and foot round the page")
    fields: tuple[Section, ...] = told("the short form, each row with what was typed")
    limit: str = told("largest file taken in, in words")


@dataclass(frozen=True, slots=True)
class DraftPage:
    """A text that was not taken in, with everything wrong with it, ready to mend."""

    frame: Frame = told("head and foot round the page")
    draft: int = told("number of the draft")
    job: str | None = told("job it belongs to, if any")
    base: int | None = told("revision a save from here is made from")
    text: str = told("the text as typed")
    reason: str = told("why it was not taken in")
    marks: Mapping[int, str] = told("line number to what is wrong there")
    against: tuple[Any, ...] = told(
        "difference between the newest revision and this text, where somebody saved first"
    )


@dataclass(frozen=True, slots=True)
class SurveyPage:
    """The survey, section by section, every value where it can be changed."""

    frame: Frame = told("head, tape and title block round the page")
    sections: tuple[Section, ...] = told("values as written, by section")
    not_read: tuple[tuple[str, str], ...] = told("items left blank on purpose, each with its reason")
    filled: str = told("how many items are read, of how many")
    again: tuple[tuple[str, str], ...] = told("what to look at again: the item in words, and what about it")


@dataclass(frozen=True, slots=True)
class TextPage:
    """The whole survey file as text."""

    frame: Frame = told("head, tape and title block round the page")
    text: str = told("the newest revision, as written")
    base: int = told("revision a save from here is made from")


@dataclass(frozen=True, slots=True)
class MissingPage:
    """What is not known, by what it could decide."""

    frame: Frame = told("head, tape and title block round the page")
    needs: tuple[Mapping[str, str], ...] = told("each: what, where, decides, who")
    not_read: tuple[tuple[str, str], ...] = told("items left blank on purpose, each with its reason")


@dataclass(frozen=True, slots=True)
class InText:
    """A ground rule of several values that belong together: what stands there, and how to type it in the text."""

    title: str
    about: str
    lines: tuple[str, ...]
    sample: str


@dataclass(frozen=True, slots=True)
class RulesPage:
    """Code editions and design data, each with its source."""

    frame: Frame = told("head, tape and title block round the page")
    source: str = told("where the figures come from, as the person stated")
    sections: tuple[Section, ...] = told("the ground rules as they may be changed")
    in_text: tuple[InText, ...] = told("ground rules that are typed in the text of the survey")
    used: tuple[tuple[str, str], ...] = told("what the checks were run with")


@dataclass(frozen=True, slots=True)
class OldRoofPage:
    """What the old roof is, from every standoff reading."""

    frame: Frame = told("head, tape and title block round the page")
    sentence: str = told("what the old roof is, in a sentence")
    kind: str = told("sits, low, floats, mixed or unknown")
    chart: str = told("dots of every reading, as SVG")
    readings: Table = told("the same readings as a table")
    regions: Table = told("what each region's readings say")
    open_kinds: tuple[str, ...] = told("framing kinds that may be used")
    refused: tuple[tuple[str, str], ...] = told("framing kinds refused, each with the reason")
    strengthening: str = told("whether strengthening may be counted")


@dataclass(frozen=True, slots=True)
class LoadsPage:
    """Every load on the roof: cases, a map of one, a line's loads, wind, weight, frames, water, what is missing."""

    frame: Frame = told("head, tape and title block round the page")
    why: str = told("why nothing is worked out yet; empty where it is")
    card: Mapping[str, Any] | None = told("the card open beside the page")
    close: str = told("address of the page without its card")
    cases: tuple[CaseRows, ...] = told("every load case by kind, today and with the recover")
    snow: tuple[str, ...] = told("snow all over and its thermal factor, today and with the recover")
    chosen: str = told("key of the case on the map")
    map: str = told("the chosen case on the plan, as SVG")
    lines: tuple[tuple[str, tuple[tuple[Link, bool], ...]], ...] = told(
        "lines of each plane, and which is drawn"
    )
    line: str = told("name of the line drawn")
    line_drawing: str = told("loads along that line, as SVG")
    line_table: Table = told("the same as a table")
    plan: str = told("plan with its wind zones, as SVG")
    components: tuple[tuple[str, Table], ...] = told("a table of zones for each component")
    enclosure: str = told("enclosure class used, and why")
    then_now: Told = told("the code of the building's day beside today's")
    frames: Told = told("what the frames get")
    ponding: Told = told("standing water, and metal against membrane")
    weight: Table = told("everything added to the roof")
    added: str = told("sum of the added weight")
    used: tuple[tuple[str, str], ...] = told("what the loads were worked out with")
    needs: Table = told("what is missing for the loads")
    notes: tuple[str, ...] = told("loads that act elsewhere, what was left out and why")


@dataclass(frozen=True, slots=True)
class RecoversPage:
    """The recovers tried, side by side, and the one being changed."""

    frame: Frame = told("head, tape and title block round the page")
    columns: tuple[Mapping[str, Any], ...] = told("each recover: name, title, chosen, plan, rows")
    labels: tuple[str, ...] = told("row labels, the same for every recover")
    sections: tuple[Section, ...] = told("the chosen recover as it may be changed")
    starters: tuple[Mapping[str, str], ...] = told("invented recovers to begin from where none is tried yet")


@dataclass(frozen=True, slots=True)
class OldSteel:
    """The old purlins: maps of ratios, the worst of them, laps, sheet, seats, reactions, what is missing."""

    stage: str
    stages: tuple[tuple[Link, bool], ...]
    maps: tuple[tuple[str, str, Table], ...]
    sheet: tuple[tuple[str, Told], ...]
    laps: Table
    laps_note: str
    seats: Told
    feel: Told
    frames: Table
    frames_note: str
    needs: Table


@dataclass(frozen=True, slots=True)
class StrengthPage:
    """The plan with every line's worst ratio, and one card beside it."""

    frame: Frame = told("head, tape and title block round the page")
    about: str = told("which recover, in a line")
    plan: str = told("plan and bars, as SVG; every stretch of line is a link to its card")
    key: tuple[Mapping[str, Any], ...] = told("states in the key with their length of line")
    layers: tuple[tuple[str, str], ...] = told("layer switches: name in the drawing, word")
    card: Mapping[str, Any] | None = told("the card open beside the plan")
    checks: Table = told("every check with its ratio, worst first")
    others: tuple[Mapping[str, Any], ...] = told("checks without a place on the plan")
    close: str = told("address of the page without its card")
    steel: OldSteel | None = told("what the old purlins carry; none where it could not be worked out")
    steel_why: str = told("why the old purlins were not worked out")


@dataclass(frozen=True, slots=True)
class CardPage:
    """One card on a page of its own, to print."""

    frame: Frame = told("head and foot round the page")
    card: Mapping[str, Any] = told("the card")


@dataclass(frozen=True, slots=True)
class NotBegunPage:
    """A duty that this version does not do yet, and what it will wait for."""

    frame: Frame = told("head, tape and title block round the page")
    name: str = told("the duty")
    sentence: str = told("what is not done yet, plainly")
    waits: tuple[str, ...] = told("what it waits for")


@dataclass(frozen=True, slots=True)
class PapersPage:
    """The package: its files to download."""

    frame: Frame = told("head, tape and title block round the page")
    written: bool = told("whether the package of this revision is written")
    files: tuple[Mapping[str, str], ...] = told("each file: name, what, size, href")
    zip_href: str = told("address of everything in one file")
    missing: int = told("how many items are missing")


@dataclass(frozen=True, slots=True)
class HistoryPage:
    """Every revision with what it changed."""

    frame: Frame = told("head, tape and title block round the page")
    revisions: tuple[Mapping[str, Any], ...] = told("newest first: number, at, who, note, diff, current")


@dataclass(frozen=True, slots=True)
class WrongPage:
    """Something was not found, or went wrong on our side."""

    frame: Frame = told("head and foot round the page")
    status: int = told("status of the answer")
    heading: str = told("what happened")
    sentence: str = told("what is safe and what to do")
    number: str = told("number to report, where the fault is ours")


PAGES: Mapping[str, type] = {
    "start": StartPage,
    "new": NewPage,
    "draft": DraftPage,
    "survey": SurveyPage,
    "text": TextPage,
    "missing": MissingPage,
    "rules": RulesPage,
    "old-roof": OldRoofPage,
    "loads": LoadsPage,
    "recovers": RecoversPage,
    "strength": StrengthPage,
    "card": CardPage,
    "not-begun": NotBegunPage,
    "papers": PapersPage,
    "history": HistoryPage,
    "wrong": WrongPage,
}


def documented() -> dict[str, dict[str, str]]:
    """Every page's context: field to help text."""
    return {
        name: {f.name: f.metadata["help"] for f in dataclasses.fields(cls)} for name, cls in PAGES.items()
    }


def context_of(page: Any) -> dict[str, Any]:
    """Fields of a page record as the template gets them."""
    return {f.name: getattr(page, f.name) for f in dataclasses.fields(page)}


def plain(value: Any) -> Any:
    """A page record as plain JSON values."""
    if dataclasses.is_dataclass(value) and not isinstance(value, type):
        return {f.name: plain(getattr(value, f.name)) for f in dataclasses.fields(value)}
    if isinstance(value, Mapping):
        return {str(k): plain(v) for k, v in value.items()}
    if isinstance(value, (list, tuple)):
        return [plain(v) for v in value]
    if value is None or isinstance(value, (str, int, float, bool)):
        return value
    return str(value)
