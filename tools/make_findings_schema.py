"""Write docs/findings.schema.json: the form of ``check --json``, and of ``loads --json``. Run after a change of it."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

Schema = dict[str, Any]
OUT = Path(__file__).resolve().parents[1] / "docs" / "findings.schema.json"

TEXT: Schema = {"type": "string"}
TEXT_OR_NULL: Schema = {"type": ["string", "null"]}
NUMBER: Schema = {"type": "number"}
KNOWN: Schema = {"type": ["number", "null"], "description": "null: not known"}
WHOLE: Schema = {"type": "integer"}
YES_NO: Schema = {"type": "boolean"}
TEXTS: Schema = {"type": "array", "items": TEXT}
STATE: Schema = {"enum": ["holds", "short", "unknown", "engineer"]}
ANY: Schema = {"description": "a number, a list of numbers, words, or null where not known"}


def record(about: str = "", /, *, may_lack: tuple[str, ...] = (), **fields: Schema) -> Schema:
    """Object with exactly these keys; all but ``may_lack`` are always there."""
    out: Schema = {
        "type": "object",
        "additionalProperties": False,
        "required": [k for k in fields if k not in may_lack],
        "properties": fields,
    }
    return {"description": about, **out} if about else out


def said(schema: Schema, what: str) -> Schema:
    """A schema with its description."""
    return {**schema, "description": what}


def rows(item: Schema, about: str = "") -> Schema:
    out: Schema = {"type": "array", "items": item}
    return {"description": about, **out} if about else out


def table_of(item: Schema) -> Schema:
    return {"type": "object", "additionalProperties": item}


def named(name: str) -> Schema:
    return {"$ref": f"#/$defs/{name}"}


def or_null(schema: Schema) -> Schema:
    return {"anyOf": [schema, {"type": "null"}]}


def defs() -> Schema:
    way = record(label=TEXT, ratio=KNOWN, state=STATE, used=YES_NO)
    side = record(
        "worst point of one line and bay; moments in kip-in, reactions over seats in kip",
        ratio=said(KNOWN, "with the recover; demand over capacity, null where not known"),
        ratio_before=said(KNOWN, "today"),
        state=STATE,
        state_before=STATE,
        point=said(TEXT, "span, lap end, seat, turned, bearing, lifted span or lifted seat"),
        x_ft=said(KNOWN, "from frame 1"),
        combination=TEXT,
        combination_before=TEXT,
        demand=KNOWN,
        capacity=KNOWN,
    )
    return {
        "need": record("one missing item", what=TEXT, where=TEXT, decides=TEXT, who=TEXT),
        "step": record(
            "one step of a card",
            title=TEXT, symbol=TEXT, unit=TEXT, clause=TEXT, checked=TEXT, inputs=table_of(ANY), result=ANY,
            method=TEXT, self_check=TEXT,
        ),
        "way": way,
        "sentence": record(state=STATE, sentence=TEXT),
        "side": side,
        "case": record(
            "one load case of the roof",
            id=said(TEXT, "card number"),
            key=said(TEXT, "stable name, e.g. snow.balanced.after"),
            title=TEXT,
            kind={"enum": ["D", "Lr", "S", "R", "W_down", "W_up", "C"]},
            when={"enum": ["before", "after", "both"]},
            level={"enum": ["service", "strength"]},
            psf=said(KNOWN, "largest load by place; null where it acts on lines only"),
            line=said(TEXT_OR_NULL, "line it loads most; null where it acts on no line of this roof"),
            w_lb_ft=said(KNOWN, "largest line load on that line; uplift negative"),
            P_lb=said(KNOWN, "largest point load on that line"),
            clause=TEXT,
            checked=said(TEXT, "how the clause was confirmed"),
            sentence=TEXT,
            assumed=said(TEXT, "what was assumed, or empty"),
            steps=rows(named("step")),
        ),
        "old_bay": record(
            "one old line in one bay",
            plane=TEXT,
            line=said(WHOLE, "counted from the eave; 0 is the eave strut"),
            name=TEXT,
            member={"enum": ["eave strut", "purlin", "ridge purlin"]},
            bay=said(WHOLE, "counted from 1"),
            x0_ft=NUMBER,
            x1_ft=NUMBER,
            way=said(TEXT, "how the line was taken to work"),
            pressed=named("side"),
            lifted=named("side"),
            seat=said(or_null(named("side")), "null where clips keep the flanges off the frames"),
        ),
        "check": _check(),
    }  # fmt: skip


def _check() -> Schema:
    return record(
        "one limit looked at",
        id=TEXT, key=TEXT, what=TEXT, where=TEXT,
        whose={"enum": ["new", "made worse", "was so"]},
        demand=KNOWN, capacity=KNOWN, unit=TEXT, ratio=KNOWN, ratio_before=KNOWN, state=STATE,
        asked={"enum": ["required", "not required", "ask the official"]},
        asked_why=TEXT, clause=TEXT, basis=TEXT, sentence=TEXT, plane=TEXT_OR_NULL, line={"type": ["integer", "null"]},
        zone=TEXT_OR_NULL, x0_ft=KNOWN, x1_ft=KNOWN, steps=rows(named("step")),
        sources=table_of(record(text=TEXT, assumed=YES_NO)),
        both_ways=rows(named("way")), moves=rows(named("way")), needs=rows(named("need")),
    )  # fmt: skip


def _old_against_new() -> Schema:
    row = record(
        zone_then=TEXT, zone_now=TEXT, roof_area_ft2=NUMBER, part=TEXT, effective_area_ft2=NUMBER,
        uplift_then_psf=NUMBER, uplift_now_psf=NUMBER, ratio=said(NUMBER, "now over then"), unconfirmed=YES_NO,
    )  # fmt: skip
    return record(
        "what the code of the building's day asked; uplift as plain sizes at allowable level",
        edition_then=TEXT, edition_now=TEXT, sentence=TEXT, clause=TEXT, checked=TEXT, assumed=TEXT, rows=rows(row),
        needs=rows(named("need")),
    )  # fmt: skip


def _frames() -> Schema:
    surface = record(
        surface=TEXT,
        what=TEXT,
        across_up_psf=KNOWN,
        across_down_psf=KNOWN,
        along_up_psf=KNOWN,
        along_down_psf=KNOWN,
    )
    load = record(frame=WHOLE, x_ft=NUMBER, before_kip=KNOWN, after_kip=KNOWN, added_kip=KNOWN)
    return record(
        "main-frame wind and weight on each frame line, for the engineer",
        edition=TEXT_OR_NULL, figure=TEXT, level=TEXT, end_strip_ft=KNOWN, rise_in=KNOWN, wind_change=KNOWN,
        surfaces=rows(surface), loads=rows(load), sentence=TEXT, clause=TEXT, checked=TEXT, needs=rows(named("need")),
        steps=rows(named("step")),
    )  # fmt: skip


def _ponding() -> Schema:
    bay = record(plane=TEXT, bay=WHOLE, slope_in12=KNOWN, asked=YES_NO)
    return record(
        "water on the roof",
        state=STATE, bays=rows(bay), C_s=table_of(KNOWN), compared=TEXT, head_in=table_of(KNOWN), sentences=TEXTS,
        assumed=TEXTS, clause=TEXT, checked=TEXT, needs=rows(named("need")), steps=rows(named("step")),
    )  # fmt: skip


def _old_roof() -> Schema:
    region = record(
        region=TEXT, plane=TEXT_OR_NULL, kind=TEXT, count=WHOLE, low_in=KNOWN, high_in=KNOWN, mean_in=KNOWN,
        odd=TEXTS, sentence=TEXT,
    )  # fmt: skip
    return record(
        kind=TEXT, sentence=TEXT, open_kinds=TEXTS, refused_kinds=table_of(TEXT), strengthening=TEXT,
        regions=rows(region),
    )  # fmt: skip


def findings() -> Schema:
    """Schema of ``check --json``."""
    zone = record(
        plane=TEXT, zone=TEXT, component=TEXT, effective_area_ft2=KNOWN,
        uplift_psf_asd=said(KNOWN, "negative is uplift"), down_psf_asd=KNOWN, area_ft2=KNOWN,
        entered=said(TEXT, "page a person entered the coefficients from, or empty"),
    )  # fmt: skip
    load = record(
        id=TEXT, what=TEXT, where=TEXT, zone=TEXT, part=TEXT, uplift_psf_asd=KNOWN, clause=TEXT, sentence=TEXT,
        unconfirmed=YES_NO, steps=rows(named("step")),
    )  # fmt: skip
    stretch = record(
        plane=TEXT, line=WHOLE, zone=TEXT, x0_ft=NUMBER, x1_ft=NUMBER, width_ft=KNOWN, ratio=KNOWN, state=STATE,
        governs=TEXT,
    )  # fmt: skip
    return record(
        form=said({"const": 1}, "version of this form"),
        secondroof=said(TEXT, "version of the software"),
        job=TEXT,
        invented=YES_NO,
        recover=record(name=TEXT, title=TEXT),
        rules=table_of(TEXT),
        verdict=record(**dict.fromkeys(("new_work", "old_steel", "code_path", "open"), named("sentence"))),
        old_roof=_old_roof(),
        enclosure=record(used=TEXT, reason=TEXT),
        roof=record(
            area_ft2=KNOWN,
            length_ft=NUMBER,
            width_ft=NUMBER,
            mean_height_ft=KNOWN,
            lines=WHOLE,
            line_ft=NUMBER,
        ),
        zones=rows(zone),
        spacing=rows(record(zone=TEXT, there_ft=KNOWN, holds_ft=KNOWN, governs=TEXT, sentence=TEXT)),
        weight=record(items=rows(record(what=TEXT, psf=KNOWN, how=TEXT, covering=YES_NO)), added_psf=KNOWN),
        checks=rows(named("check")),
        loads=rows(load, "wind on each part in each zone"),
        lines=rows(stretch, "every stretch of new line"),
        loads_cases=rows(named("case")),
        loads_notes=TEXTS,
        old_against_new=or_null(_old_against_new()),
        frames=or_null(_frames()),
        ponding=or_null(_ponding()),
        old_purlins=or_null(
            record(
                "null where the edition of ASCE 7 is not known",
                edition=TEXT,
                method={"const": "ASD"},
                lines=rows(named("old_bay")),
                reactions=rows(
                    record(key=TEXT, kip=rows(KNOWN, "one a frame")), "of all old lines, by load case"
                ),
            )
        ),
        missing=rows(named("need")),
        cautions=table_of(TEXTS),
    )


def loads() -> Schema:
    """Schema of ``loads --json``."""
    on_line = record(id=TEXT, low_lb_ft=NUMBER, high_lb_ft=NUMBER, P_lb=NUMBER, total_lb=NUMBER)
    line = record(
        "the line asked for",
        plane=TEXT, line=WHOLE, name=TEXT, member=TEXT, cases=rows(on_line), bays=or_null(rows(named("old_bay"))),
    )  # fmt: skip
    return record(
        job=TEXT, invented=YES_NO, recover=record(name=TEXT, title=TEXT), loads_cases=rows(named("case")),
        loads_notes=TEXTS, missing=rows(named("need")), line=line, may_lack=("line",),
    )  # fmt: skip


def schema() -> Schema:
    """Whole schema: findings at the top, ``loads --json`` under ``$defs/loads_alone``."""
    return {
        "$schema": "https://json-schema.org/draft/2020-12/schema",
        "title": "secondroof findings",
        "description": "What check --json prints. What loads --json prints is $defs/loads_alone.",
        **findings(),
        "$defs": {**defs(), "loads_alone": loads()},
    }


def text() -> str:
    return json.dumps(schema(), indent=1, ensure_ascii=False) + "\n"


if __name__ == "__main__":
    OUT.write_text(text(), encoding="utf-8")
    print(f"wrote {OUT.name}")
