"""Duty 7: the plan with every line's worst ratio, and the card beside it."""

from __future__ import annotations

from functools import partial
from typing import TYPE_CHECKING, Any

from secondroof.checks.model import worst
from secondroof.checks.numbers import show
from secondroof.errors import NotFoundError
from secondroof.findings.words import not_in_colours
from secondroof.web.ask import Ask, JobAsk, Page
from secondroof.web.cards import card, check_rows, find_load_card, tries_of
from secondroof.web.contexts import CardPage, OldSteel, StrengthPage, Table, Wrong
from secondroof.web.frame import by_state
from secondroof.web.moved import ratio_text
from secondroof.web.pages.loads import address
from secondroof.web.pages.survey import Marks

if TYPE_CHECKING:
    from secondroof.acting.combined import Stage
    from secondroof.checks.model import Check
    from secondroof.findings.model import Findings
    from secondroof.survey.models import Survey
    from secondroof.web.plan import LivePlan


def show_strength(
    ask: Ask, *, typed: Marks = None, wrong: Marks = None, problems: tuple[Wrong, ...] = (), status: int = 200
) -> Page:
    """The plan, or only the card where just that is asked for."""
    from secondroof.web.plan import SWITCHES

    j = JobAsk(ask)
    f = j.findings
    empty = Table((), ())
    if f is None or j.recover is None:
        return Page(
            "strength",
            StrengthPage(
                j.frame("strength", problems=problems), j.why, "", (), (), None, empty, (), "", None, ""
            ),
            status,
        )
    live = _live(j, f)
    stretch = _stretch(j, live)
    opened = _card(j, f, live, stretch)
    stage = _stage(j)
    part = "beside" if ask.partial and ask.query.get("part") == "card" else ""
    record = StrengthPage(
        j.frame("strength", problems=problems),
        _about(f, live),
        ""
        if part
        else live.svg(
            f"/jobs/{j.id}/strength", stretch if opened and opened["stretch"] is not None else None
        ),
        _key(live),
        SWITCHES,
        opened,
        empty,
        check_rows(tuple(by_state(list(f.checks))), f"/jobs/{j.id}/strength"),
        _href(j)(),
        None if part else _steel(j, f, stage),
        "" if f.purlins is not None else _steel_why(f),
    )
    return Page("strength", record, status, block=part)


def show_card(ask: Ask) -> Page:
    """One card on a page of its own."""
    j = JobAsk(ask)
    f = j.findings
    if f is None:
        raise NotFoundError(f"There is no card yet: {j.why}")
    opened = _card(j, f, _live(j, f), _stretch(j, _live(j, f)), tries=False)
    if opened is None:
        raise NotFoundError("There is no card of that number.")
    return Page("card", CardPage(j.frame("strength"), opened))


def _stage(j: JobAsk) -> Stage:
    """Stage of the old steel shown: with the recover, or today where that is asked for."""
    return "before" if (j.ask.query.get("stage", "") or j.ask.text("stage")) == "before" else "after"


def _href(j: JobAsk) -> partial[str]:
    """Addresses of this page that keep the recover and the stage shown."""
    kept = {k: v for k in ("recover", "stage") if (v := j.ask.query.get(k, ""))}
    return partial(address, f"/jobs/{j.id}/strength", kept)


def _steel(j: JobAsk, f: Findings, stage: Stage) -> OldSteel | None:
    from secondroof.web.oldsteel import map_svg, old_steel

    href = _href(j)

    def drawn(name: str, kind: str) -> str:
        key = ("ratios", j.revision.text, j.recover, name, stage, href())
        return j.desk.part(key, lambda: map_svg(f, name, kind, stage, href))

    return old_steel(f, stage, href, drawn)


def _steel_why(f: Findings) -> str:
    if f.rules.get("wind") == "not given":
        return "The edition of ASCE 7 in force is not set, so loads are not combined and no old line is worked out."
    return "The old lines could not be worked out: see what is missing."


def _live(j: JobAsk, f: Findings) -> LivePlan:
    from secondroof.web.plan import live_plan

    return j.desk.part(("live", j.revision.text, j.recover), lambda: live_plan(f, j.survey))


def _stretch(j: JobAsk, live: LivePlan) -> int | None:
    text = j.ask.query.get("stretch", "") or j.ask.text("stretch")
    return int(text) if text.isascii() and text.isdigit() and int(text) < len(live.rows) else None


def _card(
    j: JobAsk, f: Findings, live: LivePlan, stretch: int | None, *, tries: bool = True
) -> dict[str, Any] | None:
    from secondroof import api

    id = j.ask.query.get("card", "") or j.ask.text("card")
    base = f"/jobs/{j.id}/card"
    if stretch is None and not id:
        return _bay(j, f, base)
    survey, recover = j.survey, j.recover
    if stretch is None:
        try:
            check = f.check(id)
        except KeyError:
            return find_load_card(f, id, job=j.job.name, base=base)
        place = _place_of(check, live)
        return _placed(card(check, job=j.job.name, print_href=f"{base}?card={check.id}"), live, place)
    links: tuple[Check, ...] = j.desk.part(
        ("links", j.revision.text, recover, stretch), lambda: api.stretch_checks(survey, recover, stretch)
    )
    if not links:
        return None
    r = live.rows[stretch]
    link = j.ask.query.get("link", "") or j.ask.text("link")
    check = (
        next((c for c in links if c.key == link), None)
        or next((c for c in links if c.key == r.governs), None)
        or by_state(list(links))[0]
    )

    def again(changed: Survey) -> Check | None:
        found = api.stretch_checks(changed, recover, stretch)
        return next((c for c in found if c.key == check.key), None)

    moved_by = (
        j.desk.part(
            ("tries", j.revision.text, recover, stretch, check.key),
            lambda: tries_of(survey, recover or "", check, again),
        )
        if tries
        else ()
    )
    others = tuple(
        {
            "what": c.what,
            "ratio": ratio_text(c.ratio) if c.ratio is not None else "",
            "state": c.state,
            "here": c.key == check.key,
            "href": f"/jobs/{j.id}/strength?stretch={stretch}&link={c.key}",
        }
        for c in by_state(list(links))
    )
    made = card(
        check,
        job=j.job.name,
        tries=moved_by,
        others=others,
        print_href=f"{base}?stretch={stretch}&link={check.key}",
    )
    made["line_state"] = worst(c.state for c in links)
    return _placed(made, live, stretch)


def _bay(j: JobAsk, f: Findings, base: str) -> dict[str, Any] | None:
    """Card of one old line in one bay, made on demand."""
    from secondroof.web.oldsteel import bay_card

    side, line, bay = (j.ask.query.get(k, "") for k in ("steel", "line", "bay"))
    if not (side and line and bay.isascii() and bay.isdigit()):
        return None
    stage = _stage(j)
    check = j.desk.part(
        ("bay", j.revision.text, j.recover, side, line, bay, stage),
        lambda: bay_card(f, side, line, int(bay), stage),
    )
    if check is None:
        return None
    print_href = address(base, {}, steel=side, line=line, bay=bay, stage=stage)
    return card(check, job=j.job.name, print_href=print_href)


def _placed(made: dict[str, Any], live: LivePlan, stretch: int | None) -> dict[str, Any]:
    where = live.open_at(stretch)
    r = live.rows[stretch] if stretch is not None else None
    made["stretch"] = stretch
    made["stripe"], made["box"] = where.stripe, where.box
    made["line"] = f"Line {r.name}, zone {r.zone}" if r else ""
    made.setdefault("line_state", made["state"])
    return made


def _place_of(check: Check, live: LivePlan) -> int | None:
    """Stretch a card of the list speaks of, where it has a place."""
    if check.zone is None or check.line is None:
        return None
    for i, r in enumerate(live.rows):
        same = r.zone == check.zone and r.line == check.line and check.plane in (None, r.plane)
        if same and (check.x0_ft is None or abs(r.x0_ft - check.x0_ft) < 0.01):
            return i
    return None


def _about(f: Findings, live: LivePlan) -> str:
    none = (
        "" if live.rows else " No purlin line is read, so no line is drawn: put them in on the survey page."
    )
    return f"Recover {f.recover}, {f.recover_title}. {not_in_colours(f)}{none}".rstrip()


def _key(live: LivePlan) -> tuple[dict[str, str], ...]:
    from secondroof.drawings.stretches import lengths_by_state

    lengths = lengths_by_state(live.rows)
    order = ("holds", "short", "unknown", "engineer")
    return tuple({"state": s, "length": f"{show(lengths[s], 'ft', 'whole')} ft"} for s in order)  # type: ignore[index]
