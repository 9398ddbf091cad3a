"""Beam lines against printed beam tables, a general frame library and exact solutions.

The comparison itself stands in ``tools/verification_lines.py``, which also writes the page of the manual. The frame
library's figures (a stiffness method; ours is a force method) are kept in ``tests/data/lines_oracle.json`` with its
name and version, made by ``tools/lines_oracle.py``.
"""

import importlib.util
import sys
from pathlib import Path

import pytest

_path = Path(__file__).parents[2] / "tools" / "verification_lines.py"
_spec = importlib.util.spec_from_file_location("verification_lines", _path)
verification = importlib.util.module_from_spec(_spec)
sys.modules["verification_lines"] = verification
_spec.loader.exec_module(verification)


def wrong(rows):
    return [f"{r.value}: {r.computed:.9g}, expected {r.expected:.9g}" for r in rows if not r.agrees]


@pytest.mark.parametrize("case", verification.CASES, ids=lambda c: c["id"])
def test_beam_tables(case):
    rows = list(verification.of_case(case))
    assert len(rows) == len(case["expected"])
    assert not wrong(rows), f"{case['source']}; {case['tolerance_note']}"


@pytest.mark.parametrize("case", verification.LIBRARY["cases"], ids=lambda c: c["id"])
def test_frame_library(case):
    assert not wrong(verification.of_library(case)), verification.LIBRARY["tool"]


def test_exact_solutions():
    assert not wrong(verification.closed_forms())


def test_page_of_the_manual_is_current():
    assert verification.PAGE.read_text(encoding="utf-8") == verification.page()
