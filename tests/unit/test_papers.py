"""Papers: what stands on them, that text stays text, that the same input gives the same bytes."""

from __future__ import annotations

import io
import re
from dataclasses import replace

import pytest
from pypdf import PdfReader

import secondroof as sr
from secondroof.checks.model import Source, state_of
from secondroof.drawings.svg import to_svg
from secondroof.errors import InputError
from secondroof.papers import package as pack
from secondroof.papers.cards import CardWriter, leading_to, singled
from secondroof.papers.drawn import drawn
from secondroof.papers.owner import gloss, owner_data
from secondroof.papers.readings import reading_tables
from secondroof.papers.submittal import submittal_data
from secondroof.papers.terminal import side_by_side, summary
from secondroof.papers.typeset import pdf
from secondroof.papers.words import first_sentence, numbers, spacing_state

NAMES = sorted(sr.api.examples())
EVIL = "a #evil $x$ [b] *c* `d` \\e @f <g> // h"


@pytest.fixture(scope="module")
def found():
    """Survey, findings and package parts of one example; port-averill has rust, doubt and a missing test."""
    survey = sr.load(sr.example("port-averill-net-store"))
    return survey, sr.check(survey), pack.package_parts(survey)[1]


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
    assert len(submittal) <= 60


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


@pytest.mark.parametrize("name", ["quillmark-distribution-hall"])
def test_no_card_is_split_over_pages(name):
    survey = sr.load(sr.example(name))
    f = sr.check(survey)
    data = submittal_data(f, survey, "")
    data["cards"] = [
        {**c, "where": f"BEGIN-{c['id']}-", "sentence": f"END-{c['id']}- {c['sentence']}"}
        for c in data["cards"]
    ]
    scenes = drawn(f, survey)
    text = pages(pdf("submittal", data, {"plan": to_svg(scenes.plan, look="print")}))
    assert len(text) <= 60
    for c in data["cards"]:
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
    survey = sr.load(sr.example(name))
    f = sr.check(survey)
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
    survey = sr.load(sr.example(name))
    for r in survey.recovers:
        f, writer = sr.check(survey, r.name), CardWriter()
        for body in [*writer.loads(f.loads), *map(writer.check, f.checks)]:
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
            if printed["on"]:
                pointed += 1
                there = [s for s in cards[printed["on"]][0].steps if s.title == step.title]
                assert any(float(s.result) == float(step.result) for s in there)
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
        survey = sr.load(sr.example(name))
        f = sr.check(survey)
        text = summary(f)
        lines = text.splitlines()
        assert max(map(len, lines)) <= 100
        assert len(lines) <= 66
        for part in ("new_work", "old_steel", "code_path", "open"):
            assert squeezed(getattr(f.verdict, part).sentence) in squeezed(text)
        every = summary(f, every_row=True)
        assert all(c.id in every for c in f.checks)
        assert all(squeezed(n.what) in squeezed(every) for n in f.missing)
        assert text.isascii()
        beside = side_by_side([sr.check(survey, r.name) for r in survey.recovers])
        assert all(re.search(rf"^\s*{r.name}\b", beside, re.M) for r in survey.recovers)


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
