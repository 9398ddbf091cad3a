"""Where the old purlins stand and what was read there: thickness, rust and laps, line by line and bay by bay."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, Literal

import numpy as np

from secondroof.checks.model import Need
from secondroof.steel.numeric import FloatArray
from secondroof.survey.statistics import clean, place_in_words, thickness_everywhere

if TYPE_CHECKING:
    from secondroof.roof.model import Roof, RoofLine
    from secondroof.survey.fields import RustGroup, ThicknessGroup
    from secondroof.survey.models import Survey
    from secondroof.survey.statistics import ThicknessAt

Known = Literal["known", "unknown", "engineer"]
Member = Literal["purlin", "eave strut", "ridge purlin"]
Rust = tuple[Known, str, bool]
"""State, reason, and whether strengths may still be worked out for the engineer's eye."""

#: What the readings decide.
DECIDES = "what the old purlins carry"
#: Rust grade from which the thickness left has to be read at that very place, and the grade of holes.
GRADE_LOSS, GRADE_HOLES = 3, 4


def shortest_laps(survey: Survey, roof: Roof) -> FloatArray:
    """Shortest clean lap of each line at each frame, the lesser side, (n_line, n_frame); NaN where not read [in].

    A reading whose frame, line or plane is not named speaks for all of them: readings are samples.
    """
    frames = len(roof.frames_ft)
    out = np.full((len(roof.lines), frames), np.nan)
    for group in survey.purlins.laps_each_side:
        values = clean(group.readings).values
        if not values:
            continue
        for i, line in enumerate(roof.lines):
            if group.plane not in (None, line.plane) or (
                group.lines is not None and line.index not in group.lines
            ):
                continue
            at = np.ones(frames, bool)
            if group.frames is not None:
                at = np.isin(np.arange(1, frames + 1), group.frames)
            out[i] = np.where(at, np.fmin(out[i], min(values)), out[i])
    out[:, [0, -1]] = np.nan  # no lap at an end wall
    return out


@dataclass(frozen=True, slots=True)
class PlaceRow:
    """One distinct place: member, plane of its first line, thickness read, rust in the way, what to read."""

    member: Member
    plane: str
    read: ThicknessAt | None
    rust: tuple[Rust, ...]
    need: Need | None


def place_rows(survey: Survey, roof: Roof) -> tuple[list[PlaceRow], np.ndarray]:
    """Distinct places: equal member, reading and rust share a row; a strut also its plane's slope."""
    everywhere = thickness_everywhere(survey)
    n_bay = len(survey.building.bays)
    which = np.zeros((len(roof.lines), n_bay), dtype=int)
    slopes = {p.name: p.slope_in12 for p in roof.planes}
    index: dict[object, int] = {}
    rows: list[PlaceRow] = []
    for i, line in enumerate(roof.lines):
        _, at, values = everywhere[line.plane]
        for bay in range(n_bay):
            read = _thinnest(survey, line, bay + 1, values[at[line.index, bay]])
            rust = _rust(survey, line, bay + 1)
            slope = slopes[line.plane] if line.member == "eave strut" else None
            key = (
                line.member,
                slope,
                None if read is None else (read.value_in, read.rule, read.note, read.assumed),
                rust,
            )
            if key not in index:
                index[key] = len(rows)
                rows.append(PlaceRow(line.member, line.plane, read, rust, _place_need(line, read, rust)))
            which[i, bay] = index[key]
    return rows, which


def _place_need(line: RoofLine, read: ThicknessAt | None, rust: tuple[Rust, ...]) -> Need | None:
    if read is None:
        return Need(f"bare thickness of the {line.member}", f"line {line.name} and its like", DECIDES)
    if any(state == "unknown" for state, _, _ in rust):
        return Need(
            f"bare thickness left of the {line.member} where it is rusted", f"line {line.name}", DECIDES
        )
    return None


def _rust(survey: Survey, line: RoofLine, bay: int) -> tuple[Rust, ...]:
    found: list[Rust] = []
    for g in survey.purlins.rust_grades:
        if g.grade < GRADE_LOSS or not _speaks_of(g, line, bay):
            continue
        if g.grade >= GRADE_HOLES:
            found.append(
                ("engineer", "rusted through here (grade 4): the member is mended or replaced first", False)
            )
        elif not any(_reads(t, g) for t in survey.purlins.thickness):
            found.append(
                (
                    "unknown",
                    "rust with loss (grade 3) here, and the steel left was not read at this place",
                    False,
                )
            )
    return tuple(dict.fromkeys(found))


def _thinnest(survey: Survey, line: RoofLine, bay: int, read: ThicknessAt | None) -> ThicknessAt | None:
    """The thickness used, or the one read in the rust of this very place where that is less."""
    for g in survey.purlins.rust_grades:
        if read is None or g.grade < GRADE_LOSS or not _speaks_of(g, line, bay):
            continue
        for t in survey.purlins.thickness:
            if not _reads(t, g) or not _covers(t, line, bay):
                continue
            used = clean(t.readings).used
            low = min(r.value for r in used)
            if low < read.value_in:
                rule = f"lowest of {len(used)} readings in the rusted place, {place_in_words(t)}"
                read = replace(
                    read, value_in=low, count=len(used), rule=rule, assumed=False, note="", readings=used
                )
    return read


def _graded_member(words: str) -> Member | None:
    """Which old member a rust grade speaks of; None for screws, panel and the like."""
    text = words.lower()
    if "strut" in text:
        return "eave strut"
    if "purlin" not in text:
        return None
    return "ridge purlin" if "ridge" in text else "purlin"


def _covers(place: RustGroup | ThicknessGroup, line: RoofLine, bay: int) -> bool:
    bays = _bays(place)
    return (
        place.plane in (None, line.plane)
        and (place.lines is None or line.index in place.lines)
        and (bays is None or bay in bays)
    )


def _bays(place: RustGroup | ThicknessGroup) -> set[int] | None:
    """Bays a place names, those on both sides of a frame where it names frames; None where it names neither."""
    near = None if place.frames is None else {b for f in place.frames for b in (f - 1, f)}
    if place.bays is None:
        return near
    return set(place.bays) if near is None else set(place.bays) & near


def _speaks_of(g: RustGroup, line: RoofLine, bay: int) -> bool:
    member = _graded_member(g.member)
    named = (
        g.lines is not None and line.index in g.lines
    )  # a line counted out is meant, whatever it is called
    return member is not None and (member == line.member or named) and _covers(g, line, bay)


def _reads(t: ThicknessGroup, g: RustGroup) -> bool:
    """Whether a group of thickness readings was taken in the rusted place: it names what the grade names."""
    if t.member != _graded_member(g.member):
        return False
    if not clean(t.readings).used or t.plane not in (None, g.plane):
        return False
    pairs = ((t.lines, g.lines), (_bays(t), _bays(g)))
    named = [(a, b) for a, b in pairs if b is not None]
    if any(a is not None and not set(a) & set(b or ()) for a, b in named):
        return False
    if named:
        return any(a is not None for a, _ in named)
    return t.plane is not None or g.plane is None


def nearest_bays(frames_ft: FloatArray, Ix_in4: FloatArray, most: int) -> tuple[int, int]:
    """First and last frame of at most ``most`` bays round the softest bay of a line.

    Parameters
    ----------
    frames_ft : ndarray, shape (n_frame,)
        Frame lines. [ft]
    Ix_in4 : ndarray, shape (n_bay,)
        Second moment in each bay. [in4]
    most : int
        Bays kept.
    """
    bays = frames_ft.size - 1
    soft = int(np.argmax(np.diff(frames_ft) ** 3 / Ix_in4))
    first = min(max(soft - most // 2, 0), max(bays - most, 0))
    return first, min(first + most, bays)
