"""More nodes between the nodes of a line."""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike

from secondroof.lines.words import BoolArray, FloatArray


def finer(
    x_ft: FloatArray, support: ArrayLike, EI_kip_in2: FloatArray, release: ArrayLike | None, parts: ArrayLike
) -> tuple[FloatArray, BoolArray, FloatArray, BoolArray]:
    """The same line with each piece between nodes in equal parts: places, supports, stiffness, cuts.

    Parameters
    ----------
    x_ft, support, EI_kip_in2, release
        As :func:`secondroof.lines.beam.solve_line`.
    parts : int or (n-1,) int array_like
        Parts of each piece.
    """
    n = x_ft.size
    each = np.broadcast_to(np.asarray(parts, dtype=int), (n - 1,))
    at = np.concatenate(([0], np.cumsum(each)))
    fine = np.interp(np.arange(at[-1] + 1), at, x_ft)
    fine[at] = x_ft
    masks = np.zeros((2, fine.size), dtype=bool)
    masks[0, at] = np.asarray(support, dtype=bool)
    masks[1, at] = False if release is None else np.asarray(release, dtype=bool)
    stiff = np.broadcast_to(EI_kip_in2, (*EI_kip_in2.shape[:-1], n - 1))
    return fine, masks[0], np.repeat(stiff, each, axis=-1), masks[1]
