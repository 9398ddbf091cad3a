"""Duty 4: what the old roof is."""

from __future__ import annotations

from secondroof.checks.numbers import show
from secondroof.web.ask import Ask, JobAsk, Page
from secondroof.web.contexts import OldRoofPage, Table


def show_old_roof(ask: Ask) -> Page:
    """Standoff readings and what they say."""
    from secondroof.web.charts import group_name, standoff_dots

    j = JobAsk(ask)
    groups = j.survey.standoff
    rows = tuple(
        (
            group_name(g, n),
            r.written or show(r.value, "in", "gap"),
            show(r.value, "in", "gap"),
            r.set_aside or r.why or ("doubtful" if r.doubtful else ""),
        )
        for n, g in enumerate(groups, 1)
        for r in g.readings
    )
    readings = Table(("where", "as written", "in", "doubt"), rows, (False, False, True, False))
    old = j.findings.old_roof if j.findings else None
    regions = Table(
        ("region", "kind", "readings", "low, in", "high, in", "odd readings", "what it says"),
        tuple(
            (
                r.region,
                r.kind,
                str(r.count),
                show(r.low_in, "in", "gap"),
                show(r.high_in, "in", "gap"),
                ", ".join(r.odd),
                r.sentence,
            )
            for r in old.regions
        )
        if old
        else (),
        (False, False, True, True, True, False, False),
    )
    chart = j.desk.part(("dots", j.revision.text), lambda: standoff_dots(groups)) if groups else ""
    record = OldRoofPage(
        j.frame("old-roof"),
        old.sentence if old else j.why,
        old.kind if old else "unknown",
        chart,
        readings,
        regions,
        old.open_kinds if old else (),
        tuple(old.refused_kinds.items()) if old else (),
        old.strengthening if old else "",
    )
    return Page("old-roof", record)
