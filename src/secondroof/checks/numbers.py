"""How numbers are shown to people: digits by unit, thousands commas, a true minus, never an exponent.

One place decides this for the terminal, the page and the papers. ``plain=True`` keeps to ASCII, for terminals.
"""

from __future__ import annotations

import math
import re
from dataclasses import dataclass
from decimal import ROUND_HALF_UP, Context, Decimal
from typing import Any

from secondroof import units

MINUS = "\u2212"
_RAISED = {"2": "²", "3": "³", "4": "⁴", "6": "⁶"}
NOISE = 1e-12  # below this a size is a remainder of floating point and prints as nought
MOST_DECIMALS = 20
_CONTEXT = Context(prec=400, rounding=ROUND_HALF_UP)


@dataclass(frozen=True, slots=True)
class Style:
    """Decimals of a unit: how many, and how many stay when trailing noughts are dropped."""

    decimals: int
    least: int


STYLES: dict[str, Style] = {
    "psf": Style(1, 1), "pcf": Style(1, 1), "lb/ft": Style(1, 1), "lb/in": Style(1, 1), "lb": Style(1, 1),
    "in": Style(2, 2), "ft": Style(2, 0), "ft2": Style(1, 0), "in2": Style(3, 3), "in3": Style(3, 3),
    "in4": Style(3, 3), "in6": Style(1, 1), "kip": Style(2, 2), "kip-in": Style(2, 2), "kip-ft": Style(2, 2),
    "kip-in2": Style(0, 0), "kip/in": Style(2, 2), "kip/ft": Style(3, 3), "ksi": Style(2, 0), "psi": Style(0, 0),
    "lb-ft": Style(1, 1), "lb-in": Style(1, 1), "mph": Style(0, 0), "degF": Style(1, 0), "degC": Style(1, 0),
    "deg": Style(1, 0), "rad": Style(4, 2), "%": Style(0, 0), "$": Style(0, 0), "h-ft2-degF/Btu": Style(1, 1),
    "Btu/h-ft2-degF": Style(3, 3), "mm": Style(1, 1), "m": Style(2, 2), "m2": Style(1, 1), "mm2": Style(0, 0),
    "mm3": Style(0, 0), "mm4": Style(0, 0), "mm6": Style(0, 0), "kPa": Style(2, 2), "MPa": Style(1, 1),
    "kN": Style(3, 3), "kN-m": Style(2, 2), "N/m": Style(0, 0), "kN/m": Style(2, 2), "kN/mm": Style(3, 3),
    "N/mm": Style(2, 2), "N-m": Style(1, 1), "m/s": Style(1, 1), "kN/m3": Style(2, 2), "kN-m2": Style(2, 2),
    "m2-K/W": Style(2, 2), "W/m2-K": Style(2, 2),
}  # fmt: skip

KINDS: dict[str, Style] = {
    "base steel": Style(4, 4),
    "gap": Style(2, 2),
    "weight": Style(2, 2),
    "whole": Style(0, 0),
    "percent": Style(0, 0),
    "money": Style(0, 0),
    "ratio": Style(2, 2),
    "count": Style(2, 0),
}

_SAME_UNIT = {
    "plf": "lb/ft", "lb/ft2": "psf", "lb/ft3": "pcf", "lbs": "lb", "kips": "kip", "kip-in.": "kip-in",
    "in-kip": "kip-in", "ft-kip": "kip-ft", "ft-lb": "lb-ft", "in-lb": "lb-in", "kip/in2": "ksi", "lb/in2": "psi",
    "sqft": "ft2", "sqin": "in2", "percent": "%", "F": "degF", "°F": "degF", "none": "-", "": "-", "1": "-",
    "USD": "$", "usd": "$", "ratio": "ratio", "DCR": "ratio", "hr-ft2-degF/Btu": "h-ft2-degF/Btu",
    "h-ft2-F/Btu": "h-ft2-degF/Btu", "Btu/h-ft2-F": "Btu/h-ft2-degF", "Btu/hr-ft2-degF": "Btu/h-ft2-degF",
}  # fmt: skip

# unit: (factor, offset added before the factor, SI unit)
SI: dict[str, tuple[float, float, str]] = {
    "in": (25.4, 0.0, "mm"), "ft": (0.3048, 0.0, "m"), "ft2": (0.3048**2, 0.0, "m2"),
    "in2": (25.4**2, 0.0, "mm2"), "in3": (25.4**3, 0.0, "mm3"), "in4": (25.4**4, 0.0, "mm4"),
    "in6": (25.4**6, 0.0, "mm6"), "psf": (0.04788025898033584, 0.0, "kPa"),
    "pcf": (0.15708746384624615, 0.0, "kN/m3"), "lb/ft": (14.593902937206364, 0.0, "N/m"),
    "lb/in": (0.17512683524647636, 0.0, "N/mm"), "lb": (0.0044482216152605, 0.0, "kN"),
    "kip": (4.4482216152605, 0.0, "kN"), "kip-in": (0.1129848290276167, 0.0, "kN-m"),
    "kip-ft": (1.3558179483314004, 0.0, "kN-m"), "kip-in2": (0.002869814657301464, 0.0, "kN-m2"),
    "lb-ft": (1.3558179483314004, 0.0, "N-m"), "lb-in": (0.1129848290276167, 0.0, "N-m"),
    "kip/in": (0.17512683524647636, 0.0, "kN/mm"), "kip/ft": (14.593902937206364, 0.0, "kN/m"),
    "ksi": (6.894757293168361, 0.0, "MPa"), "psi": (0.006894757293168361, 0.0, "MPa"),
    "mph": (0.44704, 0.0, "m/s"), "degF": (5.0 / 9.0, -32.0, "degC"),
    "h-ft2-degF/Btu": (0.17611018368230585, 0.0, "m2-K/W"), "Btu/h-ft2-degF": (5.678263341113488, 0.0, "W/m2-K"),
}  # fmt: skip


def unit_key(unit: str) -> str:
    """One spelling of a unit, e.g. ``in^2`` and ``in.2`` are ``in2``, ``plf`` is ``lb/ft``, none is ``-``."""
    key = unit.strip().replace("²", "2").replace("³", "3").replace("⁴", "4").replace("⁶", "6")
    key = re.sub(r"\s+|\^|\*\*", "", key.replace("in.", "in").replace("·", "-"))
    return _SAME_UNIT.get(key, key)


def scalar(value: Any) -> Any:
    """Python scalar of a number, a 0-d array or an array of size 1; others raise ValueError."""
    size = getattr(value, "size", 1)
    if size != 1:
        raise ValueError(f"one number is shown at a time, not {size}; give the index of the one meant")
    return value.item() if hasattr(value, "item") else value


def fixed(value: float, decimals: int, *, plain: bool = False, commas: bool = True) -> str:
    """Number with so many decimals, halves away from nought, thousands commas and a true minus."""
    if math.isnan(value):
        return "not known"
    if math.isinf(value):
        return ("-" if plain else MINUS) * (value < 0) + "infinite"
    number = Decimal(repr(value)).quantize(Decimal(1).scaleb(-decimals), context=_CONTEXT)
    text = f"{abs(number):{',' if commas else ''}.{decimals}f}"
    return ("-" if plain else MINUS) + text if number < 0 else text


def decimals_needed(value: float) -> int:
    """Decimals that show a finite number exactly as the machine writes it."""
    exponent = Decimal(repr(value)).normalize(_CONTEXT).as_tuple().exponent
    return max(0, -exponent) if isinstance(exponent, int) else 0


def _error(value: float, decimals: int) -> float:
    rounded = Decimal(repr(value)).quantize(Decimal(1).scaleb(-decimals), context=_CONTEXT)
    return abs(float(rounded) - value)


def decimals_for(value: Any, unit: str, kind: str | None = None) -> int:
    """Decimals by unit and kind.

    A value that would lose more than one part in twenty gets more; a ratio that would print a short 1.00 too.

    Parameters
    ----------
    value : number
        What is to be shown.
    unit : str
        Its unit; ``-`` or empty for none, ``ratio`` for demand over capacity.
    kind : str, optional
        One of ``KINDS``, or ``coefficient``.
    """
    number = scalar(value)
    if isinstance(number, bool) or not math.isfinite(number):
        return 0
    key = unit_key(unit)
    kind = "ratio" if kind is None and key == "ratio" else kind
    if kind is not None and kind != "coefficient" and kind not in KINDS:
        raise ValueError(f"kind of number must be one of {', '.join(KINDS)} or coefficient, not {kind!r}")
    size = abs(float(number))
    if kind == "ratio":
        return _ratio_decimals(size)
    style = KINDS.get(kind or "") or (STYLES.get(key) if kind != "coefficient" else None)
    if style is None:
        if isinstance(number, int):
            return 0
        style = _coefficient_style(size, 2 if key == "-" or kind == "coefficient" else 0)
    decimals = style.decimals
    if size >= NOISE and kind not in ("whole", "percent", "money"):
        while _error(size, decimals) > 0.05 * size and decimals < MOST_DECIMALS:
            decimals += 1
    return _trimmed(size, decimals, style.least if size < 100 else min(1, style.least))


def _coefficient_style(size: float, least: int) -> Style:
    """Four significant digits, at least two decimals where there are so many."""
    if size < NOISE:
        return Style(least, least)
    decimals = min(MOST_DECIMALS, max(0, 3 - math.floor(math.log10(size))))
    return Style(decimals, min(decimals, least))


def _trimmed(size: float, decimals: int, least: int) -> int:
    text = fixed(size, decimals, commas=False)
    trailing = len(text) - len(text.rstrip("0")) if decimals else 0
    return max(min(least, decimals), decimals - trailing)


def _ratio_decimals(size: float) -> int:
    decimals = 2
    while size > 1.0 and float(fixed(size, decimals, commas=False)) <= 1.0 and decimals < MOST_DECIMALS:
        decimals += 1
    return decimals


def show(value: Any, unit: str = "-", kind: str | None = None, *, plain: bool = False) -> str:
    """Number as a person reads it, without its unit.

    Parameters
    ----------
    value : number, array of size 1, str, bool or None
        What is to be shown. ``None`` is ``not read``.
    unit : str
        Unit it is in.
    kind : str, optional
        ``base steel`` (4 decimals), ``gap``, ``weight``, ``whole``, ``percent``, ``money``, ``ratio``, ``count``
        or ``coefficient``, where the unit alone does not say it.
    plain : bool
        ASCII minus.

    Returns
    -------
    str

    Examples
    --------
    >>> show(122.83, "psf"), show(0.063, "in", "base steel"), show(1.003, "ratio"), show(65000, "psi")
    ('122.8', '0.0630', '1.003', '65,000')
    """
    if value is None:
        return "not read"
    number = scalar(value)
    if isinstance(number, bool):
        return "yes" if number else "no"
    if isinstance(number, str):
        return number
    return fixed(float(number), decimals_for(number, unit, kind), plain=plain)


def unit_text(unit: str, *, plain: bool = False) -> str:
    """Unit as printed: ``in2`` is in², ``degF`` is °F, none is empty."""
    key = unit_key(unit)
    if key in ("-", "ratio"):
        return ""
    written = unit.strip() if key not in STYLES else key
    if plain:
        return written
    raised = re.sub(r"(?<=[a-z])\^?([2346])\b", lambda m: _RAISED[m.group(1)], written)
    return raised.replace("deg", "°") if re.search(r"deg[FC]", raised) else raised


def with_unit(text: str, unit: str, *, plain: bool = False) -> str:
    """Shown number and its unit, money before and others after a space."""
    key = unit_key(unit)
    if key == "$":
        return f"${text}"
    name = unit_text(unit, plain=plain)
    return f"{text} {name}" if name else text


def show_with_unit(value: Any, unit: str, kind: str | None = None, *, plain: bool = False) -> str:
    """As :func:`show`, with the unit: ``122.8 psf``, ``$86,000``; ``not read`` has none."""
    text = show(value, unit, kind, plain=plain)
    return text if value is None or isinstance(value, (str, bool)) else with_unit(text, unit, plain=plain)


def to_si(value: float, unit: str) -> tuple[float, str]:
    """Value and unit in SI; a unit without a twin stays as it is."""
    factor, offset, name = SI.get(unit_key(unit), (1.0, 0.0, unit))
    return (value + offset) * factor, name


def show_si(value: Any, unit: str, kind: str | None = None, *, plain: bool = False) -> str:
    """SI twin of a number with its unit and the same digits of worth.

    Examples
    --------
    >>> show_si(122.8, "psf"), show_si(0.063, "in", "base steel"), show_si(3.75, "ft")
    ('5.88 kPa', '1.600 mm', '1.14 m')
    """
    if value is None or isinstance(value, (str, bool)):
        return show(value, unit, kind, plain=plain)
    number, name = to_si(float(scalar(value)), unit)
    if (kind, name) in (("base steel", "mm"), ("weight", "kPa")):
        text = fixed(number, 3, plain=plain)
    else:
        text = show(number, name, None if kind in ("gap", "base steel", "weight") else kind, plain=plain)
    return with_unit(text, name, plain=plain)


def feet_inches(ft: Any, eighths: bool = True, *, plain: bool = False) -> str:
    r"""Building length in feet and inches.

    Parameters
    ----------
    ft : number
        Length. [ft]
    eighths : bool
        To the nearest 1/8 in; otherwise to the nearest inch.

    Examples
    --------
    >>> feet_inches(24 + 6.5 / 12), feet_inches(14.99999), feet_inches(73 + 11 / 12, eighths=False)
    ('24\'-6 1/2"', '15\'-0"', '73\'-11"')
    """
    number = float(scalar(ft))
    if not math.isfinite(number):
        return fixed(number, 0, plain=plain)
    text = units.feet_inches(number, 8 if eighths else 1)
    return text if plain else text.replace("-", MINUS, 1) if text.startswith("-") else text
