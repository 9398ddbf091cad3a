"""External pressure coefficients (GCp) of components and cladding: the figures, and look-up in them.

The figures are data (``tables/wind_gcp.toml``). A figure or zone nobody could recall reliably holds no numbers:
asking for it raises :class:`~secondroof.errors.MissingError`, naming the figure a person must read. What a
person reads from their own copy is passed as :class:`EnteredCurve` and is used, and shown as such.
"""

from __future__ import annotations

import functools
import tomllib
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace
from importlib.resources import files
from itertools import pairwise
from typing import Any, Literal

import numpy as np
from numpy.typing import ArrayLike, NDArray

from secondroof.errors import InputError, MissingError, Problem
from secondroof.formula import formula

FloatArray = NDArray[np.float64]
IntArray = NDArray[np.intp]
Sign = Literal["negative", "positive"]
Points = tuple[tuple[float, float], ...]

EDITIONS = ("7-05", "7-10", "7-16", "7-22")
MAX_POINTS = 3
#: Key of a figure that is not held and was entered by a person; words on zones of which nothing is held.
ENTERED_KEY = "entered"
NOT_HELD = "from memory: nothing held"
ROOF_SHAPES = ("gable", "hip", "flat", "monoslope", "multispan gable")


@functools.cache
def load_table(name: str) -> Mapping[str, Any]:
    """One data file of ``loads/tables``, read once."""
    text = files("secondroof.loads").joinpath("tables", f"{name}.toml").read_text(encoding="utf-8")
    return tomllib.loads(text)


@dataclass(frozen=True, slots=True)
class EnteredCurve:
    """Curves of one zone read by a person from their own copy of the standard.

    Attributes
    ----------
    negative, positive : tuple of (float, float)
        Two or three end points each: effective wind area [ft2], (GCp) [-]; areas rising.
    page : str
        Page and figure read.
    by : str
        Who read it.
    """

    negative: Points = ()
    positive: Points = ()
    page: str = ""
    by: str = ""

    def __post_init__(self) -> None:
        problems = []
        if not self.page.strip():
            problems.append(
                Problem(
                    "page",
                    "",
                    "Entered coefficients need the page they were read from.",
                    "Give the page and figure number.",
                )
            )
        for name, points in (("negative", self.negative), ("positive", self.positive)):
            areas = [p[0] for p in points]
            values = [p[1] for p in points]
            given = repr(list(points))
            if len(points) > MAX_POINTS:
                problems.append(
                    Problem(name, given, "At most three end points.", "Give the ends of each straight part.")
                )
            if any(not np.isfinite(a) or a <= 0 for a in areas) or any(b <= a for a, b in pairwise(areas)):
                problems.append(Problem(name, given, "Areas must be above 0 ft2 and rise.", "Order by area."))
            bad = [v for v in values if not np.isfinite(v) or abs(v) > 10 or (v > 0) != (name == "positive")]
            if bad:
                problems.append(
                    Problem(name, given, f"Values must be {name} and within 10.", "Read the figure again.")
                )
        if problems:
            raise InputError(problems)


Entered = Mapping[str, EnteredCurve]


@dataclass(frozen=True, slots=True)
class Curves:
    """End points of every zone of a figure for one sign, padded to ``MAX_POINTS``.

    Attributes
    ----------
    area, value : ndarray, shape (n_zone, MAX_POINTS)
        End points [ft2], [-].
    known : ndarray of bool, shape (n_zone,)
        False where no values are held.
    """

    area: FloatArray
    value: FloatArray
    known: NDArray[np.bool_]


@dataclass(frozen=True, slots=True)
class Figure:
    """One (GCp) figure of one edition.

    Attributes
    ----------
    edition, key, label : str
        Edition, our key such as ``gable 0-7``, and the figure's number.
    zones : tuple of str
        Zone names; a zone code is the place in this tuple.
    slope_deg : tuple of float
        Slopes it serves, above the first (or from 0) to the second.
    overhang : bool
        True where values hold top and bottom surface together (no internal pressure).
    checked : tuple of str
        How each zone's values were checked.
    """

    edition: str
    key: str
    label: str
    zones: tuple[str, ...]
    slope_deg: tuple[float, float]
    overhang: bool
    negative: Curves
    positive: Curves
    checked: tuple[str, ...]
    shapes: tuple[str, ...] = field(repr=False, default=())

    @property
    def title(self) -> str:
        """Edition and figure number."""
        return f"ASCE {self.edition} {self.label}"

    def code(self, zone: str | Sequence[str] | ArrayLike) -> IntArray:
        """Zone names (or codes already) as codes."""
        if isinstance(zone, str):
            return np.asarray(self._one(zone), dtype=np.intp)
        given = np.asarray(zone)
        if given.dtype.kind in "iu":
            if given.size and (given.min() < 0 or given.max() >= len(self.zones)):
                raise InputError(
                    Problem(
                        "zone",
                        str(int(given.max())),
                        f"{self.title} has zone codes 0 to {len(self.zones) - 1}.",
                        f"They stand for {', '.join(self.zones)}.",
                    )
                )
            return given.astype(np.intp)
        names, inverse = np.unique(given.astype(str), return_inverse=True)
        codes = np.array([self._one(str(n)) for n in names], dtype=np.intp)
        return codes[inverse.reshape(given.shape)]

    def _one(self, zone: str) -> int:
        try:
            return self.zones.index(zone)
        except ValueError:
            raise InputError(
                Problem("zone", zone, f"{self.title} has zones {', '.join(self.zones)}.", "Use one of these.")
            ) from None


def _points(raw: Sequence[Sequence[float]]) -> tuple[FloatArray, FloatArray]:
    points = [(float(a), float(v)) for a, v in raw]
    while len(points) < MAX_POINTS:
        points.append((points[-1][0] * 10.0, points[-1][1]))  # level beyond the last end point
    return np.array([p[0] for p in points]), np.array([p[1] for p in points])


def _curves(zones: tuple[str, ...], table: Mapping[str, Any], missing: frozenset[str]) -> Curves:
    area = np.tile(np.array([10.0, 100.0, 1000.0]), (len(zones), 1))
    value = np.full((len(zones), MAX_POINTS), np.nan)
    known = np.zeros(len(zones), dtype=bool)
    for i, zone in enumerate(zones):
        raw = table.get(zone, table.get("all"))
        if raw is not None and zone not in missing:
            area[i], value[i] = _points(raw)
            known[i] = True
    return Curves(area, value, known)


@functools.cache
def _figures(edition: str) -> tuple[Figure, ...]:
    found = []
    for row in load_table("wind_gcp")["figure"]:
        if edition not in row["editions"]:
            continue
        zones = tuple(row["zones"])
        raw_missing = row.get("missing", [])
        missing = frozenset(zones if raw_missing == "all" else raw_missing)
        words = row.get("zone_checked", {})
        found.append(
            Figure(
                edition=edition,
                key=row["key"],
                label=row["editions"][edition],
                zones=zones,
                slope_deg=(row["slope_deg"][0], row["slope_deg"][1]),
                overhang=row.get("overhang", False),
                negative=_curves(zones, row.get("negative", {}), missing),
                positive=_curves(zones, row.get("positive", {}), frozenset()),
                checked=tuple(words.get(z, row["checked"]) for z in zones),
                shapes=tuple(row["shapes"]),
            )
        )
    return tuple(found)


def check_edition(edition: str) -> str:
    """The edition, or an error naming the ones known."""
    if edition not in EDITIONS:
        raise InputError(
            Problem(
                "edition",
                str(edition),
                f"Known editions of ASCE 7: {', '.join(EDITIONS)}.",
                "Use one of these.",
            )
        )
    return edition


def figures(edition: str) -> tuple[Figure, ...]:
    """All (GCp) figures known of an edition, those without values too."""
    return _figures(check_edition(edition))


def figure(edition: str, figure_key: str) -> Figure:
    """Figure of an edition by its key.

    Raises
    ------
    InputError
        No figure of that key; lists the keys.
    """
    for one in figures(edition):
        if one.key == figure_key:
            return one
    keys = ", ".join(f.key for f in figures(edition))
    raise InputError(
        Problem("figure_key", figure_key, f"ASCE {edition} figures known: {keys}.", "Use one of these.")
    )


def figure_for(edition: str, roof_shape: str, slope_deg: ArrayLike, *, overhang: bool = False) -> Figure:
    """Figure that serves a roof shape and slope.

    Parameters
    ----------
    edition, roof_shape : str
        Roof shape: gable, hip, flat, monoslope, multispan gable.
    slope_deg : numeric
        Roof slope(s), all inside one figure. [deg]
    overhang : bool
        Curves for overhangs.

    Raises
    ------
    InputError
        Slopes fall into several figures: group the roofs by slope first.
    MissingError
        No figure of this shape and slope is held.
    """
    if roof_shape not in ROOF_SHAPES:
        raise InputError(
            Problem(
                "roof_shape",
                str(roof_shape),
                f"Must be one of {', '.join(ROOF_SHAPES)}.",
                "Use one of these.",
            )
        )
    slopes = np.asarray(slope_deg, dtype=float)
    if slopes.size == 0 or not np.all(np.isfinite(slopes)) or slopes.min() < 0 or slopes.max() > 90:
        raise InputError(
            Problem("slope_deg", str(slope_deg), "Slope must be 0 to 90 degrees.", "Give degrees.")
        )
    low, high = float(slopes.min()), float(slopes.max())
    shape = roof_shape
    if roof_shape == "monoslope" and high <= 3.0:  # figure note
        shape = "flat"
    elif roof_shape == "monoslope" and low <= 3.0:
        raise InputError(
            Problem(
                "slope_deg",
                f"{low:g} to {high:g}",
                "Single-slope roofs up to and above 3 degrees differ.",
                "Work them apart.",
            )
        )
    elif roof_shape == "multispan gable" and high <= 10.0:  # figure note: as gable, theta <= 7
        shape, low, high = "flat", min(low, 7.0), min(high, 7.0)
    name = f"{shape} overhang" if overhang else shape
    known = [
        f
        for f in figures(edition)
        if name in f.shapes and not (shape == "monoslope" and f.key == "gable 0-7")
    ]
    for one in known:
        start, end = one.slope_deg
        if (low > start or start == 0.0) and high <= end:
            return one
    across = [f.key for f in known if f.slope_deg[1] > low and f.slope_deg[0] < high]
    if len(across) > 1:
        raise InputError(
            Problem(
                "slope_deg",
                f"{low:g} to {high:g}",
                f"Slopes fall into several figures: {', '.join(across)}.",
                "Work each slope class on its own.",
            )
        )
    raise MissingError(
        f"ASCE {edition} holds no component-and-cladding figure here for a {roof_shape} roof"
        f"{' overhang' if overhang else ''} of {high:g} degrees. Read the figure in your own copy of the standard and "
        "enter its zones under `ground_rules.entered_zones` and their end points (effective wind area in ft2, GCp) "
        "under `ground_rules.entered_coefficients`, each with its page, or have an engineer give the pressures."
    )


def with_entered(fig: Figure, entered: Entered | None) -> Figure:
    """A figure with the zones a person entered added after its own; the figure itself where there are none."""
    more = tuple(z for z in entered or () if z not in fig.zones)
    if not more:
        return fig
    return replace(
        fig,
        zones=(*fig.zones, *more),
        negative=_longer(fig.negative, len(more)),
        positive=_longer(fig.positive, len(more)),
        checked=(*fig.checked, *(NOT_HELD for _ in more)),
    )


def entered_figure(edition: str, entered: Entered) -> Figure:
    """A figure that is not held at all, made of nothing but what a person entered from it."""
    none = Curves(np.zeros((0, MAX_POINTS)), np.zeros((0, MAX_POINTS)), np.zeros(0, dtype=bool))
    pages = "; ".join(dict.fromkeys(curve.page for curve in entered.values()))
    bare = Figure(
        check_edition(edition), ENTERED_KEY, f"as entered, {pages}", (), (0.0, 90.0), False, none, none, ()
    )
    return with_entered(bare, entered)


def _longer(curves: Curves, more: int) -> Curves:
    blank = _curves(tuple(str(i) for i in range(more)), {}, frozenset())
    return Curves(
        np.concatenate([curves.area, blank.area]),
        np.concatenate([curves.value, blank.value]),
        np.concatenate([curves.known, blank.known]),
    )


@formula(
    "GCp",
    unit="-",
    clause="ASCE 7 (GCp) figures: straight line in log10 of the effective wind area",
    checked="verified: residential code 2018 Table R301.2(2), 20 and 50 ft2 rows",
)
def coefficient_between(
    A: ArrayLike, A_1: ArrayLike, GCp_1: ArrayLike, A_2: ArrayLike, GCp_2: ArrayLike
) -> Any:
    """External pressure coefficient between two end points of a figure [-].

    Parameters
    ----------
    A : numeric
        Effective wind area. [ft2]
    A_1 : numeric
        Area at the first end point. [ft2]
    GCp_1 : numeric
        Coefficient at the first end point. [-]
    A_2 : numeric
        Area at the second end point. [ft2]
    GCp_2 : numeric
        Coefficient at the second end point. [-]
    """
    return GCp_1 + (GCp_2 - GCp_1) * np.log10(np.minimum(np.maximum(A, A_1), A_2) / A_1) / np.log10(A_2 / A_1)  # type: ignore[operator]


def _with_entered(fig: Figure, sign: Sign, entered: Entered | None) -> Curves:
    held = fig.negative if sign == "negative" else fig.positive
    if not entered:
        return held
    area, value, known = held.area.copy(), held.value.copy(), held.known.copy()
    for zone, curve in entered.items():
        points = curve.negative if sign == "negative" else curve.positive
        if points:
            i = int(fig.code(zone))
            area[i], value[i] = _points(points)
            known[i] = True
    return Curves(area, value, known)


def checked_words(fig: Figure, entered: Entered | None = None) -> tuple[str, ...]:
    """How the values of each zone were checked, entered ones named with their page."""
    words = list(fig.checked)
    for zone, curve in (entered or {}).items():
        who = f" by {curve.by}" if curve.by else ""
        words[int(fig.code(zone))] = f"entered{who}, {curve.page}; not confirmed here"
    return tuple(words)


def missing_text(fig: Figure, zones: Sequence[str], sign: Sign) -> str:
    """What to say where a figure's values are not held."""
    which = fig.title if fig.key == ENTERED_KEY else f"{fig.title}, {fig.key.replace('-', ' to ')} degrees"
    field = "uplift" if sign == "negative" else "downward"
    return (
        f"{which}, zone {', '.join(zones)}: the {sign} (GCp) values are "
        "not held here, since they could not be recalled reliably. Look the figure up in your own copy of the "
        "standard and enter the end points (effective wind area in ft2, GCp) with their page, under "
        f"`ground_rules.entered_coefficients`, zone {', '.join(zones)}, `{field}`."
    )


def gcp(
    edition: str,
    figure_key: str,
    zone: str | Sequence[str] | ArrayLike,
    area_ft2: ArrayLike,
    sign: Sign,
    *,
    entered: Entered | None = None,
) -> Any:
    """External pressure coefficient (GCp) from a figure.

    Parameters
    ----------
    edition : str
        ``7-05``, ``7-10``, ``7-16`` or ``7-22``.
    figure_key : str
        Key of the figure, e.g. ``gable 0-7``; ``gable 0-7 overhang`` for overhangs.
    zone : str, sequence of str, or integer array
        Zone name(s), or codes (place in ``figure(...).zones``). Broadcasts with `area_ft2`.
    area_ft2 : numeric
        Effective wind area. [ft2]
    sign : str
        ``negative`` (away from the surface) or ``positive``.
    entered : mapping of str to EnteredCurve, optional
        Values a person read, by zone; used instead of what is held.

    Returns
    -------
    numeric
        (GCp). [-]

    Raises
    ------
    MissingError
        Values of the figure are not held and were not entered.
    InputError
        Unknown edition, figure or zone; area not above 0.
    """
    return coefficient_of(figure(edition, figure_key), zone, area_ft2, sign, entered=entered)


def coefficient_of(
    fig: Figure,
    zone: str | Sequence[str] | ArrayLike,
    area_ft2: ArrayLike,
    sign: Sign,
    *,
    entered: Entered | None = None,
) -> Any:
    """External pressure coefficient (GCp) from a figure in hand; see :func:`gcp`. [-]."""
    if sign not in ("negative", "positive"):
        raise InputError(Problem("sign", str(sign), "Sign is negative or positive.", "Use one of these."))
    fig = with_entered(fig, entered)
    curves = _with_entered(fig, sign, entered)
    code = fig.code(zone)
    area = np.asarray(area_ft2, dtype=float)
    if area.size and not area.min() > 0:
        raise InputError(
            Problem("area_ft2", str(area_ft2), "Effective wind area must be above 0 ft2.", "Give ft2.")
        )
    if not curves.known.all():
        lacking = [fig.zones[i] for i in np.unique(code) if not curves.known[i]]
        if lacking:
            raise MissingError(missing_text(fig, lacking, sign))
    if code.ndim == 0:
        i = int(code)
        a, v = curves.area[i], curves.value[i]
        if v[2] == v[1]:
            return coefficient_between(area, a[0], v[0], a[1], v[1])
        second = area > a[1]
        return coefficient_between(
            area,
            np.where(second, a[1], a[0]),
            np.where(second, v[1], v[0]),
            np.where(second, a[2], a[1]),
            np.where(second, v[2], v[1]),
        )
    three = curves.value[:, 2] != curves.value[:, 1]
    if not three.any():
        a, v = curves.area, curves.value
        return coefficient_between(area, a[code, 0], v[code, 0], a[code, 1], v[code, 1])
    step = ((area > curves.area[code, 1]) & three[code]).astype(np.intp)
    return coefficient_between(
        area,
        curves.area[code, step],
        curves.value[code, step],
        curves.area[code, step + 1],
        curves.value[code, step + 1],
    )
