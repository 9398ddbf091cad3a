"""Command line: every command of secondroof, and the one place where errors become words.

Exit 0: done and all holds; 1: done, something is short, unknown or for the engineer; 2: bad input or use;
3: our own fault.
"""

from __future__ import annotations

import json
import os
import sys
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Any

from cyclopts import App, Parameter

from secondroof.errors import SecondroofError

if TYPE_CHECKING:
    from secondroof.checks.model import Verdict

app = App(
    name="secondroof",
    help="A new metal roof over an old one: survey, verdict, package.",
    version_flags=["--version"],
)
survey_app = App(name="survey", help="Write, check and describe survey files.")
app.command(survey_app)

DONE, OPEN, BAD_INPUT, OUR_FAULT = 0, 1, 2, 3


@survey_app.command
def new(path: Path) -> int:
    """Write a commented survey template; refuses to write over a file.

    Parameters
    ----------
    path
        File to write, e.g. barn.survey.yaml.
    """
    from secondroof.survey.template import template

    if path.exists():
        return _bad(f"{path} is there already; nothing was written. Give another name.")
    try:
        path.write_text(template(), encoding="utf-8")
    except OSError as error:
        return _bad(f"{path} was not written: {error.strerror}. Give a folder that is there.")
    print(f"Written: {path}. Fill in what you found, then: secondroof survey validate {path}")
    return DONE


@survey_app.command
def validate(path: Path) -> int:
    """List everything wrong in a survey at once, then what was not read and why it matters.

    Parameters
    ----------
    path
        Survey file.
    """
    import secondroof as sr
    from secondroof.survey.missing import what_is_missing
    from secondroof.survey.remarks import remarks

    survey = sr.load(path)
    missing, seen = what_is_missing(survey), remarks(survey)
    print(f"{path}: reads without problems. {survey.job.name}.")
    if missing:
        print(f"\nNot read, {len(missing)} items, by what they could change:")
        for need in missing:
            print(f"- {need.what}. Get it: {need.where}. It decides {need.decides}.")
    if seen:
        print("\nTo look at again:")
        for remark in seen:
            print(f"- {remark.item}: {remark.text}")
    return OPEN if missing or seen else DONE


@survey_app.command
def schema() -> int:
    """Print the JSON Schema of a survey file."""
    from secondroof.survey.template import schema as survey_schema

    print(json.dumps(survey_schema(), indent=2))
    return DONE


@app.command
def check(
    survey: Path,
    *,
    recover: str | None = None,
    as_json: Annotated[bool, Parameter("--json")] = False,
    all_rows: Annotated[bool, Parameter("--all")] = False,
) -> int:
    """Check one recover of a survey and say the verdict.

    Parameters
    ----------
    survey
        Survey file.
    recover
        Name of the recover; the first where none is named.
    as_json
        Print the findings as JSON.
    all_rows
        Print every row, those that hold too.
    """
    import secondroof as sr

    found = sr.check(sr.load(survey), recover)
    if as_json:
        print(json.dumps(sr.findings_json(found), indent=1, allow_nan=False))
    else:
        from secondroof.papers.terminal import summary

        print(summary(found, every_row=all_rows))
    return _code(found.verdict)


@app.command
def loads(
    survey: Path,
    *,
    recover: str | None = None,
    line: str | None = None,
    as_json: Annotated[bool, Parameter("--json")] = False,
) -> int:
    """List every load case of one recover, or what acts on one old line and what governs there.

    Parameters
    ----------
    survey
        Survey file.
    recover
        Name of the recover; the first where none is named.
    line
        Name of one old line, e.g. N3: its loads case by case and the governing combination of each bay.
    as_json
        Print as JSON.
    """
    import secondroof as sr
    from secondroof.findings.line_look import loads_found, loads_found_json

    found = loads_found(sr.load(survey), recover, line)
    if as_json:
        print(json.dumps(loads_found_json(found), indent=1, allow_nan=False))
    else:
        from secondroof.papers.terminal_loads import loads_text

        print(loads_text(found))
    states = {"holds"} if found.line is None else found.line.states
    return OPEN if found.missing or states != {"holds"} else DONE


@app.command
def schemes(survey: Path, *, as_json: Annotated[bool, Parameter("--json")] = False) -> int:
    """Compare every recover of a survey side by side.

    Parameters
    ----------
    survey
        Survey file.
    as_json
        Print as JSON.
    """
    import secondroof as sr
    from secondroof.findings.as_json import findings_json
    from secondroof.papers.terminal import side_by_side

    job = sr.load(survey)
    found = [sr.check(job, r.name) for r in job.recovers]
    if not found:
        return _bad("There is no recover to compare. Add one under recovers: in the survey file.")
    if as_json:
        print(
            json.dumps(
                [
                    {
                        k: v
                        for k, v in findings_json(f).items()
                        if k in ("recover", "verdict", "weight", "spacing")
                    }
                    for f in found
                ],
                indent=1,
            )
        )
    else:
        print(side_by_side(found))
    return max(_code(f.verdict) for f in found)


@app.command
def package(survey: Path, *, out: Path, recover: str | None = None) -> int:
    """Write the package of one recover: papers, drawings, tables and JSON.

    Parameters
    ----------
    survey
        Survey file.
    out
        Folder to write into; made where it is not there.
    recover
        Name of the recover; the first where none is named.
    """
    import secondroof as sr

    written = sr.package(sr.load(survey), recover, out, survey_text=survey.read_text(encoding="utf-8"))
    for file in written.files:
        print(f"{file.path}  {file.what}")
    return _code(written.findings.verdict)


@app.command
def calc(
    name: str | None = None,
    *given: str,
    list_all: Annotated[bool, Parameter("--list")] = False,
    as_json: Annotated[bool, Parameter("--json")] = False,
) -> int:
    """Run one calculation alone with its card, or list them.

    Parameters
    ----------
    name
        Calculation, e.g. steel.screws.pull_out; the last part is enough where it is the only one.
    given
        Arguments as key=value, with units where people write them: t_c=0.0575 "d=1/4 in" F_u2=65.
    list_all
        List every calculation with its clause.
    as_json
        Print as JSON.
    """
    from secondroof import calculations as calcs
    from secondroof.papers.terminal import calculation_card, calculation_list, calculation_use

    if list_all or name is None:
        known = calcs.calculations()
        if as_json:
            rows = [
                {
                    "name": c.name,
                    "title": c.title,
                    "clause": c.clause,
                    "arguments": [a._asdict() for a in c.arguments],
                }
                for c in known.values()
            ]
            print(json.dumps(rows, indent=1))
        else:
            print(calculation_list(known.values()))
        return DONE
    pairs: dict[str, str] = {}
    for item in given:
        key, equals, value = item.partition("=")
        if not equals:
            return _bad(f"{item!r} is not key=value. Write each argument as key=value.")
        pairs[key.strip()] = value.strip()
    if not pairs:
        print(calculation_use(calcs.find(name)))
        return DONE
    done = calcs.run(name, pairs)
    if as_json:
        print(json.dumps(calcs.run_json(done), indent=1))
    else:
        print(calculation_card(done))
    return DONE


@app.command
def serve(*, port: int = 8765, store: Path | None = None) -> int:
    """Open the workbench for the browser on this machine only.

    Parameters
    ----------
    port
        Port on 127.0.0.1.
    store
        Job store, one file; a place of the user's own where none is given.
    """
    from secondroof.web.serve import serve as run_server

    return int(run_server(port=port, store=store, say=print))


@app.command
def demo(*, out: Path = Path("out/demo"), example: str = "tamsel-feed-barn") -> int:
    """Work one invented roof from survey to package.

    Parameters
    ----------
    out
        Folder for the package.
    example
        Which example survey.
    """
    import secondroof as sr
    from secondroof.papers.terminal import summary

    path = sr.example(example)
    print(f"Survey: {path.name} (invented)\n")
    written = sr.package(sr.load(path), None, out, survey_text=path.read_text(encoding="utf-8"))
    print(summary(written.findings))
    print(f"\nPackage, {len(written.files)} files: {out.resolve()}")
    return DONE


def _code(verdict: Verdict) -> int:
    states = {getattr(verdict, name).state for name in ("new_work", "old_steel", "code_path", "open")}
    return DONE if states == {"holds"} else OPEN


def _bad(text: str) -> int:
    print(text, file=sys.stderr)
    return BAD_INPUT


def main(argv: list[str] | None = None) -> int:
    """Run the command line; turns every error into words in this one place."""
    try:
        result: Any = app(
            sys.argv[1:] if argv is None else argv,
            exit_on_error=False,
            print_error=True,
            result_action="return_value",
        )
        return int(result) if isinstance(result, int) else DONE
    except SecondroofError as error:
        print(error, file=sys.stderr)
        return OUR_FAULT if str(error).startswith("Our fault") else BAD_INPUT
    except BrokenPipeError:  # whoever read the output has stopped reading
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
        return DONE
    except OSError as error:
        print(f"{error.filename or 'A file'}: {error.strerror}. Nothing was written over.", file=sys.stderr)
        return BAD_INPUT
    except KeyboardInterrupt:
        print("Stopped.", file=sys.stderr)
        return BAD_INPUT
    except Exception as error:
        if type(error).__module__.startswith("cyclopts"):
            return BAD_INPUT  # already printed
        import hashlib
        import traceback

        mark = (
            hashlib.sha256("".join(traceback.format_exception(error)[-3:]).encode()).hexdigest()[:4].upper()
        )
        print(
            f"Our fault (number {mark}): {type(error).__name__}: {error}. The survey file is as it was.",
            file=sys.stderr,
        )
        return OUR_FAULT


def _run() -> None:
    sys.exit(main())


if __name__ == "__main__":
    _run()
