"""Functions of a record made into functions of its plain fields, their signature and words kept."""

from __future__ import annotations

import inspect
import re
from collections.abc import Callable
from typing import Any

from secondroof.errors import InputError, Problem
from secondroof.steel.sections import Section, c_section, hat_section, require_possible, z_section


def of_record(record: type, func: Callable[..., Any]) -> Callable[..., Any]:
    """Function of the fields of a record, and of what else `func` takes.

    Parameters
    ----------
    record : type
        Dataclass that `func` takes first.
    func : callable
        Function of the record and of further named arguments.
    """
    return _flat(record, func, inspect.getdoc(record) or "")


def of_section(func: Callable[..., Any]) -> Callable[..., Any]:
    """Function of the measured dimensions of a section, and of what else `func` takes."""
    return _flat(section, func, inspect.getdoc(section) or "")


def section(
    kind: str,
    depth_in: float,
    flange_in: float,
    t_in: float,
    R_in: float,
    *,
    lip_in: float = 0.0,
    lip_angle_deg: float | None = None,
    bottom_flange_in: float | None = None,
    bottom_lip_in: float | None = None,
    bottom_lip_angle_deg: float | None = None,
    top_bend_deg: float = 90.0,
) -> Section:
    """Section from plain numbers, refused where it cannot exist.

    Parameters
    ----------
    kind : str
        Z, C or hat. An eave strut is a C or Z whose top bend is not 90.
    depth_in : float
        Depth out to out. [in]
    flange_in : float
        Top flange out to out; for a hat the top width. [in]
    t_in : float
        Base thickness without coatings. [in]
    R_in : float
        Inside bend radius. [in]
    lip_in : float
        Top lip, and the bottom one where that is not given. [in]
    lip_angle_deg : float
        Angle of the lip to the flange; left out, 50 for a Z and 90 for a C. [deg]
    bottom_flange_in : float
        Bottom flange where it differs; for a hat the width of one foot, needed. [in]
    bottom_lip_in : float
        Bottom lip where it differs. [in]
    bottom_lip_angle_deg : float
        Angle of the bottom lip where it differs. [deg]
    top_bend_deg : float
        Bend between web and top flange; for a hat the slope of the webs to the horizontal. [deg]
    """
    word = kind.strip().lower()
    if word == "hat":
        if bottom_flange_in is None:
            raise InputError(
                Problem("bottom_flange_in", "", "is needed for a hat: width of one foot.", "Measure a foot.")
            )
        made = hat_section(depth_in, flange_in, bottom_flange_in, t_in, R_in, top_bend_deg)
    elif word in ("z", "c"):
        make, usual = (z_section, 50.0) if word == "z" else (c_section, 90.0)
        made = make(
            depth_in,
            flange_in,
            lip_in,
            t_in,
            R_in,
            usual if lip_angle_deg is None else lip_angle_deg,
            bottom_flange=bottom_flange_in,
            bottom_lip=bottom_lip_in,
            bottom_lip_angle=bottom_lip_angle_deg,
            top_bend=top_bend_deg,
        )
    else:
        raise InputError(Problem("kind", kind, "is not a section known here.", "Write Z, C or hat."))
    return require_possible(made)


def _flat(make: Callable[..., Any], func: Callable[..., Any], doc: str) -> Callable[..., Any]:
    fields = inspect.signature(make).parameters
    rest = list(inspect.signature(func).parameters.values())[1:]

    def call(**given: Any) -> Any:
        record = make(**{k: v for k, v in given.items() if k in fields})
        return func(record, **{k: v for k, v in given.items() if k not in fields})

    both = [p.replace(kind=inspect.Parameter.KEYWORD_ONLY) for p in (*fields.values(), *rest)]
    call.__signature__ = inspect.Signature(both)  # type: ignore[attr-defined]
    own = inspect.getdoc(func) or ""
    items = re.search(r"^(?:Attributes|Parameters)\n-+\n(.*?)(?=\n\n|\Z)", doc, re.MULTILINE | re.DOTALL)
    call.__doc__ = f"{own}\n\nOther Parameters\n----------------\n{items.group(1) if items else ''}\n"
    return call
