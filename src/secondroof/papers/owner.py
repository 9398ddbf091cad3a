"""The owner's page: one answer, one picture, what was found, what is open, what happens next, in plain words."""

from __future__ import annotations

import math
import re
from typing import TYPE_CHECKING, Any

from secondroof.papers.words import first_sentence, listed, ratio_text, spacing_state

if TYPE_CHECKING:
    from secondroof.checks.model import Check, State
    from secondroof.findings.model import Findings
    from secondroof.survey.models import Survey

TITLES: dict[State, str] = {
    "holds": "On what was found, the new roof would hold",
    "short": "Not yet: as drawn, the new roof would not hold everywhere",
    "unknown": "Not known yet: facts are missing before anyone can say the new roof holds",
    "engineer": "As far as worked out the new roof holds; a licensed engineer must decide the rest",
}
OLD_ROOF = {
    "sits": "The old sheet lies on the purlins, the long steel members under it.",
    "low": "The old sheet stands a little above the purlins, the long steel members under it.",
    "floats": "The old sheet stands on clips, clear above the purlins, the long steel members under it.",
    "mixed": "The old sheet does not lie alike everywhere over the purlins, the long steel members under it.",
    "unknown": "How the old sheet lies over the purlins, the long steel members under it, was not read.",
}
LINKS = {
    "panel": "the new panel and the clips that hold it",
    "clip screws": "the screws of the clips",
    "line to bracket": "the screws between new line and bracket",
    "pull-out": "the screws in the old purlin",
    "pull-over": "the foot of the new line under the screw heads",
    "shear": "the screws, pushed down the slope",
    "combined": "the screws, pulled and pushed together",
    "screw": "the screw itself",
    "bracket": "the base bracket itself",
    "line bending": "the new line between its fixings",
    "framing kind": "whether this kind of framing may stand on this old roof",
    "rib fit": "whether the notches stay on the old ribs",
}
#: Words of the trade that may stand on the page, each told once where it is used.
GLOSS = (
    (r"", "zone: part of the roof, by how hard the wind pulls there"),
    (r"\bpsf\b", "psf: pounds on each square foot"),
    (r"\buplift\b", "uplift: wind pulling the roof up"),
    (r"\bclips?\b", "clip: hidden piece that holds a panel down"),
    (r"\bnew lines?\b", "new line: steel set on the old roof that carries the new one"),
    (r"\bdiaphragm\b", "diaphragm: roof sheet that keeps a building from racking"),
    (r"\bstandoff\b", "standoff: gap between old sheet and purlin"),
    (r"\bsub-framing\b", "sub-framing: low steel between old and new roof"),
    (r"\bribs?\b", "rib: the raised part of a sheet"),
    (r"\bcurbs?\b", "curb: raised frame round an opening"),
    (r"\bblanket\b", "blanket: soft insulation under the sheet"),
    (r"\bbracket\b", "bracket: post that carries the new line through the old sheet"),
    (r"\bscuppers?\b", "scupper: hole that lets water out through a parapet"),
    (r"\bcoupon\b", "coupon: small piece of steel cut out for a strength test"),
    (r"\b5 percent\b", "5 percent rule: how much more the code lets old steel carry unproven"),
)
MOST = 5


def owner_data(f: Findings, survey: Survey) -> dict[str, Any]:
    """Everything the owner's page prints, as plain JSON values."""
    body = {
        "title": _title(f),
        "found": _found(f),
        "short": _short(f),
        "unknown": _unknown(f),
        "engineer": _engineer(f),
        "weight": _weight(f),
        "next": _next(f),
    }
    cautions = [first_sentence(t) for t in f.cautions.get("owner", ())]
    return {
        "job": f.job,
        "paper": f"Owner's summary, recover {f.recover}",
        "version": f.version,
        "foot": ("Invented example. " if f.invented else "")
        + "No one goes on the roof before skylights and soft sheet are covered or guarded.",
        "recover": f.recover,
        "recover_title": f.recover_title,
        "invented": f.invented,
        "place": survey.job.place or "",
        "states": {name: getattr(f.verdict, name).state for name in ("new_work", "old_steel", "open")},
        **body,
        "cautions": cautions,
        "gloss": gloss(" ".join(_words(body)) + " " + " ".join(cautions)),
    }


def _words(value: Any) -> list[str]:
    if isinstance(value, str):
        return [value]
    parts = value.values() if isinstance(value, dict) else value
    return [w for part in parts for w in _words(part)]


def gloss(text: str) -> list[str]:
    """What the words of the trade in a text mean."""
    return [told for word, told in GLOSS if re.search(word, text, re.IGNORECASE)]


def zone_place(zone: str, zones: tuple[str, ...]) -> str:
    """Where a wind zone lies, as an owner would point to it."""
    if zone.startswith("3"):
        return "at the corners"
    if zone.startswith("2"):
        return "along the edges"
    if zone == "1" and "1'" in zones:
        return "in the band inside the edges"
    return "in the middle of the roof"


def _title(f: Findings) -> str:
    if any(c.key == "framing kind" and c.state == "short" for c in f.checks):
        return "No: this kind of framing must not stand on this old roof"
    return TITLES[f.verdict.new_work.state]


def _found(f: Findings) -> list[str]:
    r = f.roof
    readings = sum(x.count for x in f.old_roof.regions)
    read = f" {readings} readings of the gap say so." if readings and f.old_roof.kind != "unknown" else ""
    kinds = {k: listed(f.old_roof.open_kinds) for k in ("open",)}["open"]
    return [
        f"The roof is {r.length_ft:,.0f} by {r.width_ft:,.0f} ft, {r.area_ft2:,.0f} square feet, "
        f"on {len(r.lines)} lines of purlins.",
        OLD_ROOF.get(f.old_roof.kind, f.old_roof.sentence) + read,
        f"Kind of new framing that may stand on it: {kinds}." if kinds else "No kind of framing is open yet.",
        *([f"For wind the building counts as {f.enclosure}."] if f.enclosure else []),
        *_snow(f),
    ]


#: Snow all over below this is no heavier than the men and tools every roof is made for. [psf]
USUAL_PSF = 20.0


def _snow(f: Findings) -> list[str]:
    """Snow in one sentence, where it is heavy or drifts."""
    here = [c for c in f.cases if c.kind == "S" and c.when != "before" and c.psf is not None and c.line]
    if not here:
        return []
    even = max((c.psf or 0.0 for c in here if c.key.startswith("snow.balanced")), default=0.0)
    most = max(here, key=lambda c: c.psf or 0.0)
    worst = most.psf or 0.0
    if worst <= USUAL_PSF:
        return []
    where = "in drifts" if most.key.startswith("snow.drift") else "where the wind piles it up"
    if worst > 1.05 * even:
        return [f"Snow: {even:.0f} pounds on each square foot all over, up to {worst:.0f} {where}."]
    return [f"Snow: {even:.0f} pounds on each square foot."]


def _new(f: Findings, state: State) -> list[Check]:
    return [c for c in f.checks if c.whose == "new" and c.state == state and c.id[0] in "PHR"]


def _short(f: Findings) -> list[str]:
    zones = tuple(dict.fromkeys(z.zone for z in f.zones))
    worst: dict[str, Check] = {}
    out = []
    for c in _new(f, "short"):
        if c.zone is None:
            out.append(f"Short: {LINKS.get(c.key, c.what.lower())}.")
        elif c.zone not in worst or (c.ratio or 0) > (worst[c.zone].ratio or 0):
            worst[c.zone] = c
    for zone, c in worst.items():
        place = zone_place(zone, zones)
        part = LINKS.get(c.key, c.what.lower())
        out.append(
            f"{place[:1].upper()}{place[1:]}, a design storm asks {ratio_text(c.ratio)} times what "
            f"{part} can hold."
        )
    out += _old_purlins(f)
    old = [c.what.lower() for c in f.checks if c.id[0] == "S" and c.state == "short" and c.key not in PURLINS]
    if old:
        out.append(f"Old steel, short by today's rules: {listed(old, 3)}.")
    return out or ["Nothing that could be worked out is short."]


#: Rows of the old steel that one sentence on the old purlins tells.
PURLINS = frozenset({"purlin gravity", "purlin pressed", "purlin lifted", "purlin deflection"})


def _old_purlins(f: Findings) -> list[str]:
    """How much of the old purlins falls short by today's code, today and with the new roof."""
    p = f.purlins
    if p is None:
        return []
    short = {s: (p.down[s].state == "short") | (p.up[s].state == "short") for s in ("before", "after")}
    total, n, was = short["after"].size, int(short["after"].sum()), int(short["before"].sum())
    if not n:
        return []
    less = "as many as today" if n == was else f"today {was:,}"
    return [
        f"Of {total:,} stretches of old purlin {n:,} are too weak for today's code with the new roof on, {less}."
    ]


def _unknown(f: Findings) -> list[str]:
    if not f.missing:
        return ["Nothing is missing."]
    shown = [f"{n.what[:1].upper()}{n.what[1:]}." for n in f.missing[:MOST]]
    rest = len(f.missing) - len(shown)
    return [*shown, f"And {rest} more, listed in the submittal."] if rest else shown


def _engineer(f: Findings) -> list[str]:
    whats = [c.what for c in f.checks if c.state == "engineer"]
    if not whats:
        return ["Nothing is left to an engineer's judgement; a seal may still be asked."]
    different = list(dict.fromkeys(whats))
    return [f"{w}." for w in different[:MOST]] + (
        [f"And {len(different) - MOST} more."] if len(different) > MOST else []
    )


def _weight(f: Findings) -> dict[str, str]:
    if not math.isfinite(f.added_psf):
        return {"psf": "", "pounds": ""}
    pounds = f.added_psf * f.roof.area_ft2
    return {"psf": f"{f.added_psf:.2f} psf", "pounds": f"{round(pounds, -3):,.0f} pounds over the whole roof"}


def _next(f: Findings) -> list[str]:
    steps = []
    if f.missing:
        who = listed([f"the {n.who}" for n in f.missing])
        steps.append(f"What is missing is got: {len(f.missing)} items, by {who}.")
    if any(c.state == "short" for c in f.checks if c.whose == "new"):
        closer = any(spacing_state(x) == "short" and x.holds_ft is not None for x in f.spacing)
        ways = "lines closer together, more screws, or another panel" if closer else "another proposal"
        steps.append(f"The proposal is changed where it is short: {ways}; then checked again.")
    if any(c.state == "engineer" for c in f.checks):
        steps.append("A licensed engineer decides the points left to one, with the submittal.")
    if any(c.asked == "ask the official" for c in f.checks):
        steps.append("The building official is asked where the code can be read two ways.")
    steps.append("Then pieces, price and days follow.")
    return steps
