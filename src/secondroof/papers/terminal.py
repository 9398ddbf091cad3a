"""Findings and calculations as plain text for a terminal, 100 columns wide."""

from __future__ import annotations

import math
import textwrap
from collections.abc import Iterable, Sequence
from typing import TYPE_CHECKING, Any

import numpy as np

from secondroof.checks.model import Check
from secondroof.checks.numbers import show
from secondroof.findings.model import Findings
from secondroof.findings.words import fullest_old, snow_in_psf
from secondroof.papers.layout import WIDTH, cut, plain_line, table, wrap
from secondroof.papers.terminal_loads import loads_block, purlins_block
from secondroof.papers.words import (
    PARTS,
    VERDICT_HEADS,
    amount,
    first_sentence,
    job_line,
    ratio_text,
    spacing_state,
    worst_first,
)

if TYPE_CHECKING:
    from secondroof.calculations import Calculation, Run

#: How many rows a summary shows where not every row is asked for.
MOST_ROWS, MOST_MISSING, MOST_CAUTIONS = 4, 3, 2
#: Rows the block of old purlins tells already.
TOLD = frozenset({"purlin gravity", "purlin pressed", "purlin lifted"})


def summary(findings: Findings, every_row: bool = False) -> str:
    """Verdict, what is missing, wind, weight, loads, old purlins, worst rows, spacing and cautions, as text.

    Parameters
    ----------
    findings : Findings
        Of one recover.
    every_row : bool
        Print every row and everything missing.

    Returns
    -------
    str
        At most 100 columns; about 60 lines where not every row is asked for.
    """
    blocks = [
        _head(findings),
        _verdict(findings),
        _missing(findings, every_row),
        _zones(findings),
        _weight(findings, every_row),
        loads_block(findings),
        purlins_block(findings),
        _rows(findings, every_row),
        _spacing(findings),
        _cautions(findings, every_row),
    ]
    return "\n".join(plain_line(line) for block in blocks if block for line in block)


def _head(f: Findings) -> list[str]:
    rules = f.rules
    basis = ", ".join(
        (
            rules.get("building code", "not given"),
            f"wind by {rules.get('wind', 'not given')}",
            f"V {rules.get('V', 'not given')}",
            f"exposure {rules.get('exposure', 'not given')}",
            f"risk category {rules.get('risk category', 'not given')}",
            rules.get("enclosure", f.enclosure or "not given"),
        )
    )
    return [*wrap(f"{job_line(f)}. Recover {f.recover}: {f.recover_title}"), *wrap(basis), ""]


def _verdict(f: Findings) -> list[str]:
    lines = ["Verdict"]
    for name, head in VERDICT_HEADS:
        lines += wrap(getattr(f.verdict, name).sentence, f"  {head:<11}", "    ")
    return [*lines, ""]


def _missing(f: Findings, every_row: bool) -> list[str]:
    if not f.missing:
        return ["Missing: nothing.", ""]
    shown = f.missing if every_row else f.missing[:MOST_MISSING]
    lines = [f"Missing, {len(f.missing)} in all"]
    for need in shown:
        if every_row:
            lines += wrap(f"{need.what}. Get it: {need.where}. Decides {need.decides}.", "  - ")
        else:
            lines += textwrap.wrap(f"  - {need.what}", WIDTH, max_lines=1, placeholder=" ...")
    if len(shown) < len(f.missing):
        lines.append(f"  and {len(f.missing) - len(shown)} more: --all lists them")
    return [*lines, ""]


def _zones(f: Findings) -> list[str]:
    """Uplift by zone and part; planes that agree stand in one row."""
    if not f.zones:
        return ["Wind uplift: not known. The ground rules are not complete.", ""]
    parts = list(dict.fromkeys(z.component for z in f.zones))
    found: dict[tuple[str, tuple[str, ...]], list[str]] = {}
    for plane in dict.fromkeys(z.plane for z in f.zones):
        for zone in dict.fromkeys(z.zone for z in f.zones if z.plane == plane):
            here = {z.component: z for z in f.zones if z.plane == plane and z.zone == zone}
            cells = tuple(show(abs(here[p].uplift_psf_asd), "psf") if p in here else "" for p in parts)
            found.setdefault((zone, cells), []).append(plane)
    rows = [(zone, " ".join(planes), *cells) for (zone, cells), planes in found.items()]
    doubt = "; coefficients not all confirmed in print" if any(x.unconfirmed for x in f.loads) else ""
    lines = [f"Wind uplift, psf, allowable stress level (ASD){doubt}"]
    lines += table(("zone", "plane", *(PARTS.get(p, p) for p in parts)), rows, set(range(2, 2 + len(parts))))
    return [*lines, ""]


def _weight(f: Findings, every_row: bool) -> list[str]:
    total = show(f.added_psf, "psf", "weight") if math.isfinite(f.added_psf) else "not known"

    def psf(value: float) -> str:
        return show(value, "psf", "weight") if math.isfinite(value) else "not known"

    if not every_row:
        parts = ", ".join(f"{w.what} {psf(w.psf)}" for w in f.weight)
        return [*wrap(f"{total} psf{': ' + parts if parts else ''}", "Weight added: ", "  "), ""]
    rows = [(w.what, psf(w.psf), w.how) for w in f.weight]
    rows.append(("added in all", total, ""))
    return ["Weight added, psf", *(cut(line) for line in table(("", "psf", "how"), rows, {1})[1:]), ""]


def _rows(f: Findings, every_row: bool) -> list[str]:
    if every_row:
        chosen = worst_first(f.checks)
    else:
        best: dict[str, Check] = {}
        for c in worst_first(
            c for c in f.checks if c.state != "holds" and c.id[0] in "HPRSW" and c.key not in TOLD
        ):
            best.setdefault(c.key, c)
        chosen = list(best.values())[:MOST_ROWS]
    if not chosen:
        return []
    lines = ["Every row" if every_row else "Worst rows, one a kind"]
    rows = []
    for c in chosen:
        place = f"zone {c.zone}" if c.zone and not every_row else c.where
        rows.append((c.id, c.state, ratio_text(c.ratio), c.what, place))
    lines += [cut(line) for line in table(("", "", "", "", ""), rows, {2})[1:]]
    return [*lines, ""]


def _spacing(f: Findings) -> list[str]:
    if not f.spacing:
        return []
    alike: dict[tuple[str, ...], list[str]] = {}
    for x in f.spacing:
        holds = "none" if x.holds_ft is None else f"{x.holds_ft:.2f}"
        cells = (f"{x.there_ft:.2f}", holds, spacing_state(x), _name_of(f, x.governs))
        alike.setdefault(cells, []).append(x.zone)
    rows = [(" ".join(zones), *cells) for cells, zones in alike.items()]
    head = ("zone", "there", "would hold", "", "governs")
    return ["Largest line spacing that would hold, ft (what is known)", *table(head, rows, {1, 2}), ""]


def _name_of(f: Findings, key: str) -> str:
    return next((c.what.lower() for c in f.checks if c.key == key), key)


def _cautions(f: Findings, every_row: bool) -> list[str]:
    texts = f.cautions.get("surveyor", ())
    if not texts:
        return []
    lines = ["Before anyone goes up"]
    shown = texts if every_row else texts[:MOST_CAUTIONS]
    for text in shown:
        lines += wrap(text if every_row else first_sentence(text), "  - ")
    if len(shown) < len(texts):
        lines.append(f"  and {len(texts) - len(shown)} more: --all lists them")
    return lines


# Recovers beside each other ----------------------------------------------------------------------------------


def side_by_side(found: Sequence[Findings]) -> str:
    """Recovers of one roof beside each other: verdict, worst ratio, spacing, weight, what is missing."""
    lines: list[str] = []
    if found:
        lines += [*wrap(f"{job_line(found[0])}. {len(found)} recovers."), ""]
    rows = []
    for f in found:
        top = max((c for c in f.checks if c.whose == "new" and c.ratio is not None), key=_ratio, default=None)
        worst = (
            "" if top is None else f"{ratio_text(top.ratio)} {'zone ' + top.zone if top.zone else top.where}"
        )
        weight = show(f.added_psf, "psf", "weight") if math.isfinite(f.added_psf) else "not known"
        states = [getattr(f.verdict, name).state for name, _ in VERDICT_HEADS]
        rows.append((f.recover, *states, worst, _share(f), weight, str(len(f.missing))))
    head = ("", *(h.lower() for _, h in VERDICT_HEADS), "worst ratio", "lines short", "psf added", "missing")
    lines += [cut(line) for line in table(head, rows, {6, 7, 8})] + [""]
    for f in found:
        lines += [*wrap(f"{f.recover}: {f.recover_title}")]
        lines += wrap(f.verdict.new_work.sentence, "  ")
        lines += wrap(f"Snow all over {snow_in_psf(f)}. Fullest old purlin {fullest_old(f)}.", "  ")
        for x in f.spacing:
            if spacing_state(x) != "holds":
                lines += wrap(x.sentence, "  ")
        lines.append("")
    return "\n".join(plain_line(line) for line in lines).rstrip()


def _ratio(c: Check) -> float:
    return c.ratio or 0.0


def _share(f: Findings) -> str:
    """Length of new line that is short, of all of it."""
    s = f.segments
    length = s.x1_ft - s.x0_ft
    short = float(np.sum(length[s.state == "short"]))
    return f"{show(short, 'ft', 'whole')} of {show(float(np.sum(length)), 'ft', 'whole')} ft"


# Calculations --------------------------------------------------------------------------------------------------


def calculation_list(calcs: Iterable[Calculation]) -> str:
    """Every calculation by room, one line each: its name and title."""
    calcs = tuple(calcs)
    wide = max((len(c.name) for c in calcs), default=0)
    lines: list[str] = []
    room = ""
    for c in calcs:
        here = c.name.split(".", 1)[0]
        if here != room:
            lines += ["", here] if lines else [here]
            room = here
        lines.append(cut(f"  {c.name:<{wide}}  {c.title}"))
    lines += ["", "Run one: secondroof calc NAME key=value ..., or calc NAME alone to see what it takes."]
    return "\n".join(plain_line(line) for line in lines)


def calculation_use(calc: Calculation) -> str:
    """What one calculation takes."""
    lines = [calc.name, *wrap(f"{calc.title}. {calc.clause}", "  ")]
    if calc.formula is not None:
        lines += wrap(f"Checked: {calc.formula.checked}", "  ")
    lines += ["", "Takes"]
    rows = [
        (name, "" if unit in ("", "-") else f"[{unit}]", what + ("" if required else " (may be left out)"))
        for name, what, unit, required in calc.arguments
    ]
    if rows:
        wide = [max(len(r[i]) for r in rows) for i in range(2)]
        for name, unit, what in rows:
            lines += wrap(what, f"  {name:<{wide[0]}}  {unit:<{wide[1]}}  ")
    needed = " ".join(f"{name}=..." for name, _, _, required in calc.arguments if required)
    lines += ["", *wrap(f"secondroof calc {calc.name} {needed}")]
    return "\n".join(plain_line(line) for line in lines)


def calculation_card(run: Run) -> str:
    """Card of one calculation run alone: steps with formula and numbers, and the result."""
    from secondroof.calculations import values
    from secondroof.checks.expr import FormulaError
    from secondroof.checks.model import Source
    from secondroof.checks.render import card_lines_of, symbols_table
    from secondroof.checks.steps import singled

    calc = run.calculation
    lines = [calc.name, *wrap(f"{calc.title}. {calc.clause}"), "-" * WIDTH]
    given = {name: Source("given") for name in run.inputs}
    steps = singled(run.steps)
    try:
        for line in card_lines_of(steps, sources=given):
            lines += [f"{line.title}  ({line.clause})" if line.clause else line.title]
            if line.numeric.text:
                lines += [
                    f"    {line.symbolic.text}",
                    f"      = {line.numeric.text}",
                    f"      = {line.result.text}",
                ]
            else:
                lines += wrap(f"How: {line.method}", "    ") if line.method else []
                lines += [f"    {line.equation.text}"]
            lines += [w for c in line.cautions for w in wrap(f"Caution: {c}", "    ")] + [""]
        rows = [(r.symbol.text, r.value, r.unit, r.what) for r in symbols_table(steps, given)]
        lines += table(("", "", "", ""), rows, {1})[1:] if rows else []
    except FormulaError as error:
        lines += wrap(f"The steps cannot be printed for these numbers: {error}")
    lines += ["", "Result"]
    for v in values(run):
        lines += wrap(f"{v.name} = {_shown(v.value, v.unit)}" if v.name else _shown(v.value, v.unit), "  ")
    return "\n".join(plain_line(line) for line in lines)


def _shown(value: Any, unit: str) -> str:
    if isinstance(value, list):
        shown = ", ".join(_shown(v, unit) for v in value[:12])
        return shown + (f", and {len(value) - 12} more" if len(value) > 12 else "")
    if isinstance(value, bool) or value is None or isinstance(value, str):
        return "not known" if value is None else str(value)
    return amount(float(value), unit) if unit not in ("", "-") else f"{value:.6g}"
