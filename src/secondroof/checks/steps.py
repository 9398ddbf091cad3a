"""Recorded steps made ready for cards."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace
from typing import Any

import numpy as np

from secondroof.formula import Step


def singled(steps: Iterable[Step]) -> tuple[Step, ...]:
    """Steps with columns that hold one value throughout taken as that value (a factor alike at every spacing)."""
    out = []
    for step in steps:
        inputs = {k: _one(v) for k, v in step.inputs.items()} if step.formula is not None else step.inputs
        out.append(replace(step, inputs=inputs, result=_one(step.result)))
    return tuple(out)


def _one(value: Any) -> Any:
    if isinstance(value, np.ndarray) and value.size and value.dtype.kind in "fiub":
        flat = value.ravel()
        if bool(np.all(flat == flat[0])):
            return flat[0].item()
    return value
