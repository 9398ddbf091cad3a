"""A check as a card: result, steps with their formulas, where every number comes from, what would move it."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import TYPE_CHECKING, Any

from secondroof.checks.numbers import show, show_with_unit, unit_text
from secondroof.web.moved import ratio_text

if TYPE_CHECKING:
    from secondroof.checks.model import Check, Load
    from secondroof.checks.render import CardLine
    from secondroof.findings.model import CaseRow, Findings
    from secondroof.survey.models import Survey
    from secondroof.survey.proposals import Recover

WHOSE = {"new": "new work", "made worse": "old steel, loaded more", "was so": "old steel, as it was"}


def card(
    check: Check,
    *,
    job: str,
    tries: tuple[Mapping[str, Any], ...] = (),
    others: tuple[Mapping[str, Any], ...] = (),
    print_href: str = "",
    bar: bool = True,
) -> dict[str, Any]:
    """Everything a card shows."""
    from secondroof.checks.expr import FormulaError
    from secondroof.checks.render import card_lines_of, symbols_table

    not_printed = ""
    try:
        lines = card_lines_of(check.steps, sources=check.sources)
        symbols = symbols_table(check.steps, check.sources)
    except FormulaError as error:  # the number stands; its steps are honestly not shown
        lines, symbols = (), ()
        not_printed = f"The steps of this card cannot be printed: {error}"
    return {
        "id": check.id,
        "title": check.what,
        "where": check.where,
        "value": "",
        "caution": "",
        "sizes": (),
        "line": "",
        "stretch": None,
        "stripe": "",
        "box": "",
        "state": check.state,
        "ratio": ratio_text(check.ratio) if check.ratio is not None else "",
        "before": ratio_text(check.ratio_before) if check.ratio_before is not None else "",
        "asked": "" if check.demand is None else show_with_unit(check.demand, check.unit),
        "there": "" if check.capacity is None else show_with_unit(check.capacity, check.unit),
        "share": _share(check.ratio) if bar else "",
        "sentence": check.sentence,
        "clause": check.clause,
        "whose": WHOSE[check.whose],
        "code": check.asked + (f": {check.asked_why}" if check.asked_why else ""),
        "basis": check.basis,
        "not_printed": not_printed,
        "lines": tuple(_line(line) for line in lines),
        "symbols": tuple(
            {
                "symbol": s.symbol.mathml,
                "name": s.name,
                "what": s.what,
                "value": f"{s.value} {s.unit}".strip(),
                "source": s.source,
                "pencil": s.pencil,
            }
            for s in symbols
        ),
        "both_ways": tuple(
            {"label": w.label, "ratio": ratio_text(w.ratio), "state": w.state, "used": w.used}
            for w in check.both_ways
        ),
        "needs": tuple(
            {"what": n.what, "where": n.where, "who": n.who, "decides": n.decides} for n in check.needs
        ),
        "tries": tries,
        "others": others,
        "print_href": print_href,
        "job": job,
    }


def load_card(row: Load | CaseRow, *, job: str, print_href: str = "") -> dict[str, Any]:
    """Card of a load: no limit, so no state and no ratio; the same parts as any other card."""
    from secondroof.checks.model import Check
    from secondroof.checks.steps import singled
    from secondroof.findings.model import CaseRow

    if isinstance(row, CaseRow):
        title = row.title[:1].upper() + row.title[1:]
        where = f"most on line {row.line}" if row.line else "on none of the lines here"
        on_lines = show_with_unit(row.w_lb_ft, "lb/ft") if row.w_lb_ft or not row.P_lb else ""
        point = f"{show(row.P_lb, 'lb', 'whole')} lb at a point" if row.P_lb else ""
        by_place = (
            "" if row.psf is None else show_with_unit(row.psf, "psf", "weight" if row.kind == "D" else None)
        )
        value = by_place or on_lines or point
        sizes = tuple(s for s in (on_lines, point) if s and s != value) if row.line else ()
        if not row.line and row.psf is None:
            value = ""
        when = {"before": "today", "after": "with the recover", "both": "today and with the recover"}[
            row.when
        ]
        basis = f"{when}; {row.level} level" + (f"; {row.checked}" if row.checked else "")
        caution = f"Assumed: {row.assumed}" if row.assumed else ""
    else:
        title, where, sizes = row.what, row.where, ()
        value = show_with_unit(row.value, row.unit)
        basis = "uplift as a plain size, allowable stress level"
        caution = "Coefficients not confirmed against a printed source." if row.unconfirmed else ""
    shown = Check(
        id=row.id, key="load", what=title, where=where, whose="was so", state="holds", clause=row.clause,
        sentence=row.sentence, basis=basis, steps=singled(row.steps), sources=row.sources, asked="not required",
    )  # fmt: skip
    made = card(shown, job=job, print_href=print_href, bar=False)
    asked, there = (*sizes, "", "")[:2]
    made |= {
        "state": "",
        "value": value,
        "asked": "",
        "there": "",
        "whose": "",
        "code": "",
        "caution": caution,
    }
    made["sizes"] = tuple(s for s in (asked, there) if s)
    return made


def find_load_card(f: Findings, id: str, *, job: str, base: str) -> dict[str, Any] | None:
    """Card of a load by its number, wherever it is kept; None where there is none."""
    rows: tuple[Load | CaseRow, ...] = (*f.loads, *f.cases)
    row = next((r for r in rows if r.id == id), None)
    return None if row is None else load_card(row, job=job, print_href=f"{base}?card={row.id}")


def _line(line: CardLine) -> dict[str, Any]:
    return {
        "title": line.title,
        "clause": line.clause,
        "symbolic": line.symbolic.mathml,
        "numeric": line.numeric.mathml,
        "result": line.result.mathml,
        "method": line.method,
        "self_check": line.self_check,
        "cautions": line.cautions,
        "inputs": tuple(
            {
                "what": i.what or i.name,
                "value": f"{i.value} {i.unit}".strip(),
                "source": i.source,
                "pencil": i.pencil,
            }
            for i in line.inputs
        )
        if line.method
        else (),
    }


def _share(ratio: float | None) -> str:
    """Length of the card's bar in hundredths of its width; the limit stands at 66."""
    return "" if ratio is None or ratio != ratio else f"{min(100.0, 66.0 * ratio):.1f}"


def tries_of(
    survey: Survey, recover: str, now: Check, again: Callable[[Survey], Check | None]
) -> tuple[dict[str, str], ...]:
    """Up to three changes of the recover that move this one check, each worked out.

    Parameters
    ----------
    now : Check
        The check as it stands.
    again : callable
        Gives the same check on a changed survey.
    """
    at = next(i for i, r in enumerate(survey.recovers) if r.name == recover)
    out = []
    for label, path, value, changed in _variants(survey, at, now.zone):
        recovers = tuple(changed if i == at else r for i, r in enumerate(survey.recovers))
        check = again(survey.model_copy(update={"recovers": recovers}))
        if check is None:
            continue
        if (ratio_text(check.ratio), check.state) != (ratio_text(now.ratio), now.state):
            out.append(
                {
                    "label": label,
                    "path": path,
                    "value": value,
                    "ratio": ratio_text(check.ratio),
                    "state": check.state,
                }
            )
    return tuple(out[:3])


def _variants(survey: Survey, at: int, zone: str | None) -> list[tuple[str, str, str, Recover]]:
    recover = survey.recovers[at]
    open_ft2: dict[str, float] = {}
    for o in survey.enclosure.openings or ():
        if o.state == "open" and o.wall != "roof" and o.wall not in recover.storm_doors:
            open_ft2[o.wall] = open_ft2.get(o.wall, 0.0) + o.count * o.area
    framing: Any = recover.framing
    out: list[tuple[str, str, str, Recover]] = []
    for name, words in (("screws_per_flat", "screws a flat"), ("screws_per_bracket", "screws a bracket")):
        count: Any = getattr(framing, name, None)
        if count is not None:
            own = zone is not None and zone in count.by_zone
            more = min(12, (count.by_zone[zone] if own else count.other) + 1)
            new = count.model_copy(
                update={"by_zone": {**count.by_zone, zone: more}} if own else {"other": more}
            )
            path = f"recovers[{at}].framing.{name}." + (f"by_zone.{zone}" if own else "other")
            body = recover.model_copy(update={"framing": framing.model_copy(update={name: new})})
            out.append((f"{more} {words}" + (f" in zone {zone}" if own else ""), path, str(more), body))
    if recover.clip.screws < 8:
        more = recover.clip.screws + 1
        body = recover.model_copy(update={"clip": recover.clip.model_copy(update={"screws": more})})
        out.append((f"{more} screws a clip", f"recovers[{at}].clip.screws", str(more), body))
    if open_ft2:
        wall = max(open_ft2, key=lambda w: open_ft2[w])
        shut: Any = (*recover.storm_doors, wall)
        body = recover.model_copy(update={"storm_doors": shut})
        path = f"recovers[{at}].storm_doors"
        out.append((f"Storm doors on the openings in wall {wall}", path, f"[{', '.join(shut)}]", body))
    return out


def check_rows(checks: tuple[Check, ...], href: str) -> tuple[dict[str, str], ...]:
    """Checks as rows of a list, each with the address of its card."""
    return tuple(
        {
            "id": c.id,
            "what": c.what,
            "where": c.where,
            "state": c.state,
            "ratio": ratio_text(c.ratio) if c.ratio is not None else "",
            "whose": WHOSE[c.whose],
            "asked": c.asked,
            "sentence": c.sentence,
            "href": f"{href}?card={c.id}",
        }
        for c in checks
    )


__all__ = ["card", "check_rows", "find_load_card", "load_card", "show", "tries_of", "unit_text"]
