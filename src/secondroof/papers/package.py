"""The package of one recover: papers, drawings and JSON, written into one folder, all or nothing."""

from __future__ import annotations

import hashlib
import json
import re
import tempfile
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

from secondroof.errors import InputError, Problem
from secondroof.papers.words import who_decides

if TYPE_CHECKING:
    from secondroof.findings.model import Findings
    from secondroof.survey.models import Survey

#: File by which a folder is known as a package of ours, and so may be written again.
GUIDE = "READ-ME-FIRST.txt"
GUIDE_HEAD = "secondroof package"
#: Before the mark of everything above it in the guide itself.
GUIDE_END = "This page up to here: "
FINGERPRINT = re.compile(r"[0-9a-f]{64}  \S+$")
#: What file managers leave in a folder; neither ours nor a person's work.
LEFT_ALONE = frozenset({".DS_Store", "Thumbs.db", "desktop.ini"})
#: Whose cautions the guide prints in full.
READERS = ("owner", "surveyor", "crew", "engineer", "official", "shop")


@dataclass(frozen=True, slots=True)
class PackageFile:
    """One file of a package and what it is."""

    path: Path
    what: str


@dataclass(frozen=True, slots=True)
class Package:
    """A written package: its files, and the findings and survey it was made from."""

    files: tuple[PackageFile, ...]
    findings: Findings
    survey: Survey


def package_parts(
    survey: Survey, recover: str | None = None, survey_text: str | None = None
) -> tuple[Findings, dict[str, tuple[bytes, str]]]:
    """Every file of a package as bytes, by name, with what it is; nothing is written."""
    from secondroof.drawings.dxf import to_dxf
    from secondroof.drawings.svg import to_svg
    from secondroof.findings.as_json import findings_json
    from secondroof.findings.build import findings
    from secondroof.papers.drawn import drawn
    from secondroof.papers.owner import owner_data
    from secondroof.papers.submittal import submittal_data
    from secondroof.papers.typeset import pdf

    found = findings(survey, recover)
    scenes = drawn(found, survey)
    prints = {"plan": to_svg(scenes.plan, look="print", standalone=True)}
    if scenes.section is not None:
        prints["section"] = to_svg(scenes.section, look="print", standalone=True)
    prints |= {s.name: to_svg(s.scene, look="print", standalone=True) for s in scenes.sheets}
    owner_print = {"plan": to_svg(scenes.owner_plan, look="print", standalone=True)}
    parts: dict[str, tuple[bytes, str]] = {
        "engineers-submittal.pdf": (
            pdf("submittal", submittal_data(found, survey, scenes.section_line, scenes.sheets), prints),
            "engineer's submittal: every check with its card; not sealed",
        ),
        "owners-summary.pdf": (
            pdf("owner", owner_data(found, survey), owner_print),
            "one page for the owner",
        ),
        "roof-plan.svg": (to_svg(scenes.plan, standalone=True).encode(), "roof plan: zones, lines, ratios"),
        "roof-plan.dxf": (to_dxf(scenes.plan).encode(), "roof plan for drawing programs"),
    }
    if scenes.section is not None:
        svg = to_svg(scenes.section, standalone=True).encode()
        parts["section.svg"] = (
            svg,
            f"section through old and new roof at line {scenes.section_line}, to scale",
        )
    for sheet in scenes.sheets:
        parts[f"{sheet.name}.svg"] = (to_svg(sheet.scene, standalone=True).encode(), sheet.what)
        if sheet.name.startswith("old-purlins") and sheet.name.endswith("with-recover"):
            parts[f"{sheet.name}.dxf"] = (to_dxf(sheet.scene).encode(), f"{sheet.what}, for drawing programs")
    text = json.dumps(findings_json(found), indent=1, allow_nan=False, ensure_ascii=False)
    parts["findings.json"] = (text.encode(), "every check as data")
    if survey_text is not None:
        parts["survey.yaml"] = (survey_text.encode(), "the survey as it was written")
    parts[GUIDE] = (_guide(found, parts).encode(), "what each file is, what is missing, who must decide")
    return found, parts


def write_package(
    survey: Survey, recover: str | None, out_dir: Path, *, survey_text: str | None = None
) -> Package:
    """Write the package of one recover into a folder.

    Parameters
    ----------
    survey : Survey
        A survey that reads without problems.
    recover : str or None
        Name of the recover; the first where none is named.
    out_dir : Path
        Folder; made where it is not there. A folder that holds anything but an earlier, unchanged package is refused.
    survey_text : str, optional
        The survey file as it was written; goes in as ``survey.yaml``, letter for letter.

    Raises
    ------
    InputError
        The folder is not ours to write over; nothing was written.
    """
    out_dir = Path(out_dir)
    earlier = _ours(out_dir)
    found, parts = package_parts(survey, recover, survey_text)
    out_dir.parent.mkdir(parents=True, exist_ok=True)
    with tempfile.TemporaryDirectory(dir=out_dir.parent, prefix=".secondroof-") as folder:
        for name, (content, _) in parts.items():
            (Path(folder) / name).write_bytes(content)
        out_dir.mkdir(exist_ok=True)
        for name in parts:
            (Path(folder) / name).replace(out_dir / name)
    for name in earlier - set(parts):
        (out_dir / name).unlink(missing_ok=True)
    files = tuple(PackageFile(out_dir / name, what) for name, (_, what) in parts.items())
    return Package(files, found, survey)


def _ours(out_dir: Path) -> set[str]:
    """Files of an earlier package in a folder; refuses a folder that holds anything else, or changed files."""
    if not out_dir.exists():
        return set()
    if not out_dir.is_dir():
        raise _refused(out_dir, "is a file, not a folder")
    there = {p.name: p for p in out_dir.iterdir() if p.name not in LEFT_ALONE}
    guide = there.get(GUIDE)
    text = guide.read_text(encoding="utf-8", errors="replace") if guide and guide.is_file() else ""
    listed = _fingerprints(text) if text.startswith(GUIDE_HEAD) else {}
    strange = sorted(
        n for n, p in there.items() if n not in {*listed, GUIDE} or not p.is_file() or not listed
    )
    if strange:
        raise _refused(out_dir, f"holds files that are not a package of ours: {', '.join(strange[:4])}")
    changed = sorted(n for n, mark in listed.items() if n in there and _mark(there[n].read_bytes()) != mark)
    if text and _mark(text.split(GUIDE_END, 1)[0].encode()) != text.rsplit(GUIDE_END, 1)[-1].strip():
        changed.append(GUIDE)
    if changed:
        raise _refused(out_dir, f"holds files changed since they were written: {', '.join(changed[:4])}")
    return set(there)


def _refused(out_dir: Path, why: str) -> InputError:
    mend = "Give another folder, or an empty one."
    return InputError(Problem("out", str(out_dir), f"{why}; nothing was written.", mend))


def _mark(content: bytes) -> str:
    return hashlib.sha256(content).hexdigest()


def _fingerprints(guide: str) -> dict[str, str]:
    """Names and SHA-256 marks a guide lists."""
    rows = (line.split("  ", 1) for line in guide.splitlines() if FINGERPRINT.match(line))
    return {name: mark for mark, name in rows}


def _guide(f: Findings, parts: dict[str, tuple[bytes, str]]) -> str:
    v = f.verdict
    lines = [
        f"{GUIDE_HEAD}: {f.job}, recover {f.recover}, {f.recover_title}",
        "Invented example: no such building exists." if f.invented else "",
        "Nothing here is sealed. Local codes and a licensed engineer have the last word.",
        "",
        "Files",
        *(f"  {name}: {what}" for name, (_, what) in parts.items()),
        f"  {GUIDE}: this page",
        "",
        "Verdict",
        f"  New work. {v.new_work.sentence}",
        f"  Old steel. {v.old_steel.sentence}",
        f"  Code path. {v.code_path.sentence}",
        f"  Open. {v.open.sentence}",
        "",
        f"Missing, {len(f.missing)}",
        *(f"  {n.what}. Get it: {n.where}. It decides {n.decides}." for n in f.missing),
        "",
        *(line for who, rows in who_decides(f) for line in (f"{who} must still decide", *_decisions(rows), "")),
        *(line for who in READERS if f.cautions.get(who) for line in (
            f"Cautions for the {who}", *(f"  - {t}" for t in f.cautions[who]), ""
        )),
        "Fingerprints (SHA-256), to tell a file that was changed later",
        *(f"{_mark(content)}  {name}" for name, (content, _) in parts.items()),
        "",
    ]  # fmt: skip
    text = "\n".join(lines)
    return f"{text}{GUIDE_END}{_mark(text.encode())}\n"


def _decisions(rows: list[tuple[str, str]]) -> list[str]:
    return [f"  {what} ({ids})" for what, ids in rows]
