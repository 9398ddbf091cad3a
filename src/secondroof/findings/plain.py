"""Records as plain JSON values: numbers, needs and steps."""

from __future__ import annotations

import math
from collections.abc import Mapping
from typing import TYPE_CHECKING, Any

import numpy as np

if TYPE_CHECKING:
    from secondroof.checks.model import Need
    from secondroof.formula import Step


def plain(value: Any) -> Any:
    """Any value of a record as JSON: NaN and infinities become null, arrays lists."""
    if isinstance(value, (np.bool_, bool)):
        return bool(value)
    if isinstance(value, (np.floating, float)):
        return float(value) if math.isfinite(value) else None
    if isinstance(value, (np.integer, int)):
        return int(value)
    if isinstance(value, np.ndarray):
        return [plain(v) for v in value.tolist()] if value.ndim else plain(value[()])
    if isinstance(value, Mapping):
        return {str(k): plain(v) for k, v in value.items()}
    if isinstance(value, (list, tuple)):
        return [plain(v) for v in value]
    return value if value is None else str(value)


def need_json(n: Need) -> dict[str, Any]:
    """One missing item."""
    return {"what": n.what, "where": n.where, "decides": n.decides, "who": n.who}


def step_json(s: Step) -> dict[str, Any]:
    """One step of a card."""
    return {
        "title": s.title,
        "symbol": s.symbol,
        "unit": s.unit,
        "clause": s.clause,
        "checked": s.checked,
        "inputs": plain(s.inputs),
        "result": plain(s.result),
        "method": s.method,
        "self_check": s.self_check,
    }
