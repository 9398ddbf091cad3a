"""A short form that writes a whole, valid survey file; what is left empty stays blank."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass

from secondroof.errors import InputError, Problem
from secondroof.web.contexts import Row, Section

FACES = ("N", "NE", "E", "SE", "S", "SW", "W", "NW")


@dataclass(frozen=True, slots=True)
class Field:
    """One field of the form: name, label, unit, help, choices, whether it must be filled."""

    name: str
    label: str
    unit: str = ""
    help: str = ""
    choices: tuple[str, ...] = ()
    needed: bool = False


PARTS: tuple[tuple[str, str, tuple[Field, ...]], ...] = (
    (
        "building",
        "The building",
        (
            Field("name", "Name of the job", needed=True),
            Field("shape", "Shape", choices=("gable", "single slope"), needed=True),
            Field(
                "length", "Length along the ridge", "ft", "outside of steel, e.g. 100'-0 1/4\"", needed=True
            ),
            Field("width", "Width, eave to eave", "ft", needed=True),
            Field(
                "bays",
                "Bay widths from frame 1",
                "ft",
                "centre to centre, with commas: 25, 25, 24.9, 25.1",
                needed=True,
            ),
            Field("eave_height", "Eave height", "ft", needed=True),
            Field("slope", "Slope", "", "rise in 12, e.g. 1/2:12", needed=True),
            Field("faces", "The first eave looks to", choices=FACES, needed=True),
            Field(
                "lines",
                "Purlin lines up the slope",
                "ft",
                "from the outside of the eave strut, up the slope: 0, 4.9, 10 to 35 by 5, 39.6; both slopes alike",
            ),
            Field("built", "Year built"),
        ),
    ),
    (
        "rules",
        "Ground rules",
        (
            Field("source", "Where these figures come from", "", "the office or map, and the date"),
            Field("building_code", "Building code edition", choices=("2012", "2015", "2018", "2021", "2024")),
            Field("wind_speed", "Basic wind speed V", "mph", "for the risk category, from the official map"),
            Field("exposure", "Exposure", choices=("B", "C", "D")),
            Field("risk_category", "Risk category", choices=("I", "II", "III", "IV")),
            Field("ground_snow", "Ground snow", "psf"),
            Field("roof_live", "Roof live load", "psf"),
        ),
    ),
    (
        "found",
        "What was found",
        (
            Field(
                "panel",
                "Old panel",
                choices=(
                    "through-fastened ribbed",
                    "corrugated",
                    "trapezoidal-seam standing seam",
                    "vertical-seam standing seam",
                    "snap seam",
                ),
            ),
            Field("rib_module", "Distance of ribs", "in"),
            Field("layers", "Roof coverings counted", choices=("1", "2", "3")),
            Field(
                "standoff",
                "Standoff readings",
                "in",
                "top of purlin to underside of the flat, with commas; mark doubt with ?",
            ),
            Field("purlin_depth", "Purlin depth", "in"),
            Field("thickness", "Purlin thickness readings", "in", "bare steel, each reading, with commas"),
            Field(
                "doors",
                "Openings that stand open",
                "ft2",
                "area of doors that stand open in storms; 0 where looked and none",
            ),
            Field("doors_wall", "In which wall", choices=FACES),
        ),
    ),
)


def form_sections(typed: Mapping[str, str], wrong: Mapping[str, str]) -> tuple[Section, ...]:
    """The form as sections of rows, with what was typed and what was wrong."""
    return tuple(
        Section(id, title, tuple(_row(f, typed, wrong) for f in fields)) for id, title, fields in PARTS
    )


def _row(f: Field, typed: Mapping[str, str], wrong: Mapping[str, str]) -> Row:
    return Row(
        path=f.name,
        label=f.label + ("" if f.needed else ", if known"),
        value=typed.get(f.name, ""),
        kind="choice" if f.choices else "text",
        ink="ink",
        unit="ft²" if f.unit == "ft2" else f.unit,
        help=f.help,
        choices=f.choices,
        problem=wrong.get(f.name, ""),
    )


def form_text(typed: Mapping[str, str]) -> str:
    """Text of a survey file from the filled form.

    Raises
    ------
    InputError
        Every field that is missing or cannot be read, by the form's own names.
    """
    given = {f.name: typed.get(f.name, "").strip() for _, _, fields in PARTS for f in fields}
    problems = [
        Problem(f.name, "", f"{f.label} is empty.", "It is needed to draw the roof.")
        for _, _, fields in PARTS
        for f in fields
        if f.needed and not given[f.name]
    ]
    if problems:
        raise InputError(problems)
    text = _written(given)
    from secondroof.survey.reading import read_survey

    try:
        read_survey(text)
    except InputError as error:
        raise InputError([_renamed(p, given) for p in error.problems]) from error
    return text


#: Path in the survey to the form's field.
_PLACES = (
    ("building.planes", "slope"),
    ("building.length", "length"),
    ("building.width", "width"),
    ("building.bays", "bays"),
    ("building.eave_height", "eave_height"),
    ("building.first_plane_faces", "faces"),
    ("building.shape", "shape"),
    ("job.name", "name"),
    ("job.built", "built"),
    ("ground_rules.", ""),
    ("old_panel.kind", "panel"),
    ("old_panel.", ""),
    ("standoff", "standoff"),
    ("purlins.thickness", "thickness"),
    ("purlins.depth", "purlin_depth"),
    ("enclosure", "doors"),
)


def _renamed(p: Problem, given: Mapping[str, str]) -> Problem:
    if ".lines" in p.field:
        return Problem("lines", given["lines"], p.message, p.mend)
    for start, name in _PLACES:
        if p.field.startswith(start):
            own = name or p.field.removeprefix(start).split(".")[0]
            return Problem(own, given.get(own, p.given), p.message, p.mend)
    return Problem(p.field, p.given, p.message, p.mend)


def _written(g: Mapping[str, str]) -> str:
    out = ["secondroof: 1", "job:", f"  name: {quoted(g['name'])}"]
    _put(out, "built", g["built"])
    out.append("ground_rules:")
    for name in (
        "source",
        "building_code",
        "wind_speed",
        "exposure",
        "risk_category",
        "ground_snow",
        "roof_live",
    ):
        _put(out, name, g[name])
    if out[-1] == "ground_rules:":
        out[-1] = "ground_rules: {}"
    gable = g["shape"] == "gable"
    run = _half(g["width"]) if gable else quoted(g["width"])
    lines = f", lines: {as_list(g['lines'])}" if g["lines"] else ""
    first, other = g["faces"], FACES[(FACES.index(g["faces"]) + 4) % 8] if g["faces"] in FACES else ""
    out += [
        "building:",
        f"  shape: {quoted(g['shape'])}",
        f"  length: {quoted(g['length'])}",
        f"  width: {quoted(g['width'])}",
        "  planes:",
    ]
    for name in (first, other) if gable else (first,):
        out.append(f"    - {{name: {quoted(name)}, run: {run}, slope: {quoted(g['slope'])}{lines}}}")
    out += [
        f"  bays: {as_list(g['bays'])}",
        f"  eave_height: {quoted(g['eave_height'])}",
        f"  first_plane_faces: {quoted(first)}",
    ]
    if g["doors"]:
        none = g["doors"] in ("0", "none")
        wall, area = quoted(g["doors_wall"]), quoted(g["doors"])
        wall = f"{{wall: {wall}, what: doors that stand open, area: {area}, state: open}}"
        out += ["enclosure:", "  openings: []" if none else f"  openings:\n    - {wall}"]
    _section(
        out, "old_panel", (("kind", g["panel"]), ("rib_module", g["rib_module"]), ("layers", g["layers"]))
    )
    if g["standoff"]:
        out += ["standoff:", f"  - readings: {as_list(g['standoff'])}"]
    if g["purlin_depth"] or g["thickness"]:
        out.append("purlins:")
        _put(out, "depth", g["purlin_depth"])
        if g["thickness"]:
            out += ["  thickness:", f"    - readings: {as_list(g['thickness'])}"]
    return "\n".join(out) + "\n"


def _section(out: list[str], name: str, items: tuple[tuple[str, str], ...]) -> None:
    if any(v for _, v in items):
        out.append(f"{name}:")
        for key, value in items:
            _put(out, key, value)


def _put(out: list[str], key: str, value: str) -> None:
    if value:
        out.append(f"  {key}: {quoted(value)}")


def quoted(value: str) -> str:
    """A value as YAML: bare where it is a plain number or word, else in quotes."""
    if re.fullmatch(r"\d+(\.\d+)?|\.\d+|[A-Za-z][A-Za-z0-9 ,()-]*", value) and value.lower() not in _WORDS:
        return value if "," not in value else f'"{value}"'
    return '"' + value.replace("\\", "\\\\").replace('"', '\\"').replace("\n", " ") + '"'


_WORDS = {"yes", "no", "true", "false", "null", "on", "off", "y", "n"}


def as_list(value: str) -> str:
    """A list as YAML, from items with commas between."""
    return (
        "[" + ", ".join(quoted(item.strip()) for item in value.strip("[] ").split(",") if item.strip()) + "]"
    )


def _half(width: str) -> str:
    from secondroof.units import Kind, UnitError, parse

    try:
        return f"{parse(width, Kind.LENGTH_FT) / 2:.4f}".rstrip("0").rstrip(".")
    except UnitError as error:
        raise InputError(Problem("width", width, error.message, error.mend)) from error


__all__ = ["as_list", "form_sections", "form_text", "quoted"]
