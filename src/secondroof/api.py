"""The Python face of secondroof: read a survey, check it, write its package.

>>> import secondroof as sr  # doctest: +SKIP
>>> job = sr.load("barn.survey.yaml")  # doctest: +SKIP
>>> sr.check(job).verdict.new_work.sentence  # doctest: +SKIP
"""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Any

from secondroof.errors import NotFoundError

if TYPE_CHECKING:
    from secondroof.checks.model import Check
    from secondroof.findings.model import Findings
    from secondroof.papers.package import Package
    from secondroof.survey.models import Survey


def load(path: str | Path) -> Survey:
    """Read a survey file.

    Raises
    ------
    InputError
        Everything wrong with the file at once, each with its place and how to mend it.
    """
    from secondroof.survey.reading import load_survey

    return load_survey(path)


def read(text: str | bytes, name: str = "survey") -> Survey:
    """Read a survey from text; ``name`` is used in messages."""
    from secondroof.survey.reading import read_survey

    return read_survey(text, name)


def check(survey: Survey, recover: str | None = None) -> Findings:
    """Check one recover of a survey; the first where none is named."""
    from secondroof.findings.build import findings

    return findings(survey, recover)


def stretch_checks(survey: Survey, recover: str | None, index: int) -> tuple[Check, ...]:
    """Every link of one stretch of line with its card; ``index`` is a row of ``Findings.segments``."""
    from secondroof.findings.build import segment_checks

    return segment_checks(survey, recover, index)


def findings_json(findings: Findings) -> dict[str, Any]:
    """Findings as plain JSON values."""
    from secondroof.findings.as_json import findings_json as as_json

    return as_json(findings)


def package(
    survey: Survey, recover: str | None, out_dir: str | Path, *, survey_text: str | None = None
) -> Package:
    """Write the package of one recover into a folder: papers, drawings and JSON, and the survey as it was written."""
    from secondroof.papers.package import write_package

    return write_package(survey, recover, Path(out_dir), survey_text=survey_text)


def examples() -> dict[str, Path]:
    """Example surveys that ship with secondroof, by short name. Every one is invented."""
    here = Path(__file__).resolve().parent
    folder = next((p for p in (here / "examples", here.parents[1] / "examples") if p.is_dir()), None)
    return (
        {}
        if folder is None
        else {p.name.removesuffix(".survey.yaml"): p for p in sorted(folder.glob("*.survey.yaml"))}
    )


def example(name: str) -> Path:
    """Path of one example survey.

    Raises
    ------
    NotFoundError
        Naming the examples there are.
    """
    found = examples()
    if name not in found:
        raise NotFoundError(f"There is no example {name!r}. Examples: {', '.join(found) or 'none'}.")
    return found[name]
