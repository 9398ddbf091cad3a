"""Every public calculation, found by name, runnable alone with its card.

Clause formulas come from the formula registry. Composed calculations (a pressure, a drift, a strength) stand beside
them in one table; what each takes is read from its own signature and docstring, so the table holds no words twice.
"""

from __future__ import annotations

import difflib
import importlib
import inspect
import math
import pkgutil
import re
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, fields, is_dataclass, replace
from functools import cache
from typing import Any, NamedTuple

import numpy as np

from secondroof.calculation_words import (
    COMMON,
    attributes,
    described,
    read_value,
    readable,
    returns,
    unit_of_name,
)
from secondroof.errors import InputError, NotFoundError, Problem
from secondroof.formula import REGISTRY, Formula, Step, recording
from secondroof.units import UnitError

ROOMS = ("loads", "steel", "lines", "heat", "money", "rules", "acting", "purlins", "recover", "findings")
PLACES_SHOWN = 12  # of a step that holds a column


class Composed(NamedTuple):
    """A calculation made of several formulas: its name, where it is, and the clause it answers."""

    name: str
    module: str
    function: str
    clause: str


COMPOSED = (
    Composed("loads.areas.clip", "loads.areas", "clip_area", "ASCE 7 26.2"),
    Composed("loads.areas.panel", "loads.areas", "panel_area", "ASCE 7 26.2"),
    Composed("loads.areas.purlin", "loads.areas", "purlin_area", "ASCE 7 26.2"),
    Composed("loads.areas.screw", "loads.areas", "screw_area", "ASCE 7 26.2"),
    Composed("loads.areas.subpurlin", "loads.areas", "subpurlin_area", "ASCE 7 26.2"),
    Composed("loads.areas.tributary_width", "loads.live", "tributary_width", "statics"),
    Composed("loads.combinations", "alone.loads", "combine", "ASCE 7 ch. 2"),
    Composed("loads.live.bundle", "loads.live", "bundle_on_purlins", "statics; common practice, no source"),
    Composed("loads.live.reduced", "loads.live", "reduced_roof_live", "ASCE 7 4.8.2 (4.9 in 7-05)"),
    Composed("loads.rain", "loads.live", "rain", "ASCE 7 8.3 (8.2 in 7-22)"),
    Composed("loads.rain.ponding", "loads.live", "ponding_susceptible", "ASCE 7 8.4 (8.3 in 7-22)"),
    Composed("loads.snow.balanced", "loads.snow", "balanced_snow", "ASCE 7 7.3, 7.4, 7.10"),
    Composed("loads.snow.drift_at_neighbour", "loads.snow_drift", "drift_from_neighbour", "ASCE 7 7.7.2"),
    Composed("loads.snow.drift_at_parapet", "loads.snow_drift", "drift_at_parapet", "ASCE 7 7.8"),
    Composed("loads.snow.drift_at_step", "loads.snow_drift", "drift_at_step", "ASCE 7 7.7.1"),
    Composed("loads.snow.partial", "loads.snow", "partial_loading", "ASCE 7 7.5"),
    Composed("loads.snow.sliding", "loads.snow_drift", "sliding_snow", "ASCE 7 7.9"),
    Composed("loads.snow.slippery", "loads.snow", "slippery_allowed", "ASCE 7 7.4"),
    Composed("loads.snow.thermal_condition", "loads.snow", "thermal_condition", "ASCE 7 Table 7.3-2"),
    Composed("loads.snow.thermal_factor", "loads.snow", "thermal_factor", "ASCE 7 Table 7.3-2"),
    Composed("loads.snow.unbalanced", "loads.snow", "unbalanced_snow", "ASCE 7 7.6.1"),
    Composed("loads.wind.coefficient", "alone.loads", "coefficient", "ASCE 7 ch. 30 (6.5.11 in 7-05)"),
    Composed("loads.wind.enclosure", "loads.enclosure", "classify", "ASCE 7 26.2, 26.12 (6.2 in 7-05)"),
    Composed("loads.wind.frame_pressures", "loads.mwfrs", "frame_pressures", "ASCE 7 ch. 28"),
    Composed("loads.wind.pressure", "alone.loads", "wind_pressure", "ASCE 7 ch. 30 (6.5.12 in 7-05)"),
    Composed("loads.wind.then_and_now", "alone.loads", "then_and_now", "ASCE 7, two editions"),
    Composed("loads.wind.topography", "loads.topography", "topography", "ASCE 7 26.8 (6.5.7 in 7-05)"),
    Composed("loads.wind.velocity_pressure", "alone.loads", "velocity_pressure", "ASCE 7 26.10 (6.5.10 in 7-05)"),
    Composed("roof.strip_width", "roof.zones", "strip_width", "ASCE 7 ch. 30 figures"),
    Composed("roof.zones", "alone.roof", "zone_areas", "ASCE 7 ch. 30 figures"),
    Composed("lines.beam", "alone.lines", "beam", "statics"),
    Composed("lines.ponding", "alone.lines", "ponding", "own derivation"),
    Composed("lines.underfoot", "alone.lines", "underfoot", "common practice, no source"),
    Composed("steel.bending_crippling", "steel.interaction", "bending_crippling", "AISI S100-16 H3"),
    Composed("steel.crippling", "steel.crippling", "web_crippling", "AISI S100-16 G5"),
    Composed("steel.flexural_strength", "alone.steel", "flexural_strength", "AISI S100-16 F2, F3, F4"),
    Composed("steel.panel_uplift", "alone.steel", "panel_uplift", "AISI S100-16 I6.3.1, K2.1.1"),
    Composed("steel.screws.group", "steel.screws", "screw_group", "AISI S100-16 J4"),
    Composed("steel.screws.shear", "steel.screws", "nominal_shear", "AISI S100-16 J4.3.1"),
    Composed("steel.section.distortional", "alone.steel", "distortional", "AISI S100-16 App. 2, 2.3.3.3"),
    Composed("steel.section.effective", "alone.steel", "effective_section", "AISI S100-16 App. 1"),
    Composed("steel.section.finite_strips", "alone.steel", "finite_strips", "AISI S100-16 App. 2, 2.2"),
    Composed("steel.section.gross", "alone.steel", "gross_section", "statics of the centre line"),
    Composed("steel.section.limits", "alone.steel", "limits", "AISI S100-16 Table B4.1-1"),
    Composed("steel.shear", "steel.shear", "web_shear", "AISI S100-16 G2.1"),
    Composed("steel.uplift_factor", "alone.steel", "uplift_factor", "AISI S100-16 I6.2.1"),
)  # fmt: skip


class Taken(NamedTuple):
    """One argument of a calculation, in words."""

    name: str
    what: str
    unit: str
    required: bool


@dataclass(frozen=True, slots=True)
class Calculation:
    """One calculation a person can run: its name, title, clause, and the arguments it takes.

    Attributes
    ----------
    formula : Formula or None
        The clause formula it is, None where it is composed of several.
    """

    name: str
    title: str
    clause: str
    arguments: tuple[Taken, ...]
    formula: Formula | None
    func: Callable[..., Any]

    @property
    def room(self) -> str:
        """First part of the name."""
        return self.name.split(".", 1)[0]


@dataclass(frozen=True, slots=True)
class Value:
    """One value of a result: its name, as JSON, and its unit where it has one."""

    name: str
    value: Any
    unit: str


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
            taken = tuple(
                Taken(a.name, a.what or COMMON.get(a.name, ""), a.unit, _required(spec.func, a.name))
                for a in spec.arguments
            )
            found[name] = Calculation(name, spec.title, spec.clause, taken, spec, spec.func)
    for row in COMPOSED:
        func = getattr(importlib.import_module(f"secondroof.{row.module}"), row.function)
        found[row.name] = Calculation(row.name, described(func).title, row.clause, _taken(func), None, func)
    return dict(sorted(found.items()))


def _taken(func: Callable[..., Any]) -> tuple[Taken, ...]:
    words = described(func)
    taken = []
    for name, parameter in inspect.signature(func).parameters.items():
        if not readable(parameter.annotation):
            continue
        what, unit = words.items.get(name, ("", ""))
        what = what or COMMON.get(name, "")
        if re.search("bool|str", f"{parameter.annotation} {words.kinds.get(name, '')}"):
            unit = ""
        required = parameter.default is inspect.Parameter.empty
        if not required and parameter.default is not None and parameter.default != ():
            what = f"{what} ({_default(parameter.default)} unless given)"
        taken.append(Taken(name, what, unit or unit_of_name(name), required))
    return tuple(taken)


def _default(value: Any) -> str:
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, float):
        return f"{value:g}" if math.isfinite(value) else "without end"
    return str(value)


def _required(func: Callable[..., Any], name: str) -> bool:
    return inspect.signature(func).parameters[name].default is inspect.Parameter.empty


def run(name: str, given: Mapping[str, str]) -> Run:
    """Run one calculation from text, as a person writes it.

    Parameters
    ----------
    name : str
        Name in :func:`calculations`; its last parts alone are enough where only one ends so.
    given : mapping of str to str
        Arguments, e.g. ``{"V": "112 mph", "K_z": "0.85"}``; lists with commas, yes or no, words.

    Raises
    ------
    NotFoundError
        No such calculation; nearest names are given.
    InputError
        Arguments missing, unknown or unreadable, all at once.
    """
    calculation = find(name)
    known = {a.name: a for a in calculation.arguments}
    problems = []
    for a in calculation.arguments:
        if a.required and a.name not in given:
            what = f": {a.what}" if a.what else ""
            unit = f" [{a.unit}]" if a.unit else ""
            problems.append(Problem(a.name, "", f"is needed{what}{unit}.", f"Add {a.name}=value."))
    parameters = inspect.signature(calculation.func).parameters
    values: dict[str, Any] = {}
    for n, text in given.items():
        if n not in known:
            near = difflib.get_close_matches(n, known, 1)
            mend = f"Meant {near[0]}?" if near else f"It takes: {', '.join(known)}."
            problems.append(Problem(n, text, "is not an argument of this calculation.", mend))
            continue
        kind = described(calculation.func).kinds.get(n, "")
        try:
            values[n] = read_value(text, n, known[n].unit, str(parameters[n].annotation), kind)
        except UnitError as error:
            problems.append(Problem(n, text, error.message, error.mend))
    if problems:
        raise InputError(problems)
    with recording() as recorder, np.errstate(all="ignore"):
        result = _call(calculation, values)
    return Run(calculation, values, result, tuple(s for step in recorder.steps for s in _single(step)))


def _single(step: Step) -> list[Step]:
    """A formula step that holds columns, as one step for each place (the first few of many): a card prints one case."""
    arrays = {
        n: np.asarray(v) for n, v in (*step.inputs.items(), ("", step.result)) if isinstance(v, np.ndarray)
    }
    if step.formula is None or not arrays:
        return [step]
    shape = np.broadcast_shapes(*(a.shape for a in arrays.values()))
    flat = {n: np.broadcast_to(a, shape).ravel() for n, a in arrays.items()}
    alike = all(bool(np.all(a == a[0])) for a in flat.values() if a.size)
    count = math.prod(shape)
    steps = []
    for k in range(1 if alike else min(count, PLACES_SHOWN)):
        inputs = {n: flat[n][k].item() if n in flat else v for n, v in step.inputs.items()}
        title = step.title if alike else f"{step.title}, place {k + 1} of {count}"
        steps.append(
            replace(
                step, title=title, inputs=inputs, result=flat[""][k].item() if "" in flat else step.result
            )
        )
    return steps


def _call(calculation: Calculation, values: Mapping[str, Any]) -> Any:
    func = calculation.func
    if calculation.formula is not None:
        module, _, function = calculation.formula.name.rpartition(".")
        func = getattr(importlib.import_module(f"secondroof.{module}"), function)
    given = ", ".join(f"{n} {_brief(v)}" for n, v in values.items())
    lists = {n: np.size(v) for n, v in values.items() if np.ndim(v)}
    try:
        result = func(**values)
    except InputError:
        raise
    except ZeroDivisionError:
        raise _no_number(calculation, given) from None
    except ValueError as error:
        if "broadcast" not in str(error):
            raise
        counts = ", ".join(f"{n} holds {k}" for n, k in lists.items())
        raise InputError(
            Problem(", ".join(lists), counts, "do not fit each other in length.", "Give lists of one length.")
        ) from None
    if isinstance(result, (float, np.floating)) and not math.isfinite(result):
        raise _no_number(calculation, given)
    return result


def _brief(value: Any) -> str:
    return f"{value:g}" if isinstance(value, float) else str(value)[:40]


def _no_number(calculation: Calculation, given: str) -> InputError:
    return InputError(
        Problem(
            calculation.name, given, "gives no finite number for these values.", "Look at zeros and signs."
        )
    )


def find(name: str) -> Calculation:
    """Calculation by name, or by the last parts of it where only one ends so."""
    known = calculations()
    if name in known:
        return known[name]
    ends = [n for n in known if n.endswith(f".{name}")]
    if len(ends) == 1:
        return known[ends[0]]
    near = ends or [n for n in known if name.lower() in n.lower()] or _nearest(name, known)
    hint = f" Meant one of: {', '.join(near[:8])}?" if near else " List them with: secondroof calc --list"
    raise NotFoundError(f"There is no one calculation named {name!r}.{hint}")


def _nearest(name: str, known: Iterable[str]) -> list[str]:
    tails: dict[str, list[str]] = {}
    for n in known:
        parts = n.split(".")
        for k in range(len(parts)):
            tails.setdefault(".".join(parts[k:]), []).append(n)
    close = difflib.get_close_matches(name.lower(), tails, 5, 0.7)
    return list(dict.fromkeys(n for tail in close for n in tails[tail]))


def values(run: Run) -> tuple[Value, ...]:
    """Result of a run as named values with their units; one value without a name where it is a number."""
    calculation = run.calculation
    if calculation.formula is not None:
        unit = calculation.formula.unit
        return (Value("", result_json(run.result), "" if unit == "-" else unit),)
    names = returns(calculation.func)
    result = run.result
    if isinstance(result, tuple) and len(names) == len(result):
        result = dict(zip(names, result, strict=True))
    flat = result_json(result)
    if not isinstance(flat, dict):
        unit = described(calculation.func).unit
        return (Value("", flat, "" if unit == "-" else unit),)
    units = {**_units(result), **{n: u for n, u in names.items() if u != "-"}}
    return tuple(Value(n, v, _unit(n, v, units)) for n, v in flat.items())


def _units(result: Any) -> dict[str, str]:
    """Units told by the docstring of the record a result is, or of the records it holds."""
    if is_dataclass(result):
        return attributes(type(result))
    held = result.values() if isinstance(result, Mapping) else result if isinstance(result, tuple) else ()
    return {n: u for part in held if is_dataclass(part) for n, u in attributes(type(part)).items()}


def _unit(name: str, value: Any, units: Mapping[str, str]) -> str:
    if isinstance(value, (str, bool)) or (value is None and name not in units):
        return ""
    last = name.rsplit(".", 1)[-1]
    first = name.split(".", 1)[0]
    return units.get(last) or unit_of_name(last) or unit_of_name(first)


def run_json(run: Run) -> dict[str, Any]:
    """A run as JSON: what was asked and given, the result with its units, and every step."""
    found = values(run)
    alone = len(found) == 1 and not found[0].name
    units = {a.name: a.unit for a in run.calculation.arguments}
    return {
        "name": run.calculation.name,
        "title": run.calculation.title,
        "clause": run.calculation.clause,
        "inputs": result_json(dict(run.inputs)),
        "input_units": {n: units[n] for n in run.inputs if units[n]},
        "result": found[0].value if alone else {v.name: v.value for v in found},
        "unit": found[0].unit if alone else {v.name: v.unit for v in found if v.unit},
        "steps": [
            {
                "title": s.title,
                "symbol": s.symbol,
                "unit": s.unit,
                "clause": s.clause,
                "checked": s.checked,
                "inputs": result_json(dict(s.inputs)),
                "result": result_json(s.result),
                "method": s.method,
                "self_check": s.self_check,
            }
            for s in run.steps
        ],
    }


def result_json(result: Any) -> Any:
    """Result of a calculation as JSON values; records and mappings become one level of dotted names."""
    from secondroof.findings.as_json import plain

    if is_dataclass(result) and not isinstance(result, type):
        result = {f.name: getattr(result, f.name) for f in fields(result)}
    if isinstance(result, (tuple, list)) and result and all(is_dataclass(r) for r in result):
        result = {str(getattr(r, "key", k)): r for k, r in enumerate(result, start=1)}
    if not isinstance(result, Mapping):
        return plain(result)
    flat: dict[str, Any] = {}
    for name, value in result.items():
        inner = result_json(value)
        if isinstance(inner, dict):
            flat.update({f"{name}.{k}": v for k, v in inner.items()})
        else:
            flat[str(name)] = inner
    return flat
