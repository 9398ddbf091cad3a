"""Ground rules of several values that belong together: shown in a line each, typed in the text of the survey."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING

from secondroof.web.contexts import InText

if TYPE_CHECKING:
    from secondroof.survey.ground import GroundRules

#: Samples to type under ``ground_rules``; their numbers only show the form.
SAMPLES: dict[str, str] = {
    "hill": """\
  hill:
    shape: ridge
    height: 60 ft
    half_length: 200 ft
    from_crest: 50 ft
    downwind: true
    source: contour map, sheet and date
""",
    "entered_coefficients": """\
  entered_coefficients:
    - zone: 2r
      uplift: [[10, -2.3], [500, -1.1]]
      downward: [[10, 0.6], [200, 0.3]]
      page: figure and page you read
      by: who read it
""",
    "entered_zones": """\
  entered_zones:
    - zone: "1"
      rectangles: [[0, 0, 100, 30]]
      page: figure and page you read
    - zone: "2"
      rectangles: [[0, 30, 100, 80]]
      page: figure and page you read
""",
    "entered_thermal_factor": """\
  entered_thermal_factor:
    now: 1.0
    after: 1.1
    page: table and page you read
""",
    "code_then": """\
  code_then:
    wind_edition: 7-05
    wind_speed: 90 mph
    exposure: C
    ground_snow: 20 psf
    source: drawings, permit file or old map it comes from
""",
}


def _hill(rules: GroundRules) -> tuple[str, ...]:
    h = rules.hill
    if h is None:
        return ()
    side = "downwind" if h.downwind else "upwind"
    return (
        f"{h.shape}, H {h.height:g} ft, L_h {h.half_length:g} ft, building {h.from_crest:g} ft {side} of the crest; "
        f"{h.source}",
    )


def _curve(name: str, points: tuple[tuple[float, float], ...]) -> str:
    said = ", ".join(f"{value:+g} at {area:g} ft2" for area, value in points)
    return f"; {name} {said}" if points else ""


def _coefficients(rules: GroundRules) -> tuple[str, ...]:
    return tuple(
        f"zone {c.zone}{_curve('uplift', c.uplift)}{_curve('downward', c.downward)}; {c.page}"
        + (f", read by {c.by}" if c.by else "")
        for c in rules.entered_coefficients
    )


def _zones(rules: GroundRules) -> tuple[str, ...]:
    out = []
    for z in rules.entered_zones:
        area = sum((x1 - x0) * (y1 - y0) for x0, y0, x1, y1 in z.rectangles)
        n = len(z.rectangles)
        out.append(f"zone {z.zone}: {n} rectangle{'s' * (n > 1)}, {area:,.0f} ft2 in plan; {z.page}")
    return tuple(out)


def _thermal(rules: GroundRules) -> tuple[str, ...]:
    e = rules.entered_thermal_factor
    if e is None:
        return ()
    now, after = ("not entered" if v is None else f"{v:g}" for v in (e.now, e.after))
    return (f"C_t today {now}, with the recover {after}; {e.page}",)


def _then(rules: GroundRules) -> tuple[str, ...]:
    t = rules.code_then
    if t is None:
        return ()
    importance = ""
    if t.wind_edition == "7-05":
        given = "left out, by the risk category" if t.importance is None else f"{t.importance:g}"
        importance = f", importance factor {given}"
    snow = "" if t.ground_snow is None else f", ground snow {t.ground_snow:g} psf"
    return (
        f"ASCE {t.wind_edition}, V {t.wind_speed:g} mph, exposure {t.exposure}{importance}{snow}; {t.source}",
    )


_ROWS: dict[str, tuple[str, str, Callable[[GroundRules], tuple[str, ...]]]] = {
    "hill": ("The hill it stands on", "Where the topographic factor is to be worked out, not given.", _hill),
    "entered_coefficients": (
        "Wind coefficients you entered",
        "From your own copy of the standard, for zones whose coefficients are not held here.",
        _coefficients,
    ),
    "entered_zones": (
        "Wind zones you entered",
        "Rectangles along the ridge from frame 1 and across from the first eave; together they cover the roof once.",
        _zones,
    ),
    "entered_thermal_factor": (
        "Thermal factor you entered",
        "From your own copy of the standard, where the table is not held here.",
        _thermal,
    ),
    "code_then": (
        "The code of the building's day",
        "What the building was made for, beside what is asked today. It decides nothing that is required now.",
        _then,
    ),
}
#: Names under ``ground_rules`` that are typed in the text of the survey.
IN_TEXT = tuple(_ROWS)


def typed_in_text(rules: GroundRules) -> tuple[InText, ...]:
    """What stands under each of these ground rules, and how to type it."""
    return tuple(
        InText(title, about, lines(rules), SAMPLES[name]) for name, (title, about, lines) in _ROWS.items()
    )
