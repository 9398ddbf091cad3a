"""What stands on every sheet: title, scale bar, north arrow, key of states, notes at the foot."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from secondroof.drawings.lettering import text_width, wrapped
from secondroof.drawings.scene import Group, Item, Line, Mark, Point, Polygon, Polyline, Tag, Text
from secondroof.drawings.words import whole

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping

    from secondroof.checks.model import State

KEY_ORDER: tuple[State, ...] = ("holds", "short", "unknown", "engineer")
_COMPASS = {"N": 0, "NE": 45, "E": 90, "SE": 135, "S": 180, "SW": 225, "W": 270, "NW": 315}


def title(text: str, under: str, width_px: float) -> tuple[tuple[Item, ...], float]:
    """Title and the line that says of what; items and the height they take."""
    items: list[Item] = []
    y = 4.0
    for line in wrapped(text, width_px, 20.0):
        y += 22.0
        items.append(Text((0.0, y), line, 20.0, 600))
    for line in wrapped(under, width_px, 14.0):
        y += 18.0
        items.append(Text((0.0, y), line, 14.0, 400, colour="ink2"))
    return tuple(items), y + 6.0


def round_length(target: float) -> float:
    """Largest of 1, 2, 5 times a power of ten that is not over ``target``."""
    power = 10.0 ** math.floor(math.log10(target))
    return max(m * power for m in (1.0, 2.0, 5.0) if m * power <= target * (1 + 1e-9))


def scale_bar(
    at: Point, scale_px: float, unit: str, most_px: float = 150.0
) -> tuple[tuple[Item, ...], float]:
    """Bar of a round length, half of it filled; items and width."""
    length = round_length(most_px / scale_px)
    w = length * scale_px
    x, y = at[0] + 12, at[1]
    half = x + w / 2
    label = f"{length:g} {unit}"
    items: tuple[Item, ...] = (
        Text((at[0], y + 8), "0", 12.5, colour="ink2"),
        Polygon((((x, y), (half, y), (half, y + 6), (x, y + 6)),), fill="ink", style="ink"),
        Polygon((((half, y), (x + w, y), (x + w, y + 6), (half, y + 6)),), fill="sheet", style="ink"),
        Text((x + w + 6, y + 8), label, 12.5, colour="ink2"),
    )
    return (Group(items, Tag(title=f"Scale bar, {label}")),), 12 + w + 6 + text_width(label, 12.5)  # type: ignore[arg-type]


def north_arrow(at: Point, down_faces: str) -> tuple[Item, ...]:
    """Arrow to the north where the foot of the sheet looks to ``down_faces``. ``at`` is its middle."""
    turn = math.radians((180 - _COMPASS[down_faces]) % 360)

    def put(dx: float, dy: float) -> Point:
        """Turn a point of the upright arrow clockwise about its middle."""
        return (
            at[0] + dx * math.cos(turn) - dy * math.sin(turn),
            at[1] + dx * math.sin(turn) + dy * math.cos(turn),
        )

    letter = put(0.0, 21.0)
    return (
        Group(
            (
                Line(put(0, 12), put(0, -8), "circle"),
                Polyline((put(0, -17), put(5, -5), put(0, -7.5), put(-5, -5)), "circle", True, "ink"),
                Text((letter[0], letter[1] + 4.5), "N", 13.0, 600, "middle"),
            ),
            Tag(title=f"North arrow; the foot of the plan looks {down_faces}"),
        ),
    )


def key_of_states(
    at: Point, lengths: Mapping[State, float], width_px: float
) -> tuple[tuple[Item, ...], float]:
    """Stroke, mark, word and feet of line of each state, in rows; items and the place under them."""
    items: list[Item] = []
    x, y = at
    for state in KEY_ORDER:
        feet = f"{whole(lengths[state])} lf"
        w = 44 + 18 + text_width(state, 14) + 8 + text_width(feet, 14) + 26
        if x + w - 26 > at[0] + width_px and x > at[0]:
            x, y = at[0], y + 24
        items += swatch((x, y - 5), state)
        items.append(Mark((x + 52, y - 5), state, 13.0))
        items.append(Text((x + 63, y), state, 14.0, 600, colour=state))
        items.append(Text((x + 63 + text_width(state, 14) + 8, y), feet, 14.0))
        x += w
    return tuple(items), y


def swatch(at: Point, state: str) -> list[Item]:
    """A piece of line as it is drawn on the plan."""
    x, y = at
    if state == "engineer":
        return [Line((x, y - 2), (x + 38, y - 2), state), Line((x, y + 2), (x + 38, y + 2), state)]
    return [Line((x, y), (x + 38, y), state)]


def key_width(lengths: Mapping[State, float]) -> float:
    """Width of the key in one row."""
    return (
        sum(44 + 18 + text_width(s, 14) + 34 + text_width(f"{whole(lengths[s])} lf", 14) for s in KEY_ORDER)
        - 26
    )


def notes(at: Point, lines: Iterable[tuple[str, str]], width_px: float) -> tuple[tuple[Item, ...], float]:
    """Notes at the foot, each with its head; wrapped; items and the place under them."""
    items: list[Item] = []
    x, y = at
    for head, text in lines:
        if not text:
            continue
        w = text_width(head, 13) + 8
        first = wrapped(text, width_px - w, 13.0)
        items.append(Text((x, y), head, 13.0, 600))
        items.append(Text((x + w, y), first[0], 13.0, colour="ink2"))
        rest = " ".join(first[1:])
        y += 18
        for line in wrapped(rest, width_px, 13.0) if rest else ():
            items.append(Text((x, y), line, 13.0, colour="ink2"))
            y += 18
    return tuple(items), y
