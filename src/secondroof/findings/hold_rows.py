"""Hold-down rows: for every link and zone the governing stretch, worked again alone with its card."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, Any

import numpy as np

from secondroof.acting.wind import elevation_left_out, uplift_combination
from secondroof.checks.model import Check, Need, OtherWay, Source, State, state_of
from secondroof.checks.steps import singled
from secondroof.errors import SecondroofError
from secondroof.findings.context import LOW_FU_KSI, Context, other_wind
from secondroof.findings.words import amount, line_name, said, share_words, stretch_place, zone_words
from secondroof.formula import Step, recording
from secondroof.loads.wind import PARAPET_HEIGHT_FT
from secondroof.recover import formulas as f
from secondroof.recover.chain import Link
from secondroof.recover.holddown import at, stretch_of

if TYPE_CHECKING:
    from secondroof.acting.wind import Wind

AGREE = 1e-12
#: Parts whose demand comes from wind; the load card of the part is named beside the pressure.
PRESSURE_OF = {"panel": "p_panel_psf", "clip": "p_clip_psf", "screw": "p_screw_psf", "line": "p_line_psf"}


@dataclass(frozen=True, slots=True)
class Try:
    """One stretch under changed conditions; None keeps what is there."""

    wind: Wind | None = None
    Fu2_ksi: float | None = None
    more_screws: int = 0
    spacing_share: float = 1.0
    dead_share: float = 0.0
    factor: float = 1.0


def worked(c: Context, i: int, link: Link, change: Try | None = None) -> float:
    """Ratio of one link on one stretch under changed conditions; NaN where unknown."""
    change = change or Try()
    s = at(c.hold.stretch, i)
    design = c.design if change.Fu2_ksi is None else replace(c.design, Fu2_ksi=change.Fu2_ksi)
    s = replace(s, n=s.n + change.more_screws)
    if change.wind is not None or change.spacing_share != 1.0:
        s, _ = stretch_of(
            change.wind or c.wind,
            design,
            c.strips.names,
            c.strips.share[i],
            s.b_ft * change.spacing_share,
            s.gap_ft * change.spacing_share,
            s.t_2_in,
            s.n,
            s.theta_deg,
        )
    if change.dead_share or change.factor != 1.0:
        less = change.dead_share * design.dead_new_psf
        p = {name: np.maximum(change.factor * getattr(s, name) - less, 0.0) for name in PRESSURE_OF.values()}
        s = replace(s, **p)
    return float(link.work(s, design).ratio)


def link_state(ratio: Any, judged_by_engineer: bool) -> State:
    """State of one link on one stretch."""
    if np.isnan(ratio):
        return "engineer" if judged_by_engineer else "unknown"
    return state_of(float(ratio))


def card_numbers(c: Context) -> dict[tuple[str, str], tuple[str, int]]:
    """Card number and governing stretch of every link in every zone, worst zone first within a link."""
    zones = [z for z in c.roof.zones if (c.strips.zone == z).any()]
    count = {"H": 0, "P": 0}
    found = {}
    for link in c.hold.links:
        for zone in zones:
            i = governing(c, link, zone)
            if i is not None:
                count[link.prefix] += 1
                found[link.key, zone] = (f"{link.prefix}-{count[link.prefix]:02d}", i)
    return found


def hold_rows(c: Context) -> tuple[Check, ...]:
    """Governing row of every link in every zone; a plane without lines is unknown."""
    links = {link.key: link for link in c.hold.links}
    rows = [stretch_row(c, i, links[key], number) for (key, _), (number, i) in card_numbers(c).items()]
    return (*_no_lines(c), *rows)


def rows_at(c: Context, i: int) -> tuple[Check, ...]:
    """Every link on one stretch, under the card numbers of its zone."""
    numbers = card_numbers(c)
    rows = []
    for link in c.hold.links:
        zone = next(z for z in c.roof.zones if in_zone(c, link, z)[i])
        rows.append(stretch_row(c, i, link, numbers[link.key, zone][0]))
    return tuple(rows)


def _no_lines(c: Context) -> Iterator[Check]:
    """A plane whose purlin lines were not taped can hold nothing that is known."""
    bare = [p.name for p in c.roof.planes if not p.lines]
    for i, plane in enumerate(bare):
        need = Need(
            f"purlin lines of the {plane} slope",
            "tape from the eave strut up the slope, every line",
            "where the new lines lie and what each must hold",
        )
        text = f"The purlin lines of the {plane} slope were not taped: what holds the new roof is not known."
        yield Check(
            id=f"H-00{chr(97 + i) if len(bare) > 1 else ''}",
            key="lines",
            what="Lines the new roof would be fixed to",
            where=f"{plane} slope",
            whose="new",
            state="unknown",
            clause="common practice, no source",
            sentence=said("unknown", text),
            needs=(need,),
            plane=plane,
        )


def in_zone(c: Context, link: Link, zone: str) -> np.ndarray:
    """Stretches a zone answers for: where the line lies, or for the panel the worst zone its span touches."""
    if link.area != "panel":
        return np.asarray(c.strips.zone == zone)
    first = np.argmax(c.strips.share > 1e-6, axis=1)  # zones stand worst first
    return np.array([c.strips.names[k] == zone for k in first])


def governing(c: Context, link: Link, zone: str) -> int | None:
    """Stretch that governs a link in a zone: the largest ratio, or the first unknown where none is short.

    None where no stretch of the zone asks anything of the link.
    """
    here = np.flatnonzero(in_zone(c, link, zone))
    if not here.size:
        return None
    ratio = np.broadcast_to(np.asarray(c.hold.held[link.key].ratio, float), c.strips.zone.shape)[here]
    known = np.where(np.isnan(ratio), -np.inf, ratio)
    worst = int(np.argmax(known))
    if known[worst] <= 1.0 and np.isnan(ratio).any():
        demand = np.broadcast_to(np.asarray(c.hold.held[link.key].demand, float), c.strips.zone.shape)[here]
        demand = np.where(np.isnan(ratio), np.nan_to_num(demand, nan=0.0), -np.inf)
        worst = int(np.argmax(demand))
    return int(here[worst])


def stretch_row(c: Context, i: int, link: Link, number: str) -> Check:
    """One link on one stretch, worked alone with the recorder on; it must agree with the batch."""
    s = at(c.hold.stretch, i)
    with recording() as recorder:
        held = link.work(s, c.design)
        demand, capacity, ratio = float(held.demand), float(held.capacity), float(held.ratio)
        if held.unit != "-" and not np.isnan(ratio):
            f.demand_over_capacity(demand, capacity)
    batch = float(np.broadcast_to(np.asarray(c.hold.held[link.key].ratio, float), c.strips.zone.shape)[i])
    if not (np.isnan(batch) and np.isnan(ratio)) and abs(batch - ratio) > AGREE * max(1.0, abs(batch)):
        raise SecondroofError(
            f"Our fault: {link.key} worked alone gives {ratio!r}, with the whole roof {batch!r}."
        )
    state = link_state(ratio, link.judged_by_engineer)
    need = _need(c, link) if state == "unknown" else None
    return Check(
        id=number,
        key=link.key,
        what=link.title,
        where=stretch_place(c, i),
        whose="new",
        state=state,
        clause=link.clause,
        sentence=_sentence(c, i, link, state, demand, capacity, held.unit, ratio, need),
        demand=None if np.isnan(demand) else demand,
        capacity=None if np.isnan(capacity) else capacity,
        unit=held.unit,
        ratio=None if np.isnan(ratio) else ratio,
        asked="required",
        asked_why="the new covering and how it is fixed must hold today's wind (IBC chapter 16)",
        basis=_basis(c, i, link),
        steps=_once(recorder.steps),
        sources=_sources(c, i, link),
        both_ways=_both_ways(c, i, link, ratio) if state in ("holds", "short") else (),
        moves=_moves(c, i, link) if state in ("holds", "short") else (),
        needs=() if need is None else (need,),
        plane=str(c.strips.plane[i]),
        line=int(c.strips.line[i]),
        zone=str(c.strips.zone[i]),
        x0_ft=float(c.strips.x0_ft[i]),
        x1_ft=float(c.strips.x1_ft[i]),
    )


def _once(steps: list[Step]) -> tuple[Step, ...]:
    """Steps in order, each printed once."""
    seen, out = set(), []
    for step in singled(steps):
        key = (step.title, step.symbol, repr(step.inputs), repr(step.result))
        if key not in seen:
            seen.add(key)
            out.append(step)
    return tuple(out)


def _need(c: Context, link: Link) -> Need | None:
    if c.wind_need is not None:
        return c.wind_need
    if np.isnan(c.design.pitch_ft):
        return Need(
            "distance of the old ribs (rib module)",
            "calipers over one panel, three places",
            "how many flats, so how many screws, a foot of line has",
        )
    return link.missing(c.design)


def _sentence(
    c: Context,
    i: int,
    link: Link,
    state: State,
    demand: float,
    capacity: float,
    unit: str,
    ratio: float,
    need: Need | None,
) -> str:
    where = f"Line {line_name(c, i)} in {zone_words(str(c.strips.zone[i]))}"
    if state == "unknown":
        asked = "" if np.isnan(demand) or unit == "-" else f" {where} asks {amount(demand, unit)} of it."
        missing = "what it holds" if need is None else need.what
        get = "" if need is None else f" Get it from: {need.where}."
        return said(state, f"{link.title}: missing is the {missing}.{asked}{get}")
    if state == "engineer":
        asked = f"{where[0].lower() + where[1:]} asks {amount(demand, unit)}"
        return said(
            state, f"{link.title}: {asked}; what it can carry is not worked out here. Ask {link.help}."
        )
    if unit == "-":
        text = f"{where}: shear and tension together use {amount(ratio, '-')} of what is allowed (1.00)."
    else:
        text = f"{where} asks {amount(demand, unit)}; there is {amount(capacity, unit)}, ratio {amount(ratio, '-')}."
    if state == "short":
        return said(state, f"{text} What helps: {link.help}.")
    if ratio > 0.95:
        return f"Holds, by {100 * (1 - ratio):.0f} %. {text}"
    return said(state, text)


def _basis(c: Context, i: int, link: Link) -> str:
    parts = [f"{c.enclosure.used}{' (assumed)' if c.enclosure.assumed else ''}", share_words(c, i)]
    if c.edition is not None and link.key != "shear":  # that one is weight alone
        parts.insert(0, f"{uplift_combination(c.edition).ASD} of ASCE {c.edition}, ASD, with no D counted")
    t = c.thickness[i]
    if t is not None and link.key in ("pull-out", "shear", "combined"):
        parts.append(f"old steel {t.value_in:.4f} in, {t.rule}")
        if c.survey.purlins.tensile_basis == "assumed":
            parts.append(f"Fu {c.design.Fu2_ksi:g} ksi assumed")
    return "; ".join(parts)


def _sources(c: Context, i: int, link: Link) -> dict[str, Source]:
    t = c.thickness[i]
    p = c.survey.purlins
    basis = p.tensile_basis or "not said how"
    found = {
        "p": Source(f"{link.area} uplift, {share_words(c, i)}, {c.enclosure.used}", c.enclosure.assumed),
        "b": Source("half way to the next line each side, as taped"),
        "F_u2": Source(f"old purlin, {basis}", basis == "assumed"),
        "F_y2": Source(
            f"old purlin, {p.yield_basis or 'not said how'}", p.yield_basis in ("assumed", "chalk mark")
        ),
        "demand": Source("above"),
        "capacity": Source("above"),
    }
    if t is not None:
        where = Source(f"{t.rule}{'; ' + t.note if t.note else ''}", t.assumed)
        found |= {"t_2": where, "t_c": where}
    screw = c.recover.framing.screw
    if screw is not None:
        found |= dict.fromkeys(("P_nts", "P_nvs"), Source(f"the screw's own test: {screw.source}"))
    return found | dict(link.sources(c.design))


def _way(label: str, ratio: float, used: bool = False) -> OtherWay:
    unknown = np.isnan(ratio)
    return OtherWay(label, None if unknown else ratio, "unknown" if unknown else state_of(ratio), used)


def _both_ways(c: Context, i: int, link: Link, ratio: float) -> tuple[OtherWay, ...]:
    ways = [_way(f"as used: {c.enclosure.used}, no dead load counted", ratio, used=True)]
    if c.design.dead_new_psf:
        share = 0.6
        ways.append(
            _way(
                f"0.6 of the new {c.design.dead_new_psf:.2f} psf counted",
                worked(c, i, link, Try(dead_share=share)),
            )
        )
    bare = _without_parapet(c, i, link)
    if bare is not None and bare != ratio:
        tall = f"{c.wind.parapet_ft:g} ft" if c.wind else ""
        ways.append(_way(f"the relief of the {tall} parapet not counted", bare))
    factor_e = elevation_left_out(c.survey.ground_rules)
    if c.wind is not None and factor_e is not None:
        lower = worked(c, i, link, Try(wind=replace(c.wind, use_K_e=True)))
        if lower != ratio:
            ways.append(_way(f"with the ground elevation factor {factor_e:.2f}", lower))
    for label, enclosure in c.enclosure.others:
        ways.append(_way(label, worked(c, i, link, Try(wind=other_wind(c, enclosure)))))
    purlins = c.survey.purlins
    if (
        purlins.tensile_basis == "assumed"
        and (purlins.tensile_strength or 0) > LOW_FU_KSI
        and link.key in ("pull-out", "shear", "combined")
    ):
        ways.append(
            _way(
                f"Fu {LOW_FU_KSI:g} ksi in place of the assumed {purlins.tensile_strength:g}",
                worked(c, i, link, Try(Fu2_ksi=LOW_FU_KSI)),
            )
        )
    factor = c.survey.ground_rules.insurer_factor
    if factor is not None and factor > 1.0:
        ways.append(
            _way(f"with the insurer's factor of {factor:g} on wind", worked(c, i, link, Try(factor=factor)))
        )
    return tuple(ways)


def _without_parapet(c: Context, i: int, link: Link) -> float | None:
    """Ratio without the relief a parapet all round gives; None where it gives none there."""
    if c.wind is None or c.wind.parapet_ft < PARAPET_HEIGHT_FT:
        return None
    touched = np.array([name for name, s in zip(c.strips.names, c.strips.share[i], strict=True) if s > 1e-6])
    if not np.any(c.wind.pressures(touched, np.full(touched.shape, 10.0)).parapet_relief):
        return None
    return worked(c, i, link, Try(wind=replace(c.wind, parapet_ft=0.0)))


def _moves(c: Context, i: int, link: Link) -> tuple[OtherWay, ...]:
    tries = [OtherWay("lines half as far apart", *_ratio_state(worked(c, i, link, Try(spacing_share=0.5))))]
    if link.area == "screw" and link.key not in ("line to bracket", "bracket"):
        n = int(at(c.hold.stretch, i).n)
        group = "flat" if c.recover.framing.kind == "notched sub-purlin" else "bracket"
        label = f"{n + 1} screws a {group} in place of {n}"
        tries.insert(0, OtherWay(label, *_ratio_state(worked(c, i, link, Try(more_screws=1)))))
    return tuple(tries)


def _ratio_state(ratio: float) -> tuple[float | None, State]:
    return (None, "unknown") if np.isnan(ratio) else (ratio, state_of(ratio))
