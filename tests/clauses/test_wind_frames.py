"""Main-frame roof pressures, with hand calculations in the comments."""

import numpy as np
import pytest

from secondroof.errors import InputError, MissingError
from secondroof.loads.mwfrs import SURFACES, frame_pressures


def frames(
    edition="7-16", V=115.0, exposure="C", h=20.0, width=80.0, enclosure="enclosed", slope=4.0, **more
):
    return frame_pressures(edition, V, exposure, h, width, 1.0, enclosure, slope, **more)


def test_low_slope_by_hand():
    # K_z 0.9019, q = 0.00256 x 0.9019 x 0.85 x 115^2 = 25.96; surface 2: 25.96 x (-0.69 - 0.18) = -22.58
    p = frames()
    assert float(p.q_h_psf) == pytest.approx(25.96, abs=0.01)
    assert p.across_up_psf == pytest.approx(p.q_h_psf * np.array([-0.87, -0.55, -1.25, -0.71]))
    assert p.across_down_psf == pytest.approx(p.q_h_psf * np.array([-0.51, -0.19, -0.89, -0.35]))
    assert p.along_up_psf == pytest.approx(p.across_up_psf)  # up to 5 degrees both cases agree on the roof
    assert p.surfaces == SURFACES


def test_slope_is_interpolated():
    p = frames(slope=np.array([5.0, 12.5, 20.0, 25.0, 30.0]))
    three = list(p.GC_pf_across[SURFACES.index("3")])
    assert three == pytest.approx([-0.37, -0.425, -0.48, -0.455, -0.43])
    assert list(p.GC_pf_across[0]) == pytest.approx([-0.69, -0.69, -0.69, -0.24, 0.21])


def test_exposure_B_floor_and_7_22():
    assert float(frames(exposure="B", h=15.0).q_h_psf) == pytest.approx(0.00256 * 0.70 * 0.85 * 115**2)
    new = frames("7-22", h=15.0)
    assert float(new.across_up_psf[0]) == pytest.approx(float(frames(h=15.0).across_up_psf[0]), rel=0.005)


def test_limits():
    with pytest.raises(MissingError, match="7-05"):
        frames("7-05")
    with pytest.raises(InputError) as caught:
        frames(h=30.0, width=25.0, slope=50.0)
    assert [p.field for p in caught.value.problems] == ["h_ft", "slope_deg"]
