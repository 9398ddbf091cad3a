"""People's units in, and out again. One table of factors; everything inside is in the units it names.

A *kind* says what is measured and which unit a bare number is in, e.g. ``Kind.LENGTH_FT``. People write
``24'-6 1/2"``, ``7.47 m``, ``0.060 in``, ``16 ga base``, ``1/2:12``; :func:`parse` turns that into the
kind's unit or says what is wrong and how to write it.
"""

from __future__ import annotations

import math
import re
from dataclasses import dataclass
from enum import Enum

from secondroof.errors import SecondroofError

IN_PER_M = 1 / 0.0254  # exact: 1 in = 25.4 mm (international yard and pound agreement, 1959)
LB_PER_KG = 1 / 0.45359237  # exact
LBF_PER_N = 1 / 4.4482216152605  # exact from the pound and standard gravity 9.80665 m/s2
PSF_PER_PA = LBF_PER_N * 0.3048**2


class UnitError(SecondroofError, ValueError):
    """A quantity that cannot be read: what is wrong, and how to write it."""

    def __init__(self, message: str, mend: str) -> None:
        super().__init__(f"{message} {mend}".strip())
        self.message = message
        self.mend = mend


@dataclass(frozen=True, slots=True)
class KindInfo:
    """What a kind of quantity is: its inside unit, the units accepted and an example."""

    unit: str
    what: str
    factors: dict[str, float]
    example: str


_IN = {
    "in": 1.0, "in.": 1.0, "inch": 1.0, "inches": 1.0, '"': 1.0,
    "ft": 12.0, "ft.": 12.0, "feet": 12.0, "foot": 12.0, "'": 12.0,
    "mil": 1e-3, "mils": 1e-3,
    "mm": IN_PER_M / 1000, "cm": IN_PER_M / 100, "m": IN_PER_M,
}  # fmt: skip
_FT = {k: v / 12 for k, v in _IN.items()}
_PSF = {"psf": 1.0, "lb/ft2": 1.0, "lb/sf": 1.0, "pa": PSF_PER_PA, "kpa": 1e3 * PSF_PER_PA, "kn/m2": 1e3 * PSF_PER_PA,
        "kg/m2": LB_PER_KG * 0.3048**2}  # fmt: skip
_LB = {"lb": 1.0, "lbs": 1.0, "lbf": 1.0, "kip": 1000.0, "kips": 1000.0, "n": LBF_PER_N, "kn": 1e3 * LBF_PER_N,
       "kg": LB_PER_KG, "ton": 2000.0}  # fmt: skip
_LB_FT = {"lb/ft": 1.0, "plf": 1.0, "lb/lf": 1.0, "n/m": LBF_PER_N * 0.3048, "kn/m": 1e3 * LBF_PER_N * 0.3048,
          "kg/m": LB_PER_KG * 0.3048}  # fmt: skip
_KSI = {
    "ksi": 1.0,
    "psi": 1e-3,
    "mpa": 1e6 * LBF_PER_N * 0.0254**2 / 1e3,
    "n/mm2": 1e6 * LBF_PER_N * 0.0254**2 / 1e3,
}
_MPH = {
    "mph": 1.0,
    "m/s": 3600 / 1609.344,
    "km/h": 1000 / 1609.344,
    "kn": 1852 / 1609.344,
    "knots": 1852 / 1609.344,
}
_FT2 = {"ft2": 1.0, "sf": 1.0, "sq ft": 1.0, "ft^2": 1.0, "square": 100.0, "squares": 100.0, "m2": (1 / 0.3048) ** 2,
        "in2": 1 / 144}  # fmt: skip
_IN_HR = {"in/hr": 1.0, "in/h": 1.0, "mm/h": IN_PER_M / 1000, "mm/hr": IN_PER_M / 1000}
_R = {"r": 1.0, "h ft2 f/btu": 1.0, "m2k/w": 5.678263337, "rsi": 5.678263337}


class Kind(Enum):
    """Kinds of quantity a person may write, each with the unit used inside."""

    LENGTH_FT = KindInfo("ft", "a length", _FT, "24'-6 1/2\", 24.54 ft or 7.48 m")
    LENGTH_IN = KindInfo("in", "a length", _IN, "1 3/8 in, 1.375 or 35 mm")
    THICKNESS_IN = KindInfo("in", "a sheet thickness", _IN, "0.0598 in, 1.52 mm or 16 ga base")
    PRESSURE_PSF = KindInfo("psf", "a load on an area", _PSF, "20 psf or 0.96 kPa")
    FORCE_LB = KindInfo("lb", "a force or weight", _LB, "210 lb or 0.93 kN")
    LINE_LOAD_LB_FT = KindInfo("lb/ft", "a load on a length", _LB_FT, "9 lb/ft or 0.13 kN/m")
    STRESS_KSI = KindInfo("ksi", "a stress or strength", _KSI, "50 ksi or 345 MPa")
    SPEED_MPH = KindInfo("mph", "a wind speed", _MPH, "115 mph or 51 m/s")
    AREA_FT2 = KindInfo("ft2", "an area", _FT2, "60 ft2 or 5.6 m2")
    RAIN_IN_HR = KindInfo("in/hr", "a rain intensity", _IN_HR, "7 in/hr or 178 mm/h")
    R_VALUE = KindInfo("h ft2 F/Btu", "a thermal resistance", _R, "R-19, 19 or 3.3 m2K/W")
    TEMPERATURE_F = KindInfo(
        "degF", "a temperature", {"f": 1.0, "degf": 1.0, "c": 1.8, "degc": 1.8}, "8 F or -13 C"
    )
    SLOPE_IN12 = KindInfo(
        "in/ft", "a slope", {"in/ft": 1.0, "deg": 0.0, "%": 0.12}, "1/4:12, 0.25 in/ft or 1.2 deg"
    )
    SHARE = KindInfo("-", "a share", {"%": 0.01}, "18 % or 0.18")
    NUMBER = KindInfo("-", "a number", {}, "1.0")

    @property
    def unit(self) -> str:
        """Unit used inside, in which a bare number is read."""
        return self.value.unit


# Manufacturers' standard gauge, uncoated design thickness [in], and galvanized sheet gauge, coated [in].
# Facts: sheet steel gauge tables; the coated column beyond 12 to 15 gauge is from memory.
GAUGE_BASE_IN = {12: 0.1046, 13: 0.0897, 14: 0.0747, 15: 0.0673, 16: 0.0598, 18: 0.0478, 20: 0.0359, 22: 0.0299,
                 24: 0.0239, 26: 0.0179, 28: 0.0149, 29: 0.0135}  # fmt: skip
GAUGE_COATED_IN = {12: 0.1084, 13: 0.0934, 14: 0.0785, 15: 0.0710, 16: 0.0635, 18: 0.0516, 20: 0.0396, 22: 0.0336,
                   24: 0.0276, 26: 0.0217, 28: 0.0187, 29: 0.0172}  # fmt: skip

_NUM = r"(?:\d[\d,]*\.?\d*|\.\d+)"
# A whole number and its fraction need a space or a hyphen between them: 13/16 is not 1 3/16.
_FRACTION = re.compile(
    rf"^(?:(?P<n>\d+)\s*/\s*(?P<d>\d+)|(?P<whole>{_NUM})(?:(?:\s+|\s*-\s*)(?P<n2>\d+)\s*/\s*(?P<d2>\d+))?)$",
    re.ASCII,
)
_MIXED = rf"(?:\d+\s*/\s*\d+|{_NUM}(?:(?:\s+|\s*-\s*)\d+\s*/\s*\d+)?)"
_FEET_INCHES = re.compile(
    rf"^(?P<ft>{_NUM})\s*(?:'|ft\.?|feet|foot)\s*-?\s*(?P<in>{_MIXED}?)\s*(?P<mark>\"|''|in\.?|inch|inches)?$",
    re.ASCII,
)
_GAUGE = re.compile(r"^(?P<g>\d+(?:\.\d+)?)\s*(?:ga|gauge)\.?\s*\(?(?P<c>[a-z ]*)\)?$", re.ASCII)
_LONGEST = 80  # characters of one written quantity
_SLOPE = re.compile(r"^(?P<rise>.+?)\s*(?::|in|on)\s*12$")


def parse(given: object, kind: Kind) -> float:
    """Read one quantity as a person writes it.

    Parameters
    ----------
    given : str, int or float
        A bare number is in the kind's own unit.
    kind : Kind
        What is measured.

    Returns
    -------
    float
        Value in ``kind.unit``.

    Raises
    ------
    UnitError
        With what is wrong and how to write it.
    """
    info = kind.value
    mend = f"Write {info.what} such as {info.example}."
    if isinstance(given, bool) or not isinstance(given, (str, int, float)):
        raise UnitError(f"is not {info.what}.", mend)
    if isinstance(given, (int, float)):
        return _finite(_float(given), mend)
    text = _plain(given)
    if len(text) > _LONGEST:
        raise UnitError(f"is too long to be {info.what}.", mend)
    if not text:
        raise UnitError("is empty.", mend)
    sign = 1.0
    if text[0] in "+-":
        sign, text = (-1.0 if text[0] == "-" else 1.0), text[1:].strip()
    value = _finite(_magnitude(text, kind, mend), mend)
    if kind is Kind.TEMPERATURE_F and text.endswith("c"):
        return sign * value * 1.8 + 32.0
    return sign * value


def _plain(text: str) -> str:
    table = str.maketrans(
        {
            "½": " 1/2",
            "¼": " 1/4",
            "¾": " 3/4",
            "⅛": " 1/8",
            "⅜": " 3/8",
            "⅝": " 5/8",
            "⅞": " 7/8",
            "⁄": "/",
            "°": "deg",
            "′": "'",
            "’": "'",
            "‘": "'",
            "″": '"',
            "”": '"',
            "“": '"',
            "−": "-",
            "–": "-",
            "\u00a0": " ",
            "²": "2",
        }
    )
    return re.sub(r"\s+", " ", text.translate(table)).strip().lower()


def _float(given: float | str) -> float:
    try:
        return float(given)
    except OverflowError:
        return math.inf


def _finite(value: float, mend: str) -> float:
    if not math.isfinite(value):
        raise UnitError("is not a finite number.", mend)
    return value


def _number(text: str) -> float | None:
    match = _FRACTION.match(text.strip())
    if not match:
        return None
    if match["n"]:
        part = _quotient(match["n"], match["d"])
        if part is not None and part > 1:
            raise UnitError(
                "may be a whole number and a fraction run together.", "Write 1 1/4 with a space, or 2.75."
            )
        return part
    whole, n, d = match["whole"], match["n2"], match["d2"]
    if "," in whole and not re.fullmatch(r"\d{1,3}(,\d{3})+(\.\d*)?", whole):
        return None
    value = float(whole.replace(",", ""))
    if n is None:
        return value
    part = _quotient(n, d)
    if part is None or part >= 1 or "." in whole:
        return None
    return value + part


def _quotient(n: str, d: str) -> float | None:
    return int(n) / int(d) if int(d) else None


def _magnitude(text: str, kind: Kind, mend: str) -> float:
    special = _special(text, kind, mend)
    if special is not None:
        return special
    plain = _number(text)
    if plain is not None:
        return plain
    match = re.match(rf"^(?P<n>{_MIXED})\s*(?P<u>[^\d\s/].*)$", text, re.ASCII)
    number = _number(match["n"]) if match else None
    if match is None or number is None:
        raise UnitError("cannot be read.", mend)
    unit = match["u"].strip()
    factors = kind.value.factors
    if unit not in factors:
        other = next((k for k in Kind if unit in k.value.factors and k is not kind), None)
        if other is not None:
            raise UnitError(
                f"is {other.value.what}, not {kind.value.what}: the unit {unit} does not belong here.", mend
            )
        raise UnitError(f"has a unit that is not known here: {unit}.", mend)
    if kind is Kind.TEMPERATURE_F:
        return number  # Celsius is turned after its sign, by the caller
    if kind is Kind.SLOPE_IN12 and unit == "deg":
        return 12 * math.tan(math.radians(number))
    return number * factors[unit]


def _special(text: str, kind: Kind, mend: str) -> float | None:
    """Forms that are more than a number and a unit; None where the text is not one of them."""
    if kind in (Kind.LENGTH_FT, Kind.LENGTH_IN, Kind.THICKNESS_IN):
        match = _FEET_INCHES.match(text)
        if match:
            feet = _number(match["ft"])
            inches = _number(match["in"]) if match["in"].strip() else 0.0
            if match["mark"] and not match["in"].strip():
                inches = None
            if match["in"].strip() and feet is not None and feet != int(feet):
                raise UnitError("has a fraction of a foot and inches beside it.", mend)
            if feet is None or inches is None:
                raise UnitError("cannot be read as feet and inches.", mend)
            if inches >= 12:
                raise UnitError("has 12 in or more after the feet.", mend)
            total_in = 12 * feet + inches
            return total_in / 12 if kind is Kind.LENGTH_FT else total_in
        if re.fullmatch(r"\d+\s*-\s*\d+", text):
            raise UnitError(
                "may be feet and inches or a range.", "Write feet and inches with marks, such as 24'-6\"."
            )
    if kind is Kind.THICKNESS_IN:
        match = _GAUGE.match(text)
        if match:
            return gauge_in(float(match["g"]), match["c"].strip())
    if kind is Kind.SLOPE_IN12:
        match = _SLOPE.match(text)
        if match:
            rise = _number(match["rise"])
            if rise is None:
                raise UnitError("cannot be read as a slope.", mend)
            return rise
    if kind is Kind.R_VALUE and text.startswith("r") and text[1:].lstrip("- "):
        return _number(text[1:].lstrip("- "))
    return None


def gauge_in(gauge: float, convention: str) -> float:
    """Sheet thickness of a gauge number. [in]

    Parameters
    ----------
    gauge : float
        Gauge number, 12 to 29.
    convention : str
        ``base`` (uncoated steel, manufacturers' standard gauge) or ``coated`` (galvanized sheet gauge,
        total thickness with zinc). A gauge without its convention is refused: 26 ga is 0.0179 in of steel
        or 0.0217 in with its coating.
    """
    tables = {"base": GAUGE_BASE_IN, "base steel": GAUGE_BASE_IN, "uncoated": GAUGE_BASE_IN, "coated": GAUGE_COATED_IN,
              "galvanized": GAUGE_COATED_IN}  # fmt: skip
    if convention not in tables:
        base, coated = GAUGE_BASE_IN.get(int(gauge)), GAUGE_COATED_IN.get(int(gauge))
        both = f" ({base} in of steel, or {coated} in with its coating)" if base and coated else ""
        raise UnitError(
            f"is a gauge without its convention{both}.",
            f"Write {gauge:g} ga base or {gauge:g} ga coated, or the thickness in inches.",
        )
    table = tables[convention]
    if gauge not in table:
        raise UnitError(
            "is a gauge not in the table.", f"Gauges known: {', '.join(map(str, table))}. Or write inches."
        )
    return table[int(gauge)]


def feet_inches(length_ft: float, denominator: int = 8) -> str:
    """Length as feet, inches and a fraction: ``24'-6 1/2"``."""
    total = round(abs(length_ft) * 12 * denominator)
    feet, rest = divmod(total, 12 * denominator)
    inches, part = divmod(rest, denominator)
    sign = "-" if length_ft < 0 and total else ""
    if part:
        divisor = math.gcd(part, denominator)
        fraction = f" {part // divisor}/{denominator // divisor}"
    else:
        fraction = ""
    return f"{sign}{feet}'-{inches}{fraction}\""
