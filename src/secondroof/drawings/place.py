"""Where labels go: no two over each other, none over the edge of the sheet."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from itertools import pairwise

from secondroof.drawings.scene import Point

Box = tuple[float, float, float, float]


def box_at(middle: Point, w: float, h: float) -> Box:
    """Box of a size round its middle: left, top, right, bottom."""
    return middle[0] - w / 2, middle[1] - h / 2, middle[0] + w / 2, middle[1] + h / 2


def overlaps(a: Box, b: Box, gap: float = 0.0) -> bool:
    """Two boxes nearer than ``gap``."""
    return a[0] < b[2] + gap and b[0] < a[2] + gap and a[1] < b[3] + gap and b[1] < a[3] + gap


class Placer:
    """Boxes already taken inside one area, and places for more.

    Parameters
    ----------
    inside : Box
        Area labels must stay in.
    gap : float
        Least distance between labels. [px]
    """

    def __init__(self, inside: Box, gap: float = 3.0) -> None:
        self.inside = inside
        self.gap = gap
        self.taken: list[Box] = []

    def take(self, box: Box) -> None:
        """Keep a box free of labels."""
        self.taken.append(box)

    def free(self, box: Box) -> bool:
        """Inside, and clear of all that is taken."""
        i = self.inside
        if box[0] < i[0] or box[1] < i[1] or box[2] > i[2] or box[3] > i[3]:
            return False
        return not any(overlaps(box, other, self.gap) for other in self.taken)

    def place(self, w: float, h: float, candidates: Iterable[Point]) -> Point | None:
        """Take the first candidate middle at which a box of this size is free; None where there is none."""
        for middle in candidates:
            box = box_at(middle, w, h)
            if self.free(box):
                self.take(box)
                return middle
        return None


def around(p: Point, step: float = 8.0, reach: float = 160.0, flat: float = 1.0) -> list[Point]:
    """Points ever farther from ``p``, itself first; ``flat`` > 1 looks sideways before up and down."""
    n = int(reach / step)
    grid = [(i * step, j * step) for i in range(-n, n + 1) for j in range(-n, n + 1)]
    grid.sort(key=lambda d: (round(d[0] ** 2 / flat + d[1] ** 2 * flat, 6), d[0], d[1]))
    return [(p[0] + dx, p[1] + dy) for dx, dy in grid]


def spread(at: Sequence[float], least: float) -> list[float]:
    """Rising positions moved apart to ``least`` with as little movement as can be."""
    blocks: list[list[float]] = []  # each block: sum of wanted starts, count
    for wanted in at:
        blocks.append([wanted, 1.0])
        while len(blocks) > 1 and _start(blocks[-2]) + blocks[-2][1] * least > _start(blocks[-1]):
            total, count = blocks.pop()
            blocks[-1][0] += total - count * blocks[-1][1] * least
            blocks[-1][1] += count
    out: list[float] = []
    for block in blocks:
        out.extend(_start(block) + k * least for k in range(int(block[1])))
    return out


def _start(block: list[float]) -> float:
    return block[0] / block[1]


def thinned(at: Sequence[float], least: float) -> list[int]:
    """Which of rising positions to name: the ends always, between them every n-th that keeps ``least`` apart."""
    n = len(at)
    if n <= 2:
        return list(range(n))
    for step in (1, 2, 5, 10, 20, 50, 100):
        keep = [0, *(i for i in range(step, n - 1, step)), n - 1]
        inner = [i for i in keep[1:-1] if at[n - 1] - at[i] >= least and at[i] - at[0] >= least]
        if all(at[b] - at[a] >= least for a, b in pairwise(inner)):
            return [0, *inner, n - 1]
    return [0, n - 1]
