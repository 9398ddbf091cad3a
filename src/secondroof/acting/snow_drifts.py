"""Drifts on this roof: against higher roofs beside it, parapets, blocks and things that stand on it.

Each drift is a case of its own: balanced snow all over, and the triangle against the obstacle. In 7-22 leeward and
windward drifts are cases of their own too; before, the larger one is.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from typing import TYPE_CHECKING, cast

from secondroof.acting.model import Case, Part, Patch
from secondroof.acting.snow_faces import Face, behind, block_faces, laid_over, lying, pieces, room, wall_face
from secondroof.acting.snow_roof import Names, SnowRoof, feet, psf
from secondroof.checks.model import Need, Source
from secondroof.errors import InputError, MissingError
from secondroof.formula import recording
from secondroof.loads import snow_drift
from secondroof.loads.snow_drift import Drift
from secondroof.roof.facings import facings

if TYPE_CHECKING:
    from secondroof.survey.around import Facing
    from secondroof.survey.models import RoofItem

STEP_CLAUSE = "ASCE 7-10 and later 7.7.1"
APART_CLAUSE = "ASCE 7-10 and later 7.7.2"
PROJECTION_CLAUSE = "ASCE 7-10 and later 7.8"
#: A side of a projection shorter than this has no drift. [ft]
SHORTEST_SIDE_FT = 15.0
#: Buildings this far apart give no drift. [ft]
APART_FT = 20.0
DECIDES = "snow drifts on the lines beside it"
NO_WALL = "{field}.side {side}: no wall of this building looks there; its walls look {walls}"
#: Drifts at one face for a balanced snow: as the edition checks them, one or two.
Found = Callable[[float], tuple[Drift, ...]]


def drifts(state: SnowRoof) -> Part:
    """Every drift on this roof in one state."""
    names = Names()
    cases: list[Case] = []
    needs: list[Need] = []
    notes: list[str] = []
    for make in (_near, _parapets, _blocks, _items):
        part = make(state, names)
        cases += part.cases
        needs += part.needs
        notes += part.notes
    walls = sum(c.key.startswith("snow.drift.parapet-") for c in cases)
    if walls > 1:
        notes.append(
            "Drifts at two walls are cases of their own. Where they meet in a corner the larger counts at each point "
            "(ASCE 7-16 and later 7.7.3, from memory); both at once on one purlin are not in any case here."
        )
    return Part(tuple(cases), tuple(needs), tuple(notes))


def _drift_cases(
    state: SnowRoof,
    stem: str,
    title: str,
    face: Face,
    find: Found,
    clause: str,
    sources: dict[str, Source],
    *,
    gap_ft: float = 0.0,
    assumed: str = "",
) -> Part:
    """Cases of the drifts at one face; a note where the standard asks for none."""
    roof = state.site.roof
    found: dict[float, tuple[Drift, ...]] = {}
    with recording() as recorder:
        cut = pieces(roof, face)
        for plane, _ in cut:
            p_s = state.p_s(plane.name)
            if p_s in found:
                continue
            try:
                found[p_s] = find(p_s)
            except (MissingError, InputError) as error:
                return Part(needs=(cannot(error, title),))
    many = any(len(d) > 1 for d in found.values())
    cases = []
    for k in range(max((len(d) for d in found.values()), default=0)):
        patches: list[Patch] = []
        told: list[str] = []
        kind = ""
        for plane, piece in cut:
            p_s = state.p_s(plane.name)
            if k >= len(found[p_s]):
                continue
            d = found[p_s][k]
            peak, width = float(d.p_d_psf), float(d.width_ft)
            skip = (
                gap_ft if str(d.kind) == "windward" else 0.0
            )  # what would lie in the gap falls to the ground
            out = width - skip
            if not bool(d.required) or out <= 0 or peak <= 0:
                continue
            kind, near = str(d.kind), peak * out / width
            patches += lying(roof, piece, near, 0.0, out)
            text = (
                f"{kind} drift {psf(p_s + near)} against it ({psf(p_s)} balanced and {psf(near)} drifted), "
                f"down to {psf(p_s)} in {feet(out)}"
            )
            if out > room(roof, piece):
                text += ", cut where the roof ends"
            if text not in told:
                told.append(text)
        if not patches:
            continue
        cases.append(
            state.case(
                f"drift.{stem}-{kind}" if many else f"drift.{stem}",
                title,
                f"{title} {state.words}: {'; '.join(told)}.",
                clause,
                patches=laid_over(state.base, tuple(patches)),
                steps=tuple(recorder.steps),
                sources=sources,
                assumed=assumed,
            )
        )
    if cases:
        return Part(tuple(cases))
    return Part(
        notes=(f"{title} {state.words}: no drift asked; too low above the balanced snow, or too far off.",)
    )


def as_edition(edition: str, leeward: Drift, windward: Drift) -> tuple[Drift, ...]:
    """Drifts to be checked: both in 7-22, the larger before."""
    if edition == "7-22":
        return leeward, windward
    return (snow_drift.larger(leeward, windward),)


def _near(state: SnowRoof, names: Names) -> Part:
    """Higher roofs beside this one."""
    site, b = state.site, state.site.survey.building
    if b.roofs_near is None:
        if b.roofs_beside == "none":
            return Part()
        text = "roofs that join this one or stand within 20 ft: side, higher or lower, step, gap, size"
        return Part(needs=(Need(text, "building.roofs_near; an empty list where there are none", DECIDES),))
    out = Part()
    for i, other in enumerate(b.roofs_near):
        name = names.of(other.what)
        if other.stands != "higher":
            continue
        face = wall_face(site.survey, site.roof, other.side, other.first, other.last)
        if face is None:
            out = join(out, Part(needs=(no_wall(state, f"building.roofs_near[{i + 1}]", other.side),)))
            continue
        if other.gap >= APART_FT:
            out = join(
                out, Part(notes=(f"Drift at {other.what}: {feet(other.gap)} off, no drift from 20 ft on.",))
            )
            continue
        length = room(site.roof, face)
        step, gap, depth = other.step, other.gap, other.depth

        def joined(
            p_s: float, step: float = step, depth: float = depth, length: float = length
        ) -> tuple[Drift, ...]:
            lee, wind = snow_drift.drift_at_step(
                site.edition, site.p_g_psf, p_s, step, depth, length, site.risk, W_2=site.W_2
            )
            return as_edition(site.edition, lee, wind)

        def apart(
            p_s: float, step: float = step, gap: float = gap, depth: float = depth, length: float = length
        ) -> tuple[Drift, ...]:
            """Leeward past the gap; windward against its wall where that reaches over the gap, a second case."""
            lee = snow_drift.drift_from_neighbour(
                site.edition, site.p_g_psf, p_s, step, gap, depth, site.risk, W_2=site.W_2
            )
            wind = snow_drift.drift_at_parapet(
                site.edition, site.p_g_psf, p_s, step, length, site.risk, W_2=site.W_2
            )
            return (lee, wind) if _windward_matters(lee, wind, gap) else (lee,)

        where = Source(f"{other.what}: {feet(depth)} deep, this roof {feet(length)} square to it")
        sources = {"l_u": where, "h": Source(f"step to {other.what}, survey"), "s": Source("gap, survey")}
        out = join(
            out,
            _drift_cases(
                state,
                name,
                f"Drift at {other.what}",
                face,
                apart if gap > 0 else joined,
                drift_clause(gap),
                sources,
                gap_ft=gap,
                assumed="A windward drift's part over the gap is left out (7.7.2, from memory)."
                if gap > 0
                else "",
            ),
        )
    return out


def _windward_matters(lee: Drift, wind: Drift, gap_ft: float) -> bool:
    """A windward drift that reaches over the gap, and is not under the leeward one everywhere."""
    out = float(wind.width_ft) - gap_ft
    if not bool(wind.required) or out <= 0:
        return False
    near = float(wind.p_d_psf) * out / float(wind.width_ft)
    return near > float(lee.p_d_psf) or out > float(lee.width_ft)


def _parapets(state: SnowRoof, names: Names) -> Part:
    site, edges = state.site, state.site.survey.edges
    rows: list[tuple[Facing, float, float | None, float | None]] = [
        (p.side, p.height, p.first, p.last) for p in edges.parapet_walls or ()
    ]
    assumed = ""
    if edges.parapet_walls is None:
        if edges.parapet_all_round:
            rows = [
                (w, edges.parapet_all_round, None, None)
                for w in cast("tuple[Facing, ...]", facings(site.survey.building.first_plane_faces))
            ]
            assumed = (
                "The parapet is taken at its least height all round; a higher stretch has a larger drift."
            )
        elif (
            not (edges.parapets or "").strip().lower().startswith(("none", "no ")) and edges.parapets != "no"
        ):
            text = (
                "parapets: side and height of each (edges.parapet_walls; an empty list where there are none)"
            )
            return Part(needs=(Need(text, "every wall line, from the roof", DECIDES),))
    out = Part()
    for i, (side, height, first, last) in enumerate(rows):
        face = wall_face(site.survey, site.roof, side, first, last)
        if face is None:
            out = join(out, Part(needs=(no_wall(state, f"edges.parapet_walls[{i + 1}]", side),)))
            continue
        length = room(site.roof, face)

        def find(p_s: float, height: float = height, length: float = length) -> tuple[Drift, ...]:
            return (
                snow_drift.drift_at_parapet(
                    site.edition, site.p_g_psf, p_s, height, length, site.risk, W_2=site.W_2
                ),
            )

        sources = {
            "l_u": Source(f"this roof {feet(length)} square to the parapet"),
            "h": Source("height of the parapet, survey", bool(assumed)),
        }
        part = _drift_cases(
            state,
            names.of(f"parapet-{side}"),
            f"Drift at the {side} parapet",
            face,
            find,
            PROJECTION_CLAUSE,
            sources,
            assumed=assumed,
        )
        out = join(out, part)
    return out


def _blocks(state: SnowRoof, names: Names) -> Part:
    """Higher blocks that stand through this roof: snow from their own roof, and snow blown against them."""
    site = state.site
    out = Part()
    for block in site.survey.building.blocks:
        name = names.of(block.what)
        x0, x1 = sorted((block.along_from, block.along_to))
        y0, y1 = sorted((block.across_from, block.across_to))
        for looks, face in block_faces(site.survey, site.roof, x0, x1, y0, y1):
            own = (y1 - y0) if face.along_ridge else (x1 - x0)
            here = room(site.roof, face)
            fetch = max(here, behind(site.roof, face) - own)

            def find(
                p_s: float,
                h: float = block.height,
                own: float = own,
                here: float = here,
                fetch: float = fetch,
            ) -> tuple[Drift, ...]:
                lee, wind = snow_drift.drift_at_step(
                    site.edition,
                    site.p_g_psf,
                    p_s,
                    h,
                    own,
                    here,
                    site.risk,
                    W_2=site.W_2,
                    windward_length_ft=fetch,
                )
                return as_edition(site.edition, lee, wind)

            words = (
                f"block {feet(own)} for the leeward drift, the longer roof {feet(fetch)} for the windward one"
            )
            sources = {"l_u": Source(words), "h": Source(f"height of {block.what}, survey")}
            part = _drift_cases(
                state,
                f"{name}-{looks.lower()}",
                f"Drift at the {looks} face of {block.what}",
                face,
                find,
                STEP_CLAUSE,
                sources,
            )
            out = join(out, part)
    return out


def _items(state: SnowRoof, names: Names) -> Part:
    """Curbs and units with a side of 15 ft and more."""
    out = Part()
    for item in state.site.survey.roof_items or ():
        if item.kind in ("pipe", "ridge vent", "skylight", "smoke vent") and not _long(item):
            continue
        if (item.width is None or item.length is None) and item.kind == "unit":
            text = f"size of {item.what}: width along the ridge and length up the slope"
            why = "whether a side of 15 ft or more makes a snow drift"
            out = join(out, Part(needs=(Need(text, "roof_items, its place on the roof", why),)))
        if not _long(item):
            continue
        out = join(out, _one_item(state, names, item))
    return out


def _long(item: RoofItem) -> bool:
    return max(item.width or 0.0, item.length or 0.0) >= SHORTEST_SIDE_FT


def _one_item(state: SnowRoof, names: Names, item: RoofItem) -> Part:
    site, roof = state.site, state.site.roof
    plane = next((p for p in roof.planes if p.name == item.plane), None)
    if plane is None and len(roof.planes) == 1:
        plane = roof.planes[0]
    lacking = [
        words
        for words, value in (
            ("plane", plane),
            ("along", item.along),
            ("up_slope", item.up_slope),
            ("width", item.width),
            ("length", item.length),
            ("height", item.height),
        )
        if value is None
    ]
    if item.count > 1:
        lacking.append("each one on its own, with its place")
    if lacking:
        text = f"{item.what}, a side of 15 ft or more: {', '.join(lacking)}"
        return Part(needs=(Need(text, "roof_items, taped on the roof", DECIDES),))
    assert plane is not None
    assert item.along is not None
    assert item.up_slope is not None
    assert item.width is not None
    assert item.length is not None
    assert item.height is not None
    flat = math.cos(math.radians(plane.slope_deg))
    way = 1.0 if plane.y_top_ft > plane.y_eave_ft else -1.0
    y, x, h = plane.y_eave_ft + way * item.up_slope * flat, item.along, item.height / 12
    half_x, half_y = item.width / 2, item.length * flat / 2
    out = Part()
    name = names.of(item.what)
    for looks, face in block_faces(site.survey, roof, x - half_x, x + half_x, y - half_y, y + half_y):
        side = item.width if face.along_ridge else item.length
        if side < SHORTEST_SIDE_FT:
            continue
        own = 2 * (half_y if face.along_ridge else half_x)
        fetch = max(room(roof, face), behind(roof, face) - own)

        def find(p_s: float, fetch: float = fetch) -> tuple[Drift, ...]:
            return (
                snow_drift.drift_at_parapet(
                    site.edition, site.p_g_psf, p_s, h, fetch, site.risk, W_2=site.W_2
                ),
            )

        sources = {
            "l_u": Source(f"the longer roof, {feet(fetch)}"),
            "h": Source(f"height of {item.what} above the old roof, survey"),
        }
        part = _drift_cases(
            state,
            f"{name}-{looks.lower()}",
            f"Drift at the {looks} side of {item.what}",
            face,
            find,
            PROJECTION_CLAUSE,
            sources,
        )
        out = join(out, part)
    return out


def no_wall(state: SnowRoof, field: str, side: str) -> Need:
    """What is missing where a side is none of the four walls."""
    walls = ", ".join(facings(state.site.survey.building.first_plane_faces))
    return Need(NO_WALL.format(field=field, side=side, walls=walls), field, DECIDES)


def cannot(error: MissingError | InputError, title: str) -> Need:
    """What is missing, or out of what the clauses know, where a load could not be worked out."""
    if isinstance(error, MissingError):
        return Need(str(error), "ground_rules.winter_wind", "unbalanced snow and drifts", "estimator")
    return Need(f"{title}: {error}", "the survey's place of it", DECIDES, "engineer")


def drift_clause(gap_ft: float) -> str:
    """Clause of a drift at a step, or past a gap."""
    return APART_CLAUSE if gap_ft > 0 else STEP_CLAUSE


def join(a: Part, b: Part) -> Part:
    """Two parts as one."""
    return Part(a.cases + b.cases, a.needs + b.needs, a.notes + b.notes)
