"""People's gauges at the edge and the steel room's gauges are one table."""

from __future__ import annotations

import pytest

from secondroof.steel.gauge import gauge_thickness
from secondroof.units import GAUGE_BASE_IN, GAUGE_COATED_IN


@pytest.mark.parametrize(("convention", "table"), [("base", GAUGE_BASE_IN), ("coated", GAUGE_COATED_IN)])
def test_same_thickness(convention: str, table: dict[int, float]) -> None:
    for gauge, inches in table.items():
        assert float(gauge_thickness(gauge, convention)) == inches
