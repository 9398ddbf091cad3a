"""Papers: what stands on them, that text stays text, that the same input gives the same bytes."""

from __future__ import annotations

import io
import json
import re
from dataclasses import replace
from functools import cache
from pathlib import Path

import jsonschema
import numpy as np
import pytest
from pypdf import PdfReader

import secondroof as sr
from secondroof.checks.model import Source, state_of
from secondroof.drawings.svg import to_svg
from secondroof.errors import InputError
from secondroof.papers import package as pack
from secondroof.papers.cards import CardWriter, leading_to, singled
from secondroof.papers.drawn import drawn
from secondroof.papers.loadsheets import line_sheet, worst_line
from secondroof.papers.loadwords import governing_cases, grouped, is_pattern, old_bay, worst_bays
from secondroof.papers.owner import gloss, owner_data
from secondroof.papers.readings import reading_tables
from secondroof.papers.submittal import submittal_data
from secondroof.papers.submittal_loads import load_section
from secondroof.papers.terminal import side_by_side, summary
from secondroof.papers.typeset import pdf
from secondroof.papers.words import first_sentence, numbers, spacing_state

NAMES = sorted(sr.api.examples())
DOCS = Path(__file__).parents[2] / "docs"
EVIL = "a #evil $x$ [b] *c* `d` \\e @f <g> // h"


@cache
def worked(name, recover=None):
    """Survey and findings of one example, worked once for the whole module."""
    survey = sr.load(sr.example(name))
    return survey, sr.check(survey, recover)


@pytest.fixture(scope="module")
def found():
    """Survey, findings and package parts of one example; port-averill has rust, doubt and a missing test."""
    survey, f = worked("port-averill-net-store")
    return survey, f, pack.package_parts(survey)[1]


def pages(content: bytes) -> list[str]:
    return [re.sub(r"\s+", " ", p.extract_text()) for p in PdfReader(io.BytesIO(content)).pages]


def squeezed(text: str) -> str:
    return re.sub(r"\s+", "", text)


@pytest.fixture(scope="module")
def submittal(found):
    return pages(found[2]["engineers-submittal.pdf"][0])


def test_page_1_has_verdict_missing_decisions_basis_and_seal_space(found, submittal):
    first, f = squeezed(submittal[0]), found[1]
    for head in ("New work", "Old steel", "Code path", "Open"):
        assert squeezed(head) in first
    for name in ("new_work", "old_steel", "code_path", "open"):
        sentence = getattr(f.verdict, name)
        assert squeezed(sentence.sentence.split(". ", 1)[1])[:80] in first
        assert sentence.state in first
    assert f"Whatismissing:{len(f.missing)}items" in first
    assert squeezed(f.missing[0].what) in first
    assert "Alicensedengineer" in first
    assert "Thebuildingofficial" in first
    assert squeezed(f.rules["V"]) in first
    assert squeezed(f.enclosure_reason)[:60] in first
    assert "thispaperisnotsealed" in first


def test_every_page_says_invented_and_how_many_pages(submittal):
    for i, text in enumerate(submittal, start=1):
        assert "Invented example." in text
        assert f"page {i} of {len(submittal)}" in text
    assert len(submittal) <= 100


def test_everything_missing_stands_in_the_paper(found, submittal):
    whole = squeezed("".join(submittal))
    for need in found[1].missing:
        assert squeezed(need.what) in whole, need.what


def test_raw_readings_stand_as_written_and_set_aside_ones_with_the_reason(found, submittal):
    whole = squeezed("".join(submittal))
    for group in found[0].standoff:
        assert squeezed(",".join(r.written for r in group.readings)).replace(",", "") in whole.replace(
            ",", ""
        )
    assert ".62?:doubtful(inadent)" in whole


@pytest.mark.parametrize("name", ["tamsel-feed-barn"])
def test_no_card_is_split_over_pages_but_those_of_very_many_steps(name):
    survey, f = worked(name)
    data = submittal_data(f, survey, "")
    for cards in ("cards", "case_cards"):
        data[cards] = [
            {**c, "where": f"BEGIN-{c['id']}-", "sentence": f"END-{c['id']}- {c['sentence']}"}
            for c in data[cards]
        ]
    scenes = drawn(f, survey)
    text = pages(pdf("submittal", data, {"plan": to_svg(scenes.plan, look="print")}))
    assert len(text) <= 100
    whole = [c for c in (*data["cards"], *data["case_cards"]) if not c["long"]]
    assert len(whole) > 30
    for c in whole:
        begins = [i for i, t in enumerate(text) if f"BEGIN-{c['id']}-" in t]
        ends = [i for i, t in enumerate(text) if f"END-{c['id']}-" in t]
        assert begins == ends
        assert len(begins) == 1, c["id"]


def test_nothing_a_person_wrote_acts_as_source(found):
    survey, f, _ = found
    f = replace(f, job=EVIL, recover_title=EVIL, missing=(replace(f.missing[0], what=EVIL), *f.missing[1:]))
    bad = replace(f.checks[4], what=EVIL, sentence=f"Short. {EVIL}", sources={"p": Source(EVIL)})
    f = replace(f, checks=(bad,))
    plan = to_svg(drawn(found[1], survey).plan, look="print")
    text = squeezed("".join(pages(pdf("submittal", submittal_data(f, survey, ""), {"plan": plan}))))
    assert text.count(squeezed(EVIL)) >= 5
    owner = squeezed("".join(pages(pdf("owner", owner_data(f, survey), {"plan": plan}))))
    assert squeezed(EVIL) in owner


def test_same_input_gives_the_same_bytes(found):
    again = pack.package_parts(found[0])[1]
    assert {n: c for n, (c, _) in again.items()} == {n: c for n, (c, _) in found[2].items()}


@pytest.mark.parametrize("name", NAMES)
def test_the_owner_gets_one_page_with_the_answer_and_no_price(name):
    survey, f = worked(name)
    data = owner_data(f, survey)
    text = pages(pdf("owner", data, {"plan": to_svg(drawn(f, survey).owner_plan, look="print")}))
    assert len(text) == 1
    page = squeezed(text[0])
    assert squeezed(data["title"]) in page
    assert "nopricesyet" in page
    assert f"{f.added_psf:.2f}psfadded" in page
    for block in ("found", "short", "unknown", "engineer", "next", "cautions"):
        for line in data[block]:
            assert squeezed(line) in page, line
    assert not any(word in text[0] for word in ("DCR", "ASD", "GCp", "AISI", "ASCE"))


def test_owner_words_of_the_trade_are_told():
    assert gloss("1.4 psf of uplift")[1:] == [
        "psf: pounds on each square foot",
        "uplift: wind pulling the roof up",
    ]


@pytest.mark.parametrize("name", NAMES)
def test_every_symbol_of_a_card_has_its_source(name):
    survey, f = worked(name)
    most = (
        1 if name.startswith("quillmark") else None
    )  # a large roof; its other recover has the same kinds of cards
    for r in survey.recovers[:most]:
        f = f if r is survey.recovers[0] else worked(name, r.name)[1]
        writer = CardWriter()
        load_cards = load_section(f, writer, ())["case_cards"]
        for body in [*writer.loads(f.loads), *load_cards, *map(writer.check, f.checks)]:
            assert not body["not_printed"], body["not_printed"]
            for row in body["symbols"]:
                assert row["from"], (body["id"], row)
                assert row["from"] != "source not stated", (body["id"], row)


def test_a_long_card_points_to_the_same_step_on_an_earlier_card(found):
    writer = CardWriter()
    cards = {c.id: (c, writer.check(c)) for c in found[1].checks}
    pointed = 0
    for c, body in cards.values():
        for step, printed in zip(singled(c.steps), body["steps"], strict=False):
            if printed["on"] and printed["on"] in cards:
                pointed += 1
                there = [s for s in cards[printed["on"]][0].steps if s.title == step.title]
                assert any(np.array_equal(s.result, step.result) for s in there)
    assert pointed > 0


def test_a_load_card_keeps_the_steps_that_lead_to_its_pressure(found):
    load = found[1].loads[0]
    kept = leading_to(load.steps, load.value)
    assert abs(float(kept[-1].result)) == load.value
    assert 0 < len(kept) < len(load.steps)


def test_readings_count_what_is_used(found):
    standoff = reading_tables(found[0])[0]
    assert standoff["rows"][0]["count"] == "17 of 18"
    assert standoff["rows"][0]["spread"] == "0.10 to 0.20"


def test_terminal_summary_says_the_four_states_and_fits_the_screen():
    for name in NAMES:
        f = worked(name)[1]
        text = summary(f)
        lines = text.splitlines()
        assert max(map(len, lines)) <= 100
        assert len(lines) <= 78
        for part in ("new_work", "old_steel", "code_path", "open"):
            assert squeezed(getattr(f.verdict, part).sentence) in squeezed(text)
        every = summary(f, every_row=True)
        assert all(c.id in every for c in f.checks)
        assert all(squeezed(n.what) in squeezed(every) for n in f.missing)
        assert text.isascii()


def test_recovers_stand_beside_each_other():
    survey, f = worked("tamsel-feed-barn")
    both = [f, replace(f, recover="R2")]
    beside = side_by_side(both)
    assert all(re.search(rf"^\s*{name}\b", beside, re.M) for name in ("R1", "R2"))
    assert survey.recovers[0].name == "R1"


# Loads and old purlins ----------------------------------------------------------------------------------------


@pytest.mark.parametrize("name", NAMES)
def test_findings_json_keeps_to_the_published_schema(name):
    published = json.loads((DOCS / "findings.schema.json").read_text(encoding="utf-8"))
    jsonschema.Draft202012Validator.check_schema(published)
    f = worked(name)[1]
    data = json.loads(json.dumps(sr.findings_json(f), allow_nan=False))
    jsonschema.Draft202012Validator(published).validate(data)
    assert len(data["loads_cases"]) == len(f.cases) == len(f.acting.cases)
    bays = data["old_purlins"]["lines"]
    assert len(bays) == f.purlins.sections.which.size
    pressed = sum(b["pressed"]["state"] == "short" for b in bays)
    assert pressed == int((f.purlins.down["after"].state == "short").sum())
    del data["missing"]
    with pytest.raises(jsonschema.ValidationError):
        jsonschema.Draft202012Validator(published).validate(data)


def test_the_published_schema_is_what_its_tool_writes():
    import runpy

    made = runpy.run_path(str(DOCS.parent / "tools" / "make_findings_schema.py"))
    assert (DOCS / "findings.schema.json").read_text(encoding="utf-8") == made["text"]()


@pytest.mark.parametrize("name", NAMES)
def test_the_list_of_cases_holds_every_case_once(name):
    f = worked(name)[1]
    groups = grouped(f.cases)
    assert [c.id for g in groups for c in g.cases] == [c.id for c in sorted(f.cases, key=_place(groups))]
    assert sum(len(g.cases) > 1 for g in groups) <= 2
    assert all(is_pattern(c.key) for g in groups if len(g.cases) > 1 for c in g.cases)
    assert len(governing_cases(f.cases)) == len({c.key for c in governing_cases(f.cases)})
    assert all(c.when != "before" for c in governing_cases(f.cases))


def _place(groups):
    order = {c.id: i for i, c in enumerate(c for g in groups for c in g.cases)}
    return lambda c: order[c.id]


def test_the_submittal_lists_every_case_pattern_and_reaction(found, submittal):
    f, whole = found[1], squeezed("".join(submittal))
    for c in f.cases:
        assert c.id in whole or is_pattern(c.key), c.id
    assert "Reactionsofalloldlinesoneachframe" in whole
    assert squeezed(f.frames.sentence) in whole
    assert squeezed(f.then_now.sentence) in whole
    assert all(squeezed(s) in whole for s in f.ponding.sentences)


@pytest.mark.parametrize("name", NAMES)
def test_dead_reactions_hold_all_dead_load_on_the_lines(name):
    """Statics: reactions of a continuous line add to its load, square to the roof (own check, no source)."""
    from secondroof.acting.lineloads import line_loads

    f = worked(name)[1]
    for k, case in enumerate(f.acting.cases):
        if case.kind != "D":
            continue
        total = 0.0
        for plane in f.roof.planes:
            w0, w1, P = line_loads(f.roof, plane, f.acting.cases).square_to_roof()
            x = line_loads(f.roof, plane, f.acting.cases).x_ft
            total += float(np.sum((w0[k] + w1[k]) / 2 * np.diff(x)) + P[k].sum())
        got = 1e3 * float(np.sum(f.purlins.frame_R_kip[case.key]))
        assert got == pytest.approx(total, rel=1e-6), case.key


@pytest.mark.parametrize("name", NAMES)
def test_the_worst_line_is_drawn_under_the_moment_its_ratio_was_found_with(name):
    f = worked(name)[1]
    bay = worst_line(f.purlins)
    assert bay is not None
    every = [b for side in ("down", "up") for b in worst_bays(f.purlins, side, 10**6)]
    shorts = [b.ratio for b in every if b.state == "short"]
    assert bay.ratio == max(shorts or [b.ratio for b in every])
    scene = line_sheet(f.roof, f.acting, f.purlins, bay, 1080.0)
    side = (f.purlins.down if bay.way == "pressed" else f.purlins.up)["after"]
    assert f"Old line {bay.name}, {bay.way}" == scene.title
    from secondroof.papers import loadsheets

    lines = loadsheets._LineLoads(f.roof, f.acting, f.purlins, bay.row)
    way = lines.way_of(side, "after", bay.row, bay.col)
    row = loadsheets._row(f.purlins, f.acting, side, "after", bay.row, bay.col)
    node = abs(lines.loads.x_ft - side.x_ft[bay.row, bay.col]).argmin()
    moment = abs(float(row @ lines.effects[way].M[:, 0, node]))
    assert moment == pytest.approx(float(side.demand[bay.row, bay.col]), rel=1e-6)
    again = old_bay(f.purlins, "down" if bay.way == "pressed" else "up", bay.row, bay.col)
    assert again == bay


def test_a_step_by_a_formula_of_an_earlier_card_names_a_card_that_prints_it(found):
    writer = CardWriter()
    bodies = {}
    whole: dict[str, set[str]] = {}
    seen = 0
    for c in found[1].checks:
        body = bodies[c.id] = writer.check(c)
        names = [s.formula.name if s.formula else "" for s in singled(c.steps)]
        if len(names) != len(body["steps"]):
            continue
        whole[c.id] = {n for n, s in zip(names, body["steps"], strict=True) if not s["on"] and not s["by"]}
        for n, s in zip(names, body["steps"], strict=True):
            if s["by"]:
                seen += 1
                assert n in whole[c.id if s["by"] == "this card" else s["by"]]
    assert seen > 0


def test_spacing_is_said_with_the_state_of_its_sentence(found):
    for row in found[1].spacing:
        assert row.sentence.lower().startswith(spacing_state(row))


def test_small_words():
    assert numbers(["H-01", "H-02", "H-03"]) == "H-01 to H-03"
    assert numbers(["H-01", "H-03", "S-01"]) == "H-01, H-03, S-01"
    assert first_sentence("Guard them. Then walk.") == "Guard them."
    assert state_of(1.0) == "holds"


# The folder ---------------------------------------------------------------------------------------------------


def test_a_package_is_written_whole_and_again_over_itself(tmp_path, found):
    out = tmp_path / "new" / "folder"
    written = pack.write_package(found[0], None, out, survey_text="secondroof: 1\n")
    assert {f.path.name for f in written.files} == {p.name for p in out.iterdir()}
    assert (out / "survey.yaml").read_text() == "secondroof: 1\n"
    assert not list(out.parent.glob(".secondroof-*"))
    guide = (out / pack.GUIDE).read_text()
    assert all(n.what in guide for n in found[1].missing)
    assert all(f.path.name in guide for f in written.files)
    assert "A licensed engineer must still decide" in guide
    pack.write_package(found[0], None, out)
    assert not (out / "survey.yaml").exists(), (
        "a file of the earlier package must not stay beside the new one"
    )


@pytest.mark.parametrize("what", ["stranger", "changed", "guide", "folder", "no guide"])
def test_a_folder_that_is_not_ours_is_refused_and_left_as_it_was(tmp_path, found, what):
    out = tmp_path / "out"
    if what == "no guide":
        out.mkdir()
        (out / "notes.txt").write_text("mine")
    else:
        pack.write_package(found[0], None, out)
    if what == "stranger":
        (out / "notes.txt").write_text("mine")
    elif what == "changed":
        (out / "findings.json").write_text("{}")
    elif what == "guide":
        with (out / pack.GUIDE).open("a") as file:
            file.write("my own note\n")
    elif what == "folder":
        (out / "photos").mkdir()
    before = {p.name: p.read_bytes() for p in out.iterdir() if p.is_file()}
    with pytest.raises(InputError, match="nothing was written"):
        pack.write_package(found[0], None, out)
    assert {p.name: p.read_bytes() for p in out.iterdir() if p.is_file()} == before


def test_a_file_in_place_of_the_folder_is_refused(tmp_path, found):
    (tmp_path / "out").write_text("mine")
    with pytest.raises(InputError, match="is a file, not a folder"):
        pack.write_package(found[0], None, tmp_path / "out")
