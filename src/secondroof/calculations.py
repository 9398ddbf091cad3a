"""Every public calculation, found by name, runnable alone with its card.

Clause formulas come from the formula registry. A few composed calculations (a pressure, a screw, a tested
panel) stand beside them because an engineer asks for them by name.
"""

from __future__ import annotations

import importlib
import inspect
import json
import pkgutil
from collections.abc import Callable, Mapping
from dataclasses import dataclass, fields, is_dataclass
from functools import cache
from typing import Any

import numpy as np

from secondroof.errors import InputError, NotFoundError, Problem
from secondroof.formula import REGISTRY, Formula, Step, recording
from secondroof.units import Kind, UnitError, parse

ROOMS = ("loads", "steel", "lines", "heat", "money", "rules", "recover", "findings")
COMPOSED = {
    "wind.pressure": ("secondroof.loads.wind", "design_pressures"),
    "wind.enclosure": ("secondroof.loads.enclosure", "classify"),
    "screws.shear": ("secondroof.steel.screws", "nominal_shear"),
    "screws.group": ("secondroof.steel.screws", "screw_group"),
}
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
}


@dataclass(frozen=True, slots=True)
class Calculation:
    """One calculation a person can run: its name, title, clause, and the arguments it takes."""

    name: str
    title: str
    clause: str
    arguments: tuple[tuple[str, str, str, bool], ...]
    formula: Formula | None
    func: Callable[..., Any]


@dataclass(frozen=True, slots=True)
class Run:
    """A calculation run alone: what it was given, its result and its steps."""

    calculation: Calculation
    inputs: Mapping[str, Any]
    result: Any
    steps: tuple[Step, ...]


@cache
def calculations() -> dict[str, Calculation]:
    """Every public calculation by name."""
    for room in ROOMS:
        try:
            package = importlib.import_module(f"secondroof.{room}")
        except ModuleNotFoundError:
            continue
        for module in pkgutil.walk_packages(package.__path__, f"secondroof.{room}."):
            importlib.import_module(module.name)
    found = {}
    for name, spec in REGISTRY.items():
        if name.startswith(ROOMS):
            arguments = tuple((a.name, a.what, a.unit, _required(spec.func, a.name)) for a in spec.arguments)
            found[name] = Calculation(name, spec.title, spec.clause, arguments, spec, spec.func)
    for name, (module_name, function) in COMPOSED.items():
        func = getattr(importlib.import_module(module_name), function)
        first = (inspect.getdoc(func) or "").split("\n", 1)[0].rstrip(".")
        arguments = tuple((p, "", "", _required(func, p)) for p in inspect.signature(func).parameters)
        found[name] = Calculation(name, first, "see its steps", arguments, None, func)
    return dict(sorted(found.items()))


def _required(func: Callable[..., Any], name: str) -> bool:
    return inspect.signature(func).parameters[name].default is inspect.Parameter.empty


def run(name: str, given: Mapping[str, str]) -> Run:
    """Run one calculation from text, as a person writes it.

    Parameters
    ----------
    name : str
        Name in :func:`calculations`; the last part alone is enough where it is the only one.
    given : mapping of str to str
        Arguments, e.g. ``{"V": "112 mph", "K_z": "0.85"}``.

    Raises
    ------
    NotFoundError
        No such calculation; nearest names are given.
    InputError
        Arguments missing, unknown or unreadable, all at once.
    """
    calculation = find(name)
    units = {n: unit for n, _, unit, _ in calculation.arguments}
    problems = []
    for n, what, unit, required in calculation.arguments:
        if required and n not in given:
            problems.append(
                Problem(
                    n,
                    "",
                    f"is needed{': ' + what if what else ''}{f' [{unit}]' if unit else ''}.",
                    f"Add {n}=value.",
                )
            )
    values: dict[str, Any] = {}
    for n, text in given.items():
        if n not in units:
            problems.append(
                Problem(n, text, "is not an argument of this calculation.", f"It takes: {', '.join(units)}.")
            )
            continue
        try:
            values[n] = _value(text, units[n])
        except UnitError as error:
            problems.append(Problem(n, text, error.message, error.mend))
    if problems:
        raise InputError(problems)
    func = calculation.func
    with recording() as recorder:
        if calculation.formula is not None:
            func = _decorated(calculation.formula)
        with np.errstate(all="ignore"):
            result = func(**values)
    return Run(calculation, values, result, tuple(recorder.steps))


def _decorated(spec: Formula) -> Callable[..., Any]:
    module, _, function = spec.name.rpartition(".")
    return getattr(importlib.import_module(f"secondroof.{module}"), function)  # type: ignore[no-any-return]


def find(name: str) -> Calculation:
    """Calculation by name, or by the last part of it where only one ends so."""
    known = calculations()
    if name in known:
        return known[name]
    ends = [n for n in known if n.rsplit(".", 1)[-1] == name]
    if len(ends) == 1:
        return known[ends[0]]
    near = ends or [n for n in known if name.lower() in n.lower()]
    hint = f" Meant one of: {', '.join(near[:8])}?" if near else " List them with: secondroof calc --list"
    raise NotFoundError(f"There is no one calculation named {name!r}.{hint}")


def _value(text: str, unit: str) -> Any:
    kind = KIND_OF_UNIT.get(unit)
    if kind is not None:
        return parse(text, kind)
    try:
        return json.loads(text)
    except json.JSONDecodeError:
        if unit and unit != "-":
            number = text.removesuffix(unit).strip()
            try:
                return float(number)
            except ValueError:
                raise UnitError("is not a number.", f"Write a number in {unit}.") from None
        if unit == "-":
            raise UnitError("is not a number.", "Write a plain number.") from None
        return {"none": None, "true": True, "false": False}.get(text.lower(), text)


def result_json(result: Any) -> Any:
    """Result of a calculation as JSON values."""
    from secondroof.findings.as_json import plain

    if is_dataclass(result) and not isinstance(result, type):
        return {f.name: plain(getattr(result, f.name)) for f in fields(result)}
    return plain(result)
