"""What a calculation takes and gives, read from its docstring; values read from text as people write them."""

from __future__ import annotations

import inspect
import json
import re
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from functools import cache
from typing import Any

import numpy as np

from secondroof.units import Kind, UnitError, parse

KIND_OF_UNIT = {
    "ft": Kind.LENGTH_FT,
    "in": Kind.LENGTH_IN,
    "psf": Kind.PRESSURE_PSF,
    "lb": Kind.FORCE_LB,
    "lb/ft": Kind.LINE_LOAD_LB_FT,
    "ksi": Kind.STRESS_KSI,
    "mph": Kind.SPEED_MPH,
    "ft2": Kind.AREA_FT2,
    "degF": Kind.TEMPERATURE_F,
    "h ft2 F/Btu": Kind.R_VALUE,
    "in/ft": Kind.SLOPE_IN12,
    "in 12": Kind.SLOPE_IN12,
}

#: Units told by the end of a name, longest first.
SUFFIXES = {
    "_lb_per_ft": "lb/ft", "_in_per_ft": "in/ft", "_kip_in2": "kip-in2", "_kip_in": "kip-in", "_lb_ft": "lb/ft",
    "_in_12": "in 12", "_plf": "lb/ft", "_psf": "psf", "_pcf": "pcf", "_mph": "mph", "_ksi": "ksi", "_kip": "kip",
    "_deg": "deg", "_ft2": "ft2", " ft2": "ft2", "_in4": "in4", "_in3": "in3", "_in2": "in2", "_ft": "ft",
    "_in": "in", "_lb": "lb", " corners": "ft",
}  # fmt: skip

#: Arguments whose meaning is the same wherever they stand and whose function refers to another for it.
COMMON = {
    "edition": "Edition of ASCE 7: 7-05, 7-10, 7-16 or 7-22",
    "V_mph": "Basic wind speed of that edition: nominal in 7-05, strength level later",
    "exposure": "Exposure B, C or D",
    "h_ft": "Mean roof height; eave height allowed up to 10 degrees",
    "K_zt": "Topographic factor; 1.0 on flat ground",
    "enclosure": "enclosed, partially enclosed, open or partially open",
    "roof_shape": "gable, hip, flat, monoslope or multispan gable",
    "slope_deg": "Roof slope",
    "zone": "Wind zone of the edition's figure",
    "area_ft2": "Effective wind area",
    "importance": "Importance factor, 7-05 only",
    "least_width_ft": "Least horizontal dimension",
    "risk_category": "Risk category I, II, III or IV",
    "p_g_psf": "Ground snow of that edition; strength level in 7-22",
    "p_s_psf": "Balanced snow on the roof that receives the drift",
    "p_f_upper_psf": "Flat roof snow of the upper roof",
    "W_2": "Winter wind parameter, 7-22",
    "height_ft": "Height of the obstacle or of the higher roof above this roof",
    "upwind_length_ft": "Length of roof upwind of the obstacle",
    "gap_ft": "Gap between the buildings",
    "neighbour_length_ft": "Length of the neighbour's roof, square to the gap",
    "eave_to_ridge_ft": "Plan distance from eave to ridge",
    "lower_width_ft": "Width of the lower roof, square to the upper eave",
    "slippery": "The surface is slippery and may count so",
    "metal": "The surface is metal",
    "unobstructed": "Nothing holds the snow, and there is room below the eave",
    "ventilated": "Outside air moves freely between insulation and roof surface",
    "r_value": "Thermal resistance of the roof",
    "C_t": "Thermal factor",
    "condition": "heated, just above freezing, cold ventilated, unheated, freezer or greenhouse",
    "A_T_ft2": "Tributary area of the member",
    "rise_in_12": "Roof slope, rise in 12",
    "L_0_psf": "Roof live load before reduction",
    "static_in": "Static head: depth of water up to the inlet of the secondary drain",
    "hydraulic_in": "Hydraulic head: depth of water above that inlet at the design rain",
    "ponding_in": "Ponding head from the deflected roof, 7-22",
    "support_spacing_ft": "Spacing of the supports the part spans between",
    "coverage_ft": "Width one panel covers",
    "panel_coverage_ft": "Width one panel covers",
    "line_spacing_ft": "Spacing of the lines",
    "screw_spacing_ft": "Spacing of the screws along their line",
    "tributary_width_ft": "Width of roof the line carries",
    "span_ft": "Span",
    "purlin_spacing_ft": "Spacing of the purlins",
    "line_y_ft": "Places of the lines, rising",
}
COMMON_UNITS = {"r_value": "h ft2 F/Btu", "C_t": "-", "W_2": "-", "K_zt": "-", "importance": "-"}

_ITEM = re.compile(r"^(\w[\w, ]*?)(?: : ([^\n]*))?\n((?:[ ]{4}[^\n]*\n?)+)", re.MULTILINE)
_UNIT = re.compile(r"\[([^\[\]]*)\]")
_THICKNESS = re.compile(r"(t|t_?\d|t_?c|t_in|.*thickness_in)$")
TRUTHS = {"slippery", "metal", "unobstructed", "ventilated", "downwind", "one_sided"}
_TRUTH = {"yes": True, "true": True, "no": False, "false": False}


@dataclass(frozen=True, slots=True)
class Words:
    """What a docstring tells: title, unit of the result, and per argument its meaning and unit, and its kind."""

    title: str
    unit: str
    items: Mapping[str, tuple[str, str]]
    kinds: Mapping[str, str]


@cache
def described(func: Callable[..., Any]) -> Words:
    """Words of a function (or record), from its numpydoc docstring."""
    doc = inspect.getdoc(func) or ""
    first = doc.split("\n", 1)[0]
    unit = re.search(r"\[([^\]]*)\]\.?$", first)
    items: dict[str, tuple[str, str]] = {}
    kinds: dict[str, str] = {}
    for part in ("Parameters", "Other Parameters", "Attributes"):
        for names, kind, text, units in _section(doc, part):
            each = text.split("; ")
            for k, name in enumerate(names):
                what = each[k] if len(each) == len(names) > 1 else text
                what = f"{what[:1].upper()}{what[1:]}"
                items.setdefault(name, (what, units[k] if k < len(units) else units[-1] if units else ""))
                paired = kind.split(", ") if re.fullmatch(r"\w+(, \w+)+", kind) else []
                kinds.setdefault(name, paired[k] if len(paired) == len(names) else kind)
    title = re.sub(r"\s*\[[^\]]*\]\.?$", "", first).rstrip(".")
    return Words(title, unit.group(1).replace("in, deg", "") if unit else "", items, kinds)


def _section(doc: str, heading: str) -> list[tuple[list[str], str, str, list[str]]]:
    match = re.search(rf"^{heading}\n-+\n(.*?)(?=\n\n\S|\Z)", doc, re.MULTILINE | re.DOTALL)
    rows = []
    for head, kind, body in _ITEM.findall(match.group(1) + "\n" if match else ""):
        text = " ".join(line.strip() for line in body.strip().splitlines())
        end = re.search(r"(?:\[[^\[\]]*\](?:,\s*)?)+\.?$", text)
        units = _UNIT.findall(end.group(0)) if end else []
        what = _prose(text[: end.start()] if end else text)
        rows.append(([n.strip() for n in head.split(",")], kind, what, units))
    return rows


def _prose(text: str) -> str:
    """Text of a docstring as plain words; empty where it only refers elsewhere."""
    if re.match(r"As (in|for)\b", text):
        return ""
    text = re.sub(r",? see :\w+:`[^`]*`", "", text)
    return (
        re.sub(r":\w+:`([^`]*)`|``?([^`]*)``?|\*([^*]*)\*", lambda m: m[1] or m[2] or m[3], text)
        .strip()
        .rstrip(". ")
    )


def attributes(record: type) -> dict[str, str]:
    """Units of the fields of a record, where its docstring tells them."""
    return {n: unit for n, (_, unit) in described(record).items.items() if unit and unit != "-"}


@cache
def returns(func: Callable[..., Any]) -> dict[str, str]:
    """Names and units of what a function gives back, where its docstring names several."""
    found = {}
    for names, kind, _, units in _section(inspect.getdoc(func) or "", "Returns"):
        if kind:
            found.update(dict.fromkeys(names, units[0] if units else ""))
    return found


def unit_of_name(name: str) -> str:
    """Unit told by a name such as ``span_ft``; empty where it tells none."""
    if name in COMMON_UNITS:
        return COMMON_UNITS[name]
    return next((unit for end, unit in SUFFIXES.items() if name.endswith(end)), "")


def readable(annotation: object) -> bool:
    """Whether a person can write such an argument as text: numbers, lists of them, words, yes or no."""
    words = set(re.findall(r"\w+", str(annotation)))
    plain = {
        "str",
        "float",
        "int",
        "bool",
        "ArrayLike",
        "Any",
        "Numeric",
        "FloatArray",
        "None",
        "Sequence",
        "tuple",
        "list",
    }
    return words <= plain


def read_value(text: str, name: str, unit: str, annotation: str, kind: str) -> Any:
    """Read one argument from text.

    Parameters
    ----------
    text, name, unit : str
        As written; the argument's name and unit.
    annotation, kind : str
        Its type in the signature, and in the docstring.

    Raises
    ------
    UnitError
        With what is wrong and how to write it.
    """
    text = text.strip()
    if not text:
        raise UnitError("is empty.", "Write a value after the equals sign.")
    if "None" in annotation and text.lower() in ("none", "not known", "unknown"):
        return None
    parts = [p.strip() for p in text.strip("[]").split(",")]
    always = bool(re.search(r"Sequence|tuple|list|FloatArray", annotation)) or kind.startswith(
        "array, shape (n"
    )
    scalar = re.fullmatch(r"(float|int)( \| None)?", annotation) is not None
    if "str" in annotation:
        if re.fullmatch(r"str( \| None)?", annotation):
            return text
        words = [p[1:-1] if len(p) > 2 and p[0] == p[-1] and p[0] in "'\"" else p for p in parts]
        return words if len(words) > 1 or re.fullmatch(r"Sequence\[str\]", annotation) else words[0]
    one: Callable[[str, str, str], Any] = _number
    if "bool" in annotation or "bool" in kind or name in TRUTHS:
        one = _truth
    elif re.search(r"\bint\b", annotation):
        one = _whole
    if scalar or annotation.startswith("bool"):
        return one(text, name, unit)
    if re.fullmatch(r"[+-]?\d{1,3}(,\d{3})+(\.\d*)?", text) and not always:
        raise UnitError(
            "may be one number or a list.", f"Write {text.replace(',', '')}, or a list as [{text}]."
        )
    column = annotation in (
        "ArrayLike",
        "ArrayLike | None",
        "FloatArray",
        "Any",
        "Numeric",
        "Numeric | None",
        "",
    )
    if always or len(parts) > 1 or text.startswith("["):
        many = [one(p, name, unit) for p in parts if p or len(parts) > 1]
        if not many:
            raise UnitError("is an empty list.", "Give one value at least.")
        return np.array(many) if column else many
    value = one(text, name, unit)
    return np.float64(value) if column and one is _number else value  # divides by zero without stopping


def _truth(text: str, name: str, unit: str) -> bool:
    if text.lower() not in _TRUTH:
        raise UnitError("is neither yes nor no.", "Write yes or no.")
    return _TRUTH[text.lower()]


def _whole(text: str, name: str, unit: str) -> int:
    if not re.fullmatch(r"[+-]?\d+", text):
        raise UnitError("is not a whole number.", "Write a whole number.")
    return int(text)


def _number(text: str, name: str, unit: str) -> float:
    kind = KIND_OF_UNIT.get(unit)
    if kind is Kind.LENGTH_IN and _THICKNESS.match(name):
        kind = Kind.THICKNESS_IN
    if kind is not None:
        return parse(text, kind)
    if unit == "kip":
        try:
            return parse(text, Kind.NUMBER)
        except UnitError:
            return parse(text, Kind.FORCE_LB) / 1000.0
    bare = text.removesuffix(unit).strip() if unit and unit != "-" else text
    try:
        return parse(bare, Kind.NUMBER)
    except UnitError:
        pass
    try:
        number = json.loads(bare)  # 1e-3 and the like
    except json.JSONDecodeError:
        number = None
    if isinstance(number, (int, float)) and not isinstance(number, bool) and abs(number) < float("inf"):
        return float(number)
    mend = f"Write a number in {unit}." if unit and unit != "-" else "Write a plain number."
    raise UnitError("is not a number.", mend) from None
