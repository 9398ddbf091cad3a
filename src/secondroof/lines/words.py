"""Words and units shared by the lines room. ``numeric`` means a scalar or an array that broadcasts."""

from __future__ import annotations

from typing import Any, TypeAlias

import numpy as np
from numpy.typing import NDArray

Numeric: TypeAlias = Any
FloatArray: TypeAlias = NDArray[np.float64]
BoolArray: TypeAlias = NDArray[np.bool_]

IN_PER_FT = 12.0
LB_PER_KIP = 1000.0
PSF_PER_IN = 5.2  # weight of one inch of rain water, as the standards round it; 62.4 lb/ft3 over 12
