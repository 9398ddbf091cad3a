"""Pull-out figures used in the trade for 1/4-14 and No. 12 screws: common practice, no source."""

import pytest

from secondroof.steel import screws


# allowable pull-out of 1/4-14 and No. 12 screws in Fu 65, lb: figures of the trade, common practice, no source
@pytest.mark.parametrize(
    ("t", "quarter", "no12"),
    [
        (0.048, 221, 191),
        (0.054, 249, 215),
        (0.060, 276, 239),
        (0.067, 309, 267),
        (0.075, 345, 298),
        (0.105, 483, 418),
    ],
)
def test_pull_out_figures_of_the_trade(t, quarter, no12):
    for size, want in (("1/4-14", quarter), ("No. 12", no12)):
        got = 1000 * screws.allowable(screws.pull_out(t, screws.screw_diameter(size), 65.0), 3.0)
        assert abs(got - want) <= 1.0, "printed to the pound"
