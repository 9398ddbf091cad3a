"""The package of one recover: papers, drawings and JSON, written into one folder, all or nothing."""

from __future__ import annotations

import json
import tempfile
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

from secondroof.errors import InputError, Problem

if TYPE_CHECKING:
    from secondroof.checks.model import Findings
    from secondroof.survey.models import Survey

#: File by which a folder is known as a package of ours, and so may be written again.
GUIDE = "READ-ME-FIRST.txt"
GUIDE_HEAD = "secondroof package"


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
    survey: Survey, recover: str | None = None
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
    owner_print = {"plan": to_svg(scenes.owner_plan, look="print", standalone=True)}
    parts: dict[str, tuple[bytes, str]] = {
        "engineers-submittal.pdf": (
            pdf("submittal", submittal_data(found, survey, scenes.section_line), prints),
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
    text = json.dumps(findings_json(found), indent=1, allow_nan=False, ensure_ascii=False)
    parts["findings.json"] = (text.encode(), "every check as data")
    parts[GUIDE] = (_guide(found, parts).encode(), "what each file is, what is missing, who must decide")
    return found, parts


def write_package(survey: Survey, recover: str | None, out_dir: Path) -> Package:
    """Write the package of one recover into a folder.

    Parameters
    ----------
    survey : Survey
    recover : str or None
        Name of the recover; the first where none is named.
    out_dir : Path
        Folder; made where it is not there. A folder that holds anything but an earlier package is refused.

    Raises
    ------
    InputError
        The folder is not ours to write over; nothing was written.
    """
    out_dir = Path(out_dir)
    _refuse_strange(out_dir)
    found, parts = package_parts(survey, recover)
    out_dir.parent.mkdir(parents=True, exist_ok=True)
    with tempfile.TemporaryDirectory(dir=out_dir.parent, prefix=".secondroof-") as folder:
        for name, (content, _) in parts.items():
            (Path(folder) / name).write_bytes(content)
        out_dir.mkdir(exist_ok=True)
        for name in parts:
            (Path(folder) / name).replace(out_dir / name)
    files = tuple(PackageFile(out_dir / name, what) for name, (_, what) in parts.items())
    return Package(files, found, survey)


def _refuse_strange(out_dir: Path) -> None:
    if not out_dir.exists():
        return
    guide = out_dir / GUIDE
    empty = out_dir.is_dir() and not any(out_dir.iterdir())
    ours = guide.is_file() and guide.read_text(encoding="utf-8", errors="replace").startswith(GUIDE_HEAD)
    if not (empty or ours):
        raise InputError(
            Problem("out", str(out_dir), "holds files that are not a package of ours; nothing was written.",
                    "Give another folder, or an empty one.")
        )  # fmt: skip


def _guide(f: Findings, parts: dict[str, tuple[bytes, str]]) -> str:
    v = f.verdict
    lines = [
        f"{GUIDE_HEAD}: {f.job}, recover {f.recover}, {f.recover_title}",
        "Invented example: no such building exists." if f.invented else "",
        "Nothing here is sealed. Local codes and a licensed engineer have the last word.",
        "",
        "Files",
        *(f"  {name}: {what}" for name, (_, what) in parts.items()),
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
    ]
    return "\n".join(lines)
