"""Every reference case of ``tests/data/steel_cases.json`` with its own tolerance.

Each case names its source. ``published`` was printed and recomputes; ``published-recalled`` is a printed table from
memory; ``computed-reference`` is an own reference, the weakest, kept beside the published ones. The comparison
itself stands in ``tools/verification_steel.py``, which also writes the page of the manual.
"""

import importlib.util
import sys
from pathlib import Path

import pytest

_path = Path(__file__).parents[2] / "tools" / "verification_steel.py"
_spec = importlib.util.spec_from_file_location("verification_steel", _path)
verification = importlib.util.module_from_spec(_spec)
sys.modules["verification_steel"] = verification
_spec.loader.exec_module(verification)


@pytest.mark.parametrize("case", verification.CASES, ids=lambda c: f"{c['id']} [{c['origin']}]")
def test_case(case):
    wrong = [
        f"{key}: computed {got:.6g}, expected {want:g}, off {off:+.3f} %, allowed {allowed} %"
        for key, got, want, off, allowed, agrees in verification.compare(case)
        if not agrees
    ]
    assert not wrong, f"{case['source']}; {case['tolerance_note']}: {wrong}"


def test_every_case_names_its_source():
    for case in verification.CASES:
        assert case["source"].strip(), case["id"]
        assert case["origin"] in verification.ORIGIN, case["id"]
        assert case["expected"], case["id"]


def test_page_of_the_manual_is_current():
    # off % is printed to two decimals of computed values that agree across machines to far more digits
    assert verification.PAGE.read_text(encoding="utf-8") == verification.page()
