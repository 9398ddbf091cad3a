"""What is the old roof? From standoff readings: it sits on the purlins, is low, or floats on clips.

This decides which framing kinds are open and whether any strengthening may be counted. The bounds are common
practice without a source: a notched line's foot is drawn down on flats that lie on the purlin or nearly so; on a
floating panel the same foot dishes the pan and its screws bend over the gap.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Literal

import numpy as np

from secondroof.checks.model import OldRoof, RegionReading
from secondroof.survey.statistics import place_in_words

if TYPE_CHECKING:
    from secondroof.survey.fields import Group, Reading
    from secondroof.survey.models import Survey

RegionKind = Literal["sits", "low", "between", "floats", "unknown"]

#: Standoff to which a panel sits, is low, and from which it floats [in]; common practice, no source.
SITS_IN, LOW_IN, FLOATS_IN = 0.25, 0.375, 0.75
#: What *about* means for those bounds, on the median [in].
ABOUT_IN = 1 / 32
#: A reading is odd when farther from the median than this many scaled MADs, and than this distance [in].
ODD_MADS, ODD_IN = 3.5, 0.125
#: Scale that makes the median absolute deviation a standard deviation in a normal population.
MAD_SCALE = 1.4826
#: Where more than this share of a group would be odd, the group is two regions and none of it is left out.
MOST_ODD = 0.25

NOTCHED, BRACKETS, HATS = "notched sub-purlin", "line on base brackets", "hat section on ribs"
_HATS_WHY = "Hats screwed to old ribs reach the old sheet, not the purlin; the old sheet is no load path."
_FLOATS_WHY = (
    "The old panel floats {gap} above the purlin{where}: a foot drawn "
    "down on it dishes the pan, and its screws bend over the gap. "
    "Uplift, drag and thermal movement have no path."
)
_NEVER = "None may be counted: old and new are held apart by the gap, and a screw over a gap does not make them one."
_SHOWN = "Not counted. Only what a test of this very assembly or a calculated shear connection shows may be."


@dataclass(frozen=True, slots=True)
class _Region:
    group: Group
    used: tuple[Reading, ...]
    odd: tuple[tuple[Reading, str], ...]
    kind: RegionKind
    name: str
    values: tuple[float, ...]

    @property
    def kinds(self) -> set[RegionKind]:
        """Its kind; every kind in it where part floats and part does not."""
        found = {kind_of(v) for v in self.values}
        return found if "floats" in found and len(found) > 1 else {self.kind}


def what_is_the_old_roof(survey: Survey) -> OldRoof:
    """What the standoff readings say, region by region, and what follows for framing and strengthening.

    Each group of readings is a region. The kind of a region is that of the median of its readings, the odd ones
    and the doubtful ones left out and named.
    """
    regions = tuple(_region(g) for g in survey.standoff)
    kinds: set[RegionKind] = {k for r in regions for k in r.kinds if k != "unknown"}
    kind = _overall(kinds)
    open_kinds, refused = _framing(kind, kinds, regions)
    return OldRoof(
        kind=kind,
        regions=tuple(_as_reading(r) for r in regions),
        open_kinds=open_kinds,
        refused_kinds=refused,
        strengthening=_strengthening(kind, kinds),
        sentence=_sentence(kind, regions),
    )


def kind_of(standoff_in: float) -> RegionKind:
    """Kind of a standoff: to about 1/4 in sits, to about 3/8 in low, from about 3/4 in floats, else between."""
    if standoff_in <= SITS_IN + ABOUT_IN:
        return "sits"
    if standoff_in <= LOW_IN + ABOUT_IN:
        return "low"
    return "floats" if standoff_in >= FLOATS_IN - ABOUT_IN else "between"


def odd_ones(values: Sequence[float]) -> tuple[int, ...]:
    """Indices of readings far from the rest: by 3.5 scaled MADs of the median and by more than 1/8 in.

    Fewer than three readings have no rest to be far from.
    """
    x = np.asarray(values, float)
    if x.size < 3:
        return ()
    off = np.abs(x - np.median(x))
    far = (off > ODD_MADS * MAD_SCALE * np.median(off)) & (off > ODD_IN)
    return tuple(int(i) for i in np.flatnonzero(far))


def _region(group: Group) -> _Region:
    odd: list[tuple[Reading, str]] = []
    sure: list[Reading] = []
    for r in group.readings:  # type: ignore[attr-defined]
        if r.read_again is not None:
            odd.append((r, f"read again: {r.read_again:g}"))
            sure.append(r.model_copy(update={"value": r.read_again}))
        elif r.set_aside is not None:
            odd.append((r, r.set_aside))
        elif r.doubtful:
            odd.append((r, r.why or "doubtful"))
        else:
            sure.append(r)
    far = set(odd_ones([r.value for r in sure]))
    if len(far) > MOST_ODD * len(sure):
        far = set()  # so many are no slips but another region
    used = tuple(r for i, r in enumerate(sure) if i not in far)
    if far:
        low, high = min(r.value for r in used), max(r.value for r in used)
        odd += [
            (sure[i], f"far from the other {len(used)}, {low:.2f} to {high:.2f}; read it again")
            for i in sorted(far)
        ]
    values = tuple(r.value for r in used)
    kind: RegionKind = kind_of(float(np.median(values))) if values else "unknown"
    return _Region(group, used, tuple(odd), kind, place_in_words(group), values)


def _overall(kinds: set[RegionKind]) -> Literal["sits", "low", "floats", "mixed", "unknown"]:
    if not kinds or kinds == {"between"}:
        return "unknown"
    if kinds <= {"sits", "low"}:
        return "low" if "low" in kinds else "sits"
    return "floats" if kinds == {"floats"} else "mixed"


def _framing(
    kind: str, kinds: set[RegionKind], regions: Sequence[_Region]
) -> tuple[tuple[str, ...], Mapping[str, str]]:
    refused = {HATS: _HATS_WHY}
    if "floats" in kinds:
        gaps = [v for r in regions if "floats" in r.kinds for v in r.values if kind_of(v) == "floats"]
        where = "" if kind == "floats" else f" at {_names(regions, 'floats')}"
        refused[NOTCHED] = _FLOATS_WHY.format(gap=_span(gaps), where=where)
        return (BRACKETS,), refused
    return ((NOTCHED,) if kind in ("sits", "low") else ()), refused


def _strengthening(kind: str, kinds: set[RegionKind]) -> str:
    if "floats" in kinds:
        return _NEVER
    if kind in ("sits", "low"):
        return _SHOWN
    return "None may be counted until the standoff is known."


_SAID = {
    "sits": "sits on the purlin",
    "low": "is low over the purlin",
    "between": "is neither low nor floating: read it again; an engineer decides what may stand on it",
    "floats": "floats above the purlin",
    "unknown": "was not read cleanly: read it again",
}


def _span(values: Sequence[float]) -> str:
    low, high = min(values), max(values)
    return f"{low:.2f} in" if low == high else f"{low:.2f} to {high:.2f} in"


def _as_reading(r: _Region) -> RegionReading:
    x = r.values
    return RegionReading(
        region=r.name,
        plane=r.group.plane,
        kind=r.kind,
        count=len(x),
        low_in=min(x) if x else None,
        high_in=max(x) if x else None,
        mean_in=sum(x) / len(x) if x else None,
        odd=tuple(f"{q.written or format(q.value, 'g')}: {why}" for q, why in r.odd),
        sentence=_region_sentence(r),
    )


def _region_sentence(r: _Region) -> str:
    where = r.name[0].upper() + r.name[1:]
    if not r.values:
        return f"{where}: the standoff {_SAID['unknown']}."
    text = (
        f"{where}: {_span(r.values)} over {len(r.values)} "
        f"reading{'s' * (len(r.values) > 1)}; the old panel {_SAID[r.kind]}."
    )
    over = sum(v > LOW_IN for v in r.values)
    if r.kind in ("sits", "low") and over:
        text += (
            f" {over} of {len(r.values)} are above 3/8 in: pack or "
            "raise the foot there, and look for what lies between."
        )
    if len(r.kinds) > 1:
        text += " Other readings of it say otherwise: part the region and read more."
    if max(r.values) - min(r.values) > ODD_IN and len(r.values) > 1:
        text += f" The spread is {max(r.values) - min(r.values):.2f} in."
    for q, why in r.odd:
        text += f" {q.written or format(q.value, 'g')} is left out: {why}."
    return text


def _sentence(kind: str, regions: Sequence[_Region]) -> str:
    if not regions:
        return "Standoff was not read: whether the old panel sits or floats is not known."
    values = _by_kind(regions)
    odd = sum(len(r.odd) for r in regions)
    tail = f" {odd} reading{'s are' if odd > 1 else ' is'} left out and named." if odd else ""
    if kind == "unknown":
        between = values["between"]
        if between:
            return (
                f"The standoff is {_span(between)}: neither low nor floating. "
                f"Read it again; an engineer decides what may stand on it.{tail}"
            )
        return f"No standoff reading can be used. Read it again.{tail}"
    if kind == "mixed":
        words = {
            "sits": "it sits",
            "low": "it is low",
            "between": "neither low nor floating",
            "floats": "it floats",
        }
        parts = [f"{_span(v)} at {_names(regions, k)}, {words[k]}" for k, v in values.items() if v]
        return f"The old roof is mixed: {'; '.join(parts)}.{tail}"
    every = [*values["sits"], *values["low"], *values["floats"]]
    text = f"The old panel {_SAID[kind]}: {_span(every)} over {len(every)} readings."
    over = sum(v > LOW_IN for v in every)
    if kind in ("sits", "low") and over:
        text += f" {over} are above 3/8 in, the highest {max(every):.2f}."
    if kind == "low" and values["sits"]:
        text += f" It sits at {_names(regions, 'sits')}."
    return text + tail


def _by_kind(regions: Sequence[_Region]) -> dict[str, list[float]]:
    """Values under the kind of their region; of a parted region, under their own."""
    out: dict[str, list[float]] = {k: [] for k in ("sits", "low", "between", "floats")}
    for r in regions:
        for v in r.values:
            out[kind_of(v) if len(r.kinds) > 1 else r.kind].append(v)
    return out


def _names(regions: Sequence[_Region], kind: str) -> str:
    return " + ".join(r.name for r in regions if kind in r.kinds)
