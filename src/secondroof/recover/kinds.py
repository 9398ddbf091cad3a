"""Framing kinds known: one file each, found here by name."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

from secondroof.recover import brackets, notched
from secondroof.recover.chain import Link


@dataclass(frozen=True, slots=True)
class FramingKind:
    """A framing kind: its links, where it may stand, and the distance of its screw groups."""

    name: str
    open_for: tuple[str, ...]
    links: tuple[Link, ...]
    pitch_ft: Callable[[Any, Any], float | None]


KINDS: dict[str, FramingKind] = {
    module.KIND: FramingKind(module.KIND, module.OPEN_FOR, module.LINKS, module.pitch_ft)
    for module in (notched, brackets)
}
