"""Laps: stiffness along the line, short laps, the three ways."""

import numpy as np
import pytest

from secondroof.errors import InputError
from secondroof.lines import laps
from secondroof.lines.beam import peak_moments, sample_nodes, solve_line, support_mask

# Geometry printed in AISI research report RP20-5: four 25-ft spans, 1-ft overhangs, end bays 0.070, inner 0.059.
SUPPORTS = [1.0, 26.0, 51.0, 76.0, 101.0]
LEFT, RIGHT = [0, 2.5, 1.0, 3.5, 0], [0, 3.5, 1.0, 2.5, 0]
I = [9.18, 7.76, 7.76, 9.18]


def nodes():
    return sample_nodes(SUPPORTS, [0.0, 102.0, *laps.lap_ends(SUPPORTS, LEFT, RIGHT)])


def test_lap_ends_stand_where_printed():
    # laps 23.5-29.5, 50-52, 72.5-78.5 ft: RP20-5 line geometry
    assert laps.lap_ends(SUPPORTS, LEFT, RIGHT) == pytest.approx([23.5, 29.5, 50, 52, 72.5, 78.5])


def test_both_purlins_count_in_a_lap_and_only_there():
    x = nodes()
    middle = (x[1:] + x[:-1]) / 2
    got = laps.line_I(x, SUPPORTS, I, LEFT, RIGHT)
    want = np.select(
        [middle < 23.5, middle < 29.5, middle < 50, middle < 52, middle < 72.5, middle < 78.5],
        [9.18, 9.18 + 7.76, 7.76, 2 * 7.76, 7.76, 9.18 + 7.76],
        9.18,
    )
    assert got == pytest.approx(want)
    single = laps.line_I(x, SUPPORTS, I, LEFT, RIGHT, laps_counted=False)
    assert single == pytest.approx(np.where((middle < 26) | (middle > 76), 9.18, 7.76))


def test_summed_laps_draw_moment_to_the_first_support():
    # 14 percent more at the first inner support, 7 percent less in the end span than one stiffness throughout:
    # own reference worked out apart from this code for the RP20-5 line, given in whole percents
    x = nodes()
    counted, _, _ = laps.three_ways(nodes(), SUPPORTS, I, LEFT, RIGHT, 8.0)
    s = support_mask(x, SUPPORTS)
    summed = solve_line(x, s, counted.EI_kip_in2, 1.0, 1.0, 0.0)
    even = solve_line(x, s, 1.0, 1.0, 1.0, 0.0)
    first = summed.M_kip_in[s][1] / even.M_kip_in[s][1]
    end = peak_moments(summed).most[x[:-1] < 26].max() / peak_moments(even).most[x[:-1] < 26].max()
    assert first == pytest.approx(1.14, abs=0.005)
    assert end == pytest.approx(0.93, abs=0.0085)


def test_short_laps_by_depth():
    # condition of AISI S100-16 I6.2.1: one and a half depths each side, 12 in. for an 8-in. purlin (from memory)
    found = laps.short_laps([0, 1.0, 0.9, np.nan, 0], [0, 1.0, 2.0, 2.0, 0], 8.0)
    assert found.least_ft == pytest.approx(1.0)
    assert found.short.tolist() == [False, False, True, False, False]
    assert found.unknown.tolist() == [False, False, False, True, False]


def test_the_deeper_of_two_purlins_rules():
    found = laps.short_laps([0, 1.1, 1.1, 0], [0, 1.1, 1.1, 0], [8.0, 8.0, 10.0])
    assert found.least_ft == pytest.approx([1.0, 1.0, 1.25, 1.25])
    assert found.short.tolist() == [False, False, True, False]


def test_three_ways():
    x = nodes()
    short = [0, 2.5, 0.75, 3.5, 0], [0, 3.5, 0.75, 2.5, 0]
    x = sample_nodes(SUPPORTS, [0.0, 102.0, *laps.lap_ends(SUPPORTS, *short)])
    counted, prismatic, cut = laps.three_ways(x, SUPPORTS, I, *short, 8.0)
    assert [w.key for w in (counted, prismatic, cut)] == ["laps_counted", "prismatic", "short_laps_cut"]
    assert not counted.release.any()
    assert x[cut.release] == pytest.approx([51.0])
    assert prismatic.differs
    assert cut.differs
    beside = (x[:-1] >= 50.25) & (x[1:] <= 51.75)
    assert counted.EI_kip_in2[beside] == pytest.approx(29500 * 15.52)
    assert cut.EI_kip_in2[beside] == pytest.approx(29500 * 7.76), "a cut lap adds no stiffness"
    r = solve_line(x, support_mask(x, SUPPORTS), cut.EI_kip_in2, 1.0, 1.0, 0.0, release=cut.release)
    assert r.M_kip_in[cut.release] == 0
    _, _, same = laps.three_ways(nodes(), SUPPORTS, I, LEFT, RIGHT, 8.0)
    assert not same.differs


def test_laps_nobody_measured_are_cut_not_assumed():
    left, right = [0, np.nan, 1, 1, 0], [0, 2.0, 1, 1, 0]
    x = sample_nodes(SUPPORTS, [0.0, 102.0, *laps.lap_ends(SUPPORTS, left, right)])
    _, _, cut = laps.three_ways(x, SUPPORTS, I, left, right, 8.0)
    assert x[cut.release] == pytest.approx([26.0])


@pytest.mark.parametrize(
    ("left", "right", "field"),
    [
        ([0, -1, 1, 1, 0], RIGHT, "lap_left_ft"),
        ([0, 1, 1], RIGHT, "lap_left_ft"),
        ([0, 1, 15, 1, 0], [0, 15, 1, 1, 0], "lap_left_ft[2]"),
    ],
)
def test_laps_that_cannot_be(left, right, field):
    with pytest.raises(InputError) as caught:
        laps.lap_ends(SUPPORTS, left, right)
    assert caught.value.problems[0].field == field


def test_bays_and_supports_must_fit():
    with pytest.raises(InputError):
        laps.line_I(nodes(), SUPPORTS, [1.0, 2.0], LEFT, RIGHT)
    with pytest.raises(InputError):
        laps.short_laps(LEFT, RIGHT, [8.0, 0.0, 8.0, 8.0])


def test_many_sections_at_once():
    x = nodes()
    many = laps.line_I(x, SUPPORTS, np.array([[1.0, 2, 2, 1], [3, 4, 4, 3]]), LEFT, RIGHT)
    assert many.shape == (2, x.size - 1)
    assert many[1] == pytest.approx(laps.line_I(x, SUPPORTS, [3.0, 4, 4, 3], LEFT, RIGHT))
