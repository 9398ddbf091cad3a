"""Command line: exit codes and words, through the same door a person uses."""

from __future__ import annotations

import json
from pathlib import Path

import jsonschema
import pytest

import secondroof as sr
from secondroof import cli


@pytest.fixture
def barn():
    return str(sr.example("tamsel-feed-barn"))


def run(capsys, *argv: str) -> tuple[int, str, str]:
    code = cli.main(list(argv))
    out, err = capsys.readouterr()
    assert "Traceback" not in out + err
    return code, out, err


def test_check_says_the_verdict_and_exits_1_where_something_is_open(capsys, barn):
    code, out, err = run(capsys, "check", barn)
    assert code == 1
    assert "New work" in out
    assert err == ""


def test_check_json_holds_the_published_keys(capsys, barn):
    code, out, _ = run(capsys, "check", barn, "--json")
    found = json.loads(out)
    assert code == 1
    assert set(found["verdict"]) == {"new_work", "old_steel", "code_path", "open"}
    assert {"checks", "zones", "weight", "missing"} <= set(found)


def test_loads_lists_every_case_and_keeps_to_its_schema(capsys, barn):
    code, out, err = run(capsys, "loads", barn)
    assert (code, err) == (0, "")
    assert "roof live load" in out
    assert max(map(len, out.splitlines())) <= 100
    found = json.loads(run(capsys, "loads", barn, "--json")[1])
    assert "line" not in found
    assert all(c["id"] in out for c in found["loads_cases"] if ".partial." not in c["key"])
    assert any("patterns" in line for line in out.splitlines()) == any(
        ".partial." in c["key"] for c in found["loads_cases"]
    )
    published = json.loads((Path(__file__).parents[2] / "docs" / "findings.schema.json").read_text())
    alone = {**published["$defs"]["loads_alone"], "$defs": published["$defs"]}
    jsonschema.Draft202012Validator(alone).validate(found)
    one = json.loads(run(capsys, "loads", barn, "--line", "w4", "--json")[1])
    jsonschema.Draft202012Validator(alone).validate(one)
    assert [b["bay"] for b in one["line"]["bays"]] == [1, 2, 3, 4]


def test_loads_of_one_line_say_what_governs_as_check_does(capsys, barn):
    code, out, _ = run(capsys, "loads", barn, "--line", "W4")
    assert code == 1
    assert "Line W4: old purlin" in out
    one = json.loads(run(capsys, "loads", barn, "--line", "W4", "--json")[1])["line"]["bays"]
    whole = json.loads(run(capsys, "check", barn, "--json")[1])["old_purlins"]["lines"]
    assert one == [b for b in whole if b["name"] == "W4"]
    code, _, err = run(capsys, "loads", barn, "--line", "Q3")
    assert code == 2
    assert "W0 to W" in err


def test_loads_with_something_missing_exits_1_and_names_it(capsys):
    code, out, _ = run(capsys, "loads", str(sr.example("harrow-pass-district-shop")))
    assert code == 1
    assert "weight of the old blanket, dry" in out


def test_check_all_prints_every_row(capsys, barn):
    few = run(capsys, "check", barn)[1]
    every = run(capsys, "check", barn, "--all")[1]
    assert len(every) > len(few)
    assert "C-01" in every


def test_exit_0_where_all_holds(capsys, barn, monkeypatch):
    from dataclasses import replace

    found = sr.check(sr.load(barn))
    v = found.verdict
    calm = type(v)(*(replace(s, state="holds") for s in (v.new_work, v.old_steel, v.code_path, v.open)))
    monkeypatch.setattr(sr, "check", lambda *a, **k: replace(found, verdict=calm))
    assert run(capsys, "check", barn)[0] == 0


@pytest.mark.parametrize(
    ("argv", "said"),
    [
        (("check", "not-there.yaml"), "not-there.yaml"),
        (("check", "{barn}", "--recover", "R9"), "no recover of that name"),
        (("check",), ""),
        (("no-such-command",), ""),
        (("calc", "no_such_thing"), "no one calculation named"),
        (("calc", "steel.screws.pull_out", "t_c"), "not key=value"),
        (("calc", "steel.screws.pull_out", "t_c=abc", "d=0.25", "F_u2=65"), "t_c"),
        (("calc", "steel.screws.pull_out", "t_c=0.06"), "is needed"),
        (("calc", "steel.screws.pull_out", "t_c=0.06", "d=0.25", "F_u2=65", "z=1"), "not an argument"),
        (("demo", "--example", "atlantis"), "no example"),
    ],
)
def test_bad_use_is_exit_2_with_words(capsys, barn, argv, said):
    code, out, err = run(capsys, *(a.replace("{barn}", barn) for a in argv))
    assert code == 2
    assert said in out + err
    assert (out + err).strip()


def test_a_bad_survey_is_exit_2_with_every_problem(capsys, tmp_path):
    bad = tmp_path / "bad.survey.yaml"
    bad.write_text("secondroof: 1\njob: {name: x}\nbuilding: {shape: dome, length: -3}\n")
    code, _, err = run(capsys, "check", str(bad))
    assert code == 2
    assert "building.shape" in err
    assert "building.length" in err


def test_our_own_fault_is_exit_3_with_a_number(capsys, barn, monkeypatch):
    def broken(*_args, **_kwargs):
        raise ZeroDivisionError("half a purlin")

    monkeypatch.setattr(sr, "check", broken)
    code, _, err = run(capsys, "check", barn)
    assert code == 3
    assert err.startswith("Our fault (number ")


def test_package_writes_and_refuses_a_strange_folder(capsys, tmp_path, barn):
    out = tmp_path / "package"
    code, said, _ = run(capsys, "package", barn, "--out", str(out))
    assert code == 1
    assert {"engineers-submittal.pdf", "owners-summary.pdf", "roof-plan.svg", "READ-ME-FIRST.txt"} <= {
        p.name for p in out.iterdir()
    }
    assert all(p.name in said for p in out.iterdir())
    strange = tmp_path / "mine"
    strange.mkdir()
    (strange / "letter.txt").write_text("mine")
    code, _, err = run(capsys, "package", barn, "--out", str(strange))
    assert code == 2
    assert "letter.txt" in err
    assert [p.name for p in strange.iterdir()] == ["letter.txt"]


def test_schemes_stand_beside_each_other(capsys):
    path = str(sr.example("port-averill-net-store"))
    code, out, _ = run(capsys, "schemes", path)
    assert code == 1
    assert "R1" in out
    assert "R2" in out
    assert [x["recover"]["name"] for x in json.loads(run(capsys, "schemes", path, "--json")[1])] == [
        "R1",
        "R2",
    ]


def test_calc_lists_tells_its_use_and_prints_a_card(capsys):
    code, out, _ = run(capsys, "calc", "--list")
    assert code == 0
    assert "steel.screws.pull_out" in out
    code, out, _ = run(capsys, "calc", "steel.screws.pull_out")
    assert code == 0
    assert "Takes" in out
    # AISI S100-16 J4.4.1 by hand: 0.85 x 0.0630 x 0.25 x 65 = 0.8702 kip
    code, out, _ = run(capsys, "calc", "steel.screws.pull_out", "t_c=0.0630", "d=1/4 in", "F_u2=65")
    assert code == 0
    assert "0.85 x 0.0630 x 0.25 x 65" in out
    assert "0.8702" in out or "0.87 kip" in out
    code, out, _ = run(capsys, "calc", "steel.screws.pull_out", "t_c=0.0630", "d=0.25", "F_u2=65", "--json")
    assert json.loads(out)["result"] == pytest.approx(0.85 * 0.063 * 0.25 * 65)


def test_survey_new_does_not_write_over(capsys, tmp_path):
    path = tmp_path / "barn.survey.yaml"
    assert run(capsys, "survey", "new", str(path))[0] == 0
    path.write_text("mine")
    assert run(capsys, "survey", "new", str(path))[0] == 2
    assert path.read_text() == "mine"


def test_survey_validate_lists_what_was_not_read(capsys, barn):
    code, out, _ = run(capsys, "survey", "validate", barn)
    assert code == 1
    assert "Not read" in out
