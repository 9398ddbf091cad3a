"""Every revision of a job, what it changed, and the way back."""

from __future__ import annotations

from secondroof.store import differences
from secondroof.web.ask import Answer, Ask, Go, JobAsk, Page
from secondroof.web.contexts import HistoryPage
from secondroof.web.render import day

#: Revisions shown with their differences; older ones are listed.
SHOWN = 40


def show_history(ask: Ask) -> Page:
    """Newest first."""
    j = JobAsk(ask)
    all_ = j.desk.store.history(j.id)
    older = {r.number: r.text for r in all_}
    rows = tuple(
        {
            "number": r.number,
            "at": day(r.at),
            "who": r.who,
            "note": r.note,
            "diff": differences(older[r.number - 1], r.text) if r.number > 1 and i < SHOWN else (),
            "current": i == 0,
        }
        for i, r in enumerate(all_)
    )
    return Page("history", HistoryPage(j.frame("history"), rows))


def restore(ask: Ask) -> Answer:
    """Bring an older text back as a new revision."""
    j = JobAsk(ask)
    before = j.revision.number
    ask.desk.store.restore(j.id, ask.number("number"))
    return Go(f"/jobs/{j.id}/survey?since={before}")
