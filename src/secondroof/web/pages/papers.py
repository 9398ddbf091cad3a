"""Duties 8 to 11: what is not begun, and the papers."""

from __future__ import annotations

import json
import mimetypes

from secondroof.errors import MissingError, NotFoundError
from secondroof.web.ask import Answer, Ask, File, Go, JobAsk, Page
from secondroof.web.contexts import NotBegunPage, PapersPage

WHAT = {
    ".pdf": "paper, PDF",
    ".svg": "drawing, SVG",
    ".dxf": "drawing, DXF",
    ".json": "findings, for other programs",
    ".yaml": "the survey, as written",
    ".xlsx": "tables",
    ".txt": "text",
    ".csv": "table",
}


def show_heat(ask: Ask) -> Page:
    """Heat and moisture."""
    return _not_begun(
        ask,
        "heat",
        "Heat and moisture",
        "Conduction, dew point, thermal movement and energy are not worked out yet.",
        (
            "old insulation: thickness, facing, wet spots",
            "air inside: temperature and humidity, logged",
            "new insulation of the chosen recover",
            "climate zone and winter design temperature",
        ),
    )


def show_pieces(ask: Ask) -> Page:
    """Pieces."""
    return _not_begun(
        ask,
        "pieces",
        "Pieces",
        "The take-off is not done yet: no panel layout, no piece marks, no cut list.",
        (
            "a chosen recover whose hold-down holds",
            "run-out of the old ribs at eave, mid and ridge, on both slopes",
            "places of skylights, curbs and pipes, taped",
        ),
    )


def show_money(ask: Ask) -> Page:
    """Money."""
    return _not_begun(
        ask,
        "money",
        "Money",
        "No price is worked out yet, and none is guessed.",
        (
            "the pieces of the chosen recover",
            "your own rates, with their date",
            "what is excluded, allowed for and priced by the unit",
        ),
    )


def _not_begun(ask: Ask, here: str, name: str, sentence: str, waits: tuple[str, ...]) -> Page:
    return Page("not-begun", NotBegunPage(JobAsk(ask).frame(here), name, sentence, waits))


def show_papers(ask: Ask) -> Page:
    """Files of the package."""
    j = JobAsk(ask)
    files = j.desk.packed(j.revision, j.recover) if j.recover and j.findings else ()
    folder = j.desk.package_folder(j.revision, j.recover or "")
    shown = tuple(
        {
            "name": (name := f.relative_to(folder).as_posix()),
            "what": WHAT.get(f.suffix, "file"),
            "size": f"{max(1, round(f.stat().st_size / 1000)):,} kB",
            "href": f"/jobs/{j.id}/papers/file/{name}",
        }
        for f in files
    )
    missing = len(j.findings.missing) if j.findings else 0
    return Page(
        "papers", PapersPage(j.frame("papers"), bool(files), shown, f"/jobs/{j.id}/papers/all.zip", missing)
    )


def write_papers(ask: Ask) -> Answer:
    """Write the package of the newest revision."""
    j = _ready(ask)
    j.desk.pack(j.revision, j.recover or "", again=bool(ask.text("again")))
    return Go(f"/jobs/{j.id}/papers")


def _ready(ask: Ask) -> JobAsk:
    j = JobAsk(ask)
    if j.findings is None or j.recover is None:
        raise MissingError(f"The papers cannot be written yet. {j.why}")
    return j


def give_zip(ask: Ask) -> Answer:
    """Everything in one file; written first where it was not."""
    j = _ready(ask)
    j.desk.pack(j.revision, j.recover or "")
    return File(f"{j.id}-{j.recover}.zip", j.desk.zipped(j.revision, j.recover or ""), "application/zip")


def give_file(ask: Ask) -> Answer:
    """One file of the package."""
    j = _ready(ask)
    folder = j.desk.package_folder(j.revision, j.recover or "")
    for file in j.desk.packed(j.revision, j.recover or ""):
        name = file.relative_to(folder).as_posix()
        if name == ask.path["name"]:
            kind = mimetypes.guess_type(name)[0] or "application/octet-stream"
            return File(file.name, file.read_bytes(), kind)
    raise NotFoundError(f"There is no paper {ask.path['name']} of this revision. Write the papers again.")


def give_survey(ask: Ask) -> Answer:
    """The survey file as written."""
    j = JobAsk(ask)
    return File(f"{j.id}.survey.yaml", j.revision.text.encode("utf-8"), "application/yaml")


def give_findings(ask: Ask) -> Answer:
    """Findings as JSON, as the command line gives them."""
    from secondroof import api

    j = _ready(ask)
    assert j.findings is not None
    body = json.dumps(api.findings_json(j.findings), indent=1, ensure_ascii=False)
    return File(f"{j.id}-{j.recover}.json", body.encode("utf-8"), "application/json", inline=True)
