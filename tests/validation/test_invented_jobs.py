"""The four invented jobs against a veteran's back-of-envelope figures.

Source: the veteran's notes that come with the invented jobs; pressures there are from memory of ASCE 7-16 (10 ft2,
K_d 0.85, 0.6 W) and agreement within 2 to 3 percent is asked; areas, lengths and movements are plain geometry.
"""

from __future__ import annotations

import functools

import pytest

import secondroof as sr
from secondroof.findings.model import Findings

PRESSURE_TOLERANCE = 0.03  # stated with the figures


@functools.cache
def found(name: str, recover: str | None = None) -> Findings:
    return sr.check(sr.load(sr.example(name)), recover)


def uplift(f: Findings, zone: str, part: str = "clip") -> float:
    return max(-z.uplift_psf_asd for z in f.zones if z.zone == zone and z.component == part)


JOBS = {
    "tamsel-feed-barn": {"1'": 15.2, "1": 26.4, "2": 34.8, "3": 47.4},
    "harrow-pass-district-shop": {"1'": 15.5, "1": 26.9, "2": 35.5, "3": 48.4},
    "quillmark-distribution-hall": {"1'": 16.4, "1": 28.5, "2": 37.6, "3": 51.3},
}


@pytest.mark.parametrize(("name", "zone"), [(n, z) for n, row in JOBS.items() for z in row])
def test_zone_pressures(name: str, zone: str) -> None:
    assert uplift(found(name), zone) == pytest.approx(JOBS[name][zone], rel=PRESSURE_TOLERANCE)


@pytest.mark.parametrize(
    ("zone", "enclosed", "partially"),
    [("1'", 35.4, 47.5), ("1", 61.6, 73.7), ("2", 81.2, 93.3), ("3", 110.7, 122.8)],
)
def test_coast_job_open_and_with_storm_doors(zone: str, enclosed: float, partially: float) -> None:
    assert uplift(found("port-averill-net-store", "R1"), zone) == pytest.approx(
        partially, rel=PRESSURE_TOLERANCE
    )
    assert uplift(found("port-averill-net-store", "R2"), zone) == pytest.approx(
        enclosed, rel=PRESSURE_TOLERANCE
    )


@pytest.mark.parametrize(
    ("name", "area_ft2", "lines", "line_ft"),
    [
        ("tamsel-feed-barn", 8028, 18, 1800),
        ("port-averill-net-store", 45039, None, None),
        ("harrow-pass-district-shop", 30104, None, None),
        ("quillmark-distribution-hall", 400287, 122, 81374),
    ],
)
def test_geometry(name: str, area_ft2: float, lines: int | None, line_ft: float | None) -> None:
    roof = found(name).roof
    assert roof.area_ft2 == pytest.approx(area_ft2, abs=1.0)
    if lines is not None:
        assert len(roof.lines) == lines
        assert len(roof.lines) * roof.length_ft == pytest.approx(line_ft, rel=1e-3)


def test_barn_line_lengths_by_zone() -> None:
    # zone 3 50 lf, zone 2 614, zone 1 513, zone 1' 623; sum 1,800 (whole feet)
    s = found("tamsel-feed-barn").segments
    length = s.x1_ft - s.x0_ft
    got = {z: float(length[s.zone == z].sum()) for z in ("3", "2", "1", "1'")}
    for zone, feet in {"3": 50, "2": 614, "1": 513, "1'": 623}.items():
        assert got[zone] == pytest.approx(feet, abs=1.5)


def test_barn_hold_down_figures() -> None:
    # uplift per ft of line at 5 ft: zone 2 174, zone 3 237 lb/ft; allowable 1/4-14 in t .058, Fu 65: 267 lb
    f = found("tamsel-feed-barn")
    assert 5 * uplift(f, "2", "screw") == pytest.approx(174, rel=0.01)
    assert 5 * uplift(f, "3", "screw") == pytest.approx(237, rel=0.01)
    row = next(c for c in f.checks if c.key == "pull-out" and c.zone == "2")
    # the figure takes t .058; the lowest clean reading of the job is .0575: 0.85 x .0575 x .25 x 65,000 / 3 = 264.74 lb
    assert row.capacity == pytest.approx(264.74, abs=0.01)
    assert row.capacity == pytest.approx(267, rel=0.01)


def test_barn_weight() -> None:
    # added psf 1.26 + 0.32 + .08 + .22 = 1.88
    f = found("tamsel-feed-barn")
    assert [round(w.psf, 2) for w in f.weight] == [1.26, 0.32, 0.08, 0.22]
    assert f.added_psf == pytest.approx(1.88, abs=0.005)


def test_barn_ribs() -> None:
    # nominal notches gain 0.050 in a rib at the W eave; mean of six 12.0375; worst residual 0.21 in a 10 ft piece
    from secondroof.survey.statistics import run_out

    r = run_out(sr.load(sr.example("tamsel-feed-barn")))
    assert r is not None
    assert max(r.modules_in) - 12 == pytest.approx(0.058, abs=0.01)
    assert r.mean_module_in == pytest.approx(12.0375, abs=1e-4)
    assert r.worst_in() == pytest.approx(0.21, abs=0.005)


# What the veteran decides, on the points covered so far ------------------------------------------------------


def test_barn_verdict() -> None:
    # recover; notched line; one screw a flat holds, two in zone 3; the panel must show 47 psf at 5 ft or zone 3 needs
    # added lines; old purlins to the engineer; W coating to the official
    f = found("tamsel-feed-barn")
    assert f.old_roof.kind == "sits"
    assert "notched sub-purlin" in f.old_roof.open_kinds
    assert {c.state for c in f.checks if c.key == "pull-out"} == {"holds"}
    assert next(c for c in f.checks if c.key == "panel" and c.zone == "3").state == "short"
    assert f.verdict.old_steel.state == "short"  # an old shortage: told, and not the recover's
    assert "owner's word" in f.enclosure_reason
    assert any(c.asked == "ask the official" for c in f.checks if c.key == "recover.allowed")
    assert any("coating counts as a layer" in n.what for n in f.missing)


def test_coast_verdict() -> None:
    # an open dock makes the whole building partially enclosed; not every line holds; S strut lost 31 to 37 %; rod cut
    f = found("port-averill-net-store", "R1")
    assert f.enclosure == "partially enclosed"
    assert f.verdict.new_work.state == "short"
    loss = [c for c in f.checks if c.key == "section loss" and "strut" in c.what.lower()]
    assert loss
    assert loss[0].state == "engineer"
    assert loss[0].demand == pytest.approx(0.347, abs=0.04)
    assert any(c.key == "bracing" and c.state == "engineer" for c in f.checks)
    assert any("uplift test" in n.what for n in f.missing)  # none is in the job


def test_snow_verdict() -> None:
    # not a plain recover: engineer first; hold-down is easy; short laps are simple spans; pipe on a lip; wet bays
    f = found("harrow-pass-district-shop")
    assert {c.state for c in f.checks if c.key == "pull-out"} == {"holds"}
    assert next(c for c in f.checks if c.key == "laps").state == "engineer"
    assert any(c.key == "hung load" for c in f.checks)
    assert any(c.key == "wet insulation" for c in f.checks)
    assert f.verdict.old_steel.state in ("engineer", "short")


def test_floating_roof_verdict() -> None:
    # brackets through the floating panel; a foot clamped on the pan or a bare screw over the gap is refused
    good, bad = found("quillmark-distribution-hall", "R1"), found("quillmark-distribution-hall", "R2")
    assert good.old_roof.kind in ("floats", "mixed")
    assert "line on base brackets" in good.old_roof.open_kinds
    assert next(c for c in good.checks if c.key == "framing kind").state != "short"
    refused = next(c for c in bad.checks if c.key == "framing kind")
    assert refused.state == "short"
    assert refused.steps[0].result > 50.0  # ksi: 100 lb over 1.37 in on a 0.25 in screw is about 89
    assert bad.verdict.new_work.state == "short"


def test_what_storm_doors_bring_is_worked_out_not_promised() -> None:
    # the louvres stay when the E doors are shut: the class shown on the card is the one R2 then has
    row = next(
        c for c in found("port-averill-net-store", "R1").checks if c.key == "pull-out" and c.zone == "2"
    )
    way = next(w for w in row.both_ways if "storm-rated doors" in w.label)
    assert way.label.endswith(found("port-averill-net-store", "R2").enclosure)
