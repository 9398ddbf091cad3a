"""Water followed over the old purlin lines, and the same line compared under metal and under a membrane.

The water stands at one level behind the eave: that of the heads where something holds it, that of the eave where it
runs over. A purlin is wet where it sinks below that level; frames do not sink here.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

import numpy as np

from secondroof.acting.dead import dead
from secondroof.acting.hung import hung
from secondroof.acting.lineloads import line_loads
from secondroof.acting.rain import held_planes
from secondroof.acting.where import bay_count, bay_length, plan_width_ft
from secondroof.checks.model import Need
from secondroof.errors import InputError
from secondroof.lines.beam import sample_nodes, support_mask, unrecorded_line
from secondroof.lines.laps import E_KSI, lap_ends, three_ways
from secondroof.lines.membrane import metal_against_membrane
from secondroof.lines.ponding import ponding_line
from secondroof.purlins.places import nearest_bays, shortest_laps
from secondroof.purlins.waterstrength import wet_bending, wet_strengths, worse
from secondroof.purlins.waterwords import water_words
from secondroof.survey.statistics import clean

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from secondroof.lines.laps import Way
    from secondroof.lines.membrane import MetalAgainstMembrane
    from secondroof.lines.ponding import LinePonding
    from secondroof.purlins.sections import LineSections
    from secondroof.purlins.waterstrength import WetBending, WetStrengths
    from secondroof.roof.model import Roof, RoofLine, RoofPlane
    from secondroof.survey.models import Survey
    from secondroof.survey.proposals import Recover

    FloatArray = NDArray[np.float64]

#: Depth of water the two kinds of roof are compared at where nothing holds water at the eave [in]: 5.2 psf.
COMPARED_IN = 1.0
#: Parts of a span the water is followed over; ten to twelve are within a percent of twenty.
PARTS = 12
#: Bays of a long line that water is followed over.
MOST_BAYS = 7
DECIDES = "whether water on the roof comes to rest, ponding"


@dataclass(frozen=True, slots=True, eq=False)
class LineWater:
    """Water on one purlin line, worst of the ways the line may be looked at.

    Attributes
    ----------
    plane, line, name : str, int, str
        The line.
    way : str
        ``laps_counted``, ``prismatic`` or ``short_laps_cut``: the one that governs.
    level_in : float
        Water level over the line's own place on a stiff roof; negative where the line stands clear. [in]
    water : LinePonding
        Where the water rests, if the line stays elastic.
    bends : WetBending or None
        Where dead load, snow and that water ask most of its bending strength, in the worst of the ways; None where
        the water runs away in every way.
    """

    plane: str
    line: int
    name: str
    way: str
    level_in: float
    water: LinePonding
    bends: WetBending | None = None

    @property
    def past(self) -> bool:
        """Whether the purlin is past its bending strength before the water comes to rest."""
        return self.bends is not None and self.bends.state == "short"

    @property
    def head_in(self) -> float:
        """Water that stands in the deflected roof over what stood on a stiff one; infinite where it runs away. [in]"""
        if not self.water.settles:
            return float("inf")
        return float(np.max(self.water.depth_in - np.maximum(self.water.stiff_in, 0.0)))


@dataclass(frozen=True, slots=True)
class Softest:
    """The most flexible purlin: its line, the row of it among all lines, its bay counted from 1, and its C_s."""

    line: RoofLine
    row: int
    bay: int
    C_s: float


def bay_slope_in12(survey: Survey, plane: RoofPlane, bay: int) -> float:
    """Least slope of one bay: the plane's own, or a lower one read there or with no bay named. [in/ft]"""
    groups = [
        g
        for g in survey.slope_readings
        if g.plane in (None, plane.name) and (g.bays is None or bay in g.bays)
    ]
    return min([*clean([r for g in groups for r in g.readings]).values, plane.slope_in12])


@dataclass(frozen=True, slots=True, eq=False)
class Work:
    """What lines are worked from: laps [ft], depth of the purlins [in], dead load of each [lb/ft], its strength."""

    roof: Roof
    sections: LineSections
    laps_ft: FloatArray
    depth_in: float
    dead_lb_ft: Mapping[tuple[str, int], float]
    snow_psf: float
    strengths: WetStrengths

    @classmethod
    def of(
        cls, survey: Survey, recover: Recover, roof: Roof, sections: LineSections, snow_psf: float
    ) -> Work:
        cases = [
            c
            for part in (dead(survey, recover, roof, None), hung(survey, recover, roof, None))
            for c in part.cases
            if c.when in ("after", "both")
        ]
        even: dict[tuple[str, int], float] = {}
        length = roof.frames_ft[-1] - roof.frames_ft[0]
        for plane in roof.planes:
            loads = line_loads(roof, plane, cases)
            for line, lb in zip(plane.lines, loads.totals_lb().sum(axis=0), strict=True):
                even[plane.name, line.index] = float(lb) / length
        laps = shortest_laps(survey, roof) / 12.0
        depth, strengths = (
            float(survey.purlins.depth or np.nan),
            wet_strengths(survey, recover, roof, sections),
        )
        return cls(roof, sections, laps, depth, even, snow_psf, strengths)

    def plane(self, line: RoofLine) -> RoofPlane:
        return next(p for p in self.roof.planes if p.name == line.plane)

    def width_ft(self, line: RoofLine) -> float:
        return plan_width_ft(line, self.plane(line))

    def other_lb_ft(self, line: RoofLine) -> float:
        return self.dead_lb_ft[line.plane, line.index] + self.snow_psf * self.width_ft(line)

    def ways(self, row: int) -> tuple[FloatArray, FloatArray, tuple[Way, ...]] | None:
        """Frames worked, nodes, and the ways that differ; None where the line's sections or depth are not known.

        Of a line of more than ``MOST_BAYS`` bays those round its softest bay are worked, with no moment at their ends:
        the safe side.
        """
        I = self.sections.Ix_in4[row]
        if not np.all(np.isfinite(I)) or not self.depth_in > 0:
            return None
        first, last = nearest_bays(np.asarray(self.roof.frames_ft), I, MOST_BAYS)
        frames, lap = (
            np.asarray(self.roof.frames_ft)[first : last + 1],
            self.laps_ft[row, first : last + 1].copy(),
        )
        lap[[0, -1]] = np.nan
        x = sample_nodes(frames, lap_ends(frames, lap, lap), PARTS)
        found = three_ways(x, frames, I[first:last], lap, lap, self.depth_in)
        return frames, x, tuple(w for k, w in enumerate(found) if k == 0 or w.differs)

    def key(self, row: int, line: RoofLine, level_in: float) -> object:
        """Equal for lines on which water does the same."""
        numbers = np.concatenate([self.sections.Ix_in4[row], np.nan_to_num(self.laps_ft[row], nan=-1.0)])
        rest = (level_in, self.width_ft(line), self.other_lb_ft(line))
        strength = (self.sections.which[row].tobytes(), self.strengths.answers[line.plane])
        return (numbers.tobytes(), *strength, *(round(v, 9) for v in rest))

    def surely_dry(self, row: int, line: RoofLine, level_in: float) -> bool:
        """Whether the line stays above the water even as a simple span of its longest bay and least section."""
        span = max(np.diff(np.asarray(self.roof.frames_ft))) * 12.0
        EI = E_KSI * 1000.0 * float(np.min(self.sections.Ix_in4[row]))
        return bool(level_in + 5.0 * self.other_lb_ft(line) / 12.0 * span**4 / (384.0 * EI) <= 0)


def water_on_lines(
    survey: Survey, work: Work, needs: list[Need], drainage_known: bool
) -> tuple[tuple[LineWater, ...], list[str]]:
    """Follow the water over every line it reaches."""
    edges = survey.edges
    held = {p.name for p in held_planes(survey, work.roof)}
    if held:
        lacking = [n for n in ("static_head", "hydraulic_head") if getattr(edges, n) is None]
        for name in lacking:
            words = name.replace("_", " ")
            who = "surveyor" if name == "static_head" else "engineer"
            what = f"{words}: depth of water at the eave with the drains blocked"
            needs.append(Need(what, f"edges.{name}", DECIDES, who))
        if lacking:
            return (), [
                "How deep water stands at the eave is not known, so water on the purlins was not followed."
            ]
    if not drainage_known:
        return (), ["Where water leaves the roof is not known, so water on the purlins was not followed."]
    out: list[LineWater] = []
    done: dict[object, LineWater | None] = {}
    skipped: list[str] = []
    for row, line in enumerate(work.sections.lines):
        plane = work.plane(line)
        eave = 0.0
        if plane.name in held:
            eave = float(edges.static_head or 0.0) + float(edges.hydraulic_head or 0.0)
        slope = min(bay_slope_in12(survey, plane, b) for b in range(1, bay_count(work.roof) + 1))
        level = eave - slope * abs(line.y_ft - plane.y_eave_ft)
        if (line.index == 0 and plane.name not in held) or work.surely_dry(row, line, level):
            continue
        alike = work.key(row, line, level)
        if alike in done:
            twin = done[alike]
            if twin is not None:
                out.append(replace(twin, plane=line.plane, line=line.index, name=line.name))
            continue
        try:
            made = work.ways(row)
        except InputError as error:
            skipped.append(line.name)
            what = f"laps of the purlins: {error.problems[0].message}"
            needs.append(Need(what, "purlins.laps_each_side", DECIDES))
            continue
        if made is None:
            skipped.append(line.name)
            continue
        done[alike] = got = _worst(work, row, line, level, *made)
        if got is not None:
            out.append(got)
    said = water_words(out, work.strengths)
    if skipped:
        names = skipped[0] if len(skipped) == 1 else f"{skipped[0]} to {skipped[-1]}, {len(skipped)} lines"
        said.append(f"Water on {names} was not followed: their sections or laps are not known.")
        needs += [n for n in work.sections.needs if n not in needs]
    return tuple(out), said


def _worst(
    work: Work,
    row: int,
    line: RoofLine,
    level: float,
    frames: FloatArray,
    x: FloatArray,
    ways: tuple[Way, ...],
) -> LineWater | None:
    """The way under which most water lies; None where the line stays dry under its other loads in every way.

    Beside it the way under which the purlin is bent most against its strength.
    """
    held, other, found, bends = support_mask(x, frames), work.other_lb_ft(line), [], []
    first = int(np.searchsorted(np.asarray(work.roof.frames_ft), frames[0]))
    lap = work.laps_ft[row, first : first + frames.size]
    for way in ways:
        if level <= 0 and not _sinks(x, held, way, other, level):
            continue
        water = ponding_line(
            x, held, way.EI_kip_in2, work.width_ft(line), level, other_lb_ft=other, release=way.release
        )
        found.append(LineWater(line.plane, line.index, line.name, way.key, level, water))
        if water.response is not None:
            bends.append(wet_bending(work.sections, work.strengths, row, first, lap, way.key, water.response))
    most = max(found, key=lambda f: (not f.water.settles, f.water.water_lb, f.water.growth), default=None)
    return None if most is None else replace(most, bends=worse(bends))


def _sinks(x: FloatArray, held: NDArray[np.bool_], way: Way, other: float, level: float) -> bool:
    bent = unrecorded_line(x, held, way.EI_kip_in2, other, other, 0.0, release=way.release)
    return bool(float(bent.d_in.max()) + level > 0)


# Metal against membrane --------------------------------------------------------------------------------------


def compare(
    survey: Survey, recover: Recover, work: Work, worst: Softest, needs: list[Need]
) -> tuple[MetalAgainstMembrane | None, str, list[str]]:
    """The most flexible purlin line of the roof under metal and under a membrane."""
    live = survey.ground_rules.roof_live
    if live is None:
        needs.append(
            Need(
                "roof live load",
                "the code's table of live loads",
                "deflection limits under both roofs",
                "estimator",
            )
        )
        return None, "", []
    line, plane = worst.line, work.plane(worst.line)
    try:
        made = work.ways(worst.row)
    except InputError:
        made = None
    if made is None:
        return (
            None,
            "",
            [f"Metal and membrane were not compared: sections or laps of {line.name} are not known."],
        )
    frames, x, ways = made
    way = ways[-1]  # the most cut of the ways that differ
    width = work.width_ft(line)
    held = plane.name in {p.name for p in held_planes(survey, work.roof)}
    heads = float(survey.edges.static_head or 0.0) + float(survey.edges.hydraulic_head or 0.0)
    water = heads if held and heads > 0 else COMPARED_IN
    got = metal_against_membrane(
        x,
        support_mask(x, frames),
        way.EI_kip_in2,
        width,
        water,
        float(live),
        rib_height_in=None if recover.panel.rib_height is None else float(recover.panel.rib_height),
        eave_open=None if survey.edges.drainage is None else not held,
        slope_in_per_ft=max(bay_slope_in12(survey, plane, worst.bay), 0.0),
        other_psf=work.dead_lb_ft[line.plane, line.index] / width,
        snow_psf=work.snow_psf,
        release=way.release,
    )
    where = f"purlin line {line.name}, softest in bay {worst.bay} ({bay_length(work.roof, worst.bay):.1f} ft)"
    return got, where, _compare_words(got, where, water)


def _compare_words(got: MetalAgainstMembrane, where: str, water: float) -> list[str]:
    lead = f"Compared on {where}, {water:g} in of water, {5.2 * water:.1f} psf."
    if not got.channels_hold:
        why = "; ".join(got.why_not)
        metal = f"Under metal the channels do not keep the water apart ({why}): no better than a membrane."
    elif got.metal.amplification > 1.0:
        grown = _times(got.metal.amplification)
        metal = (
            f"Under metal each channel keeps its rain, but the dip behind the eave fills: it grows {grown}."
        )
    else:
        metal = "Under metal each channel keeps its rain and every foot of purlin is loaded alike: nothing gathers."
    held, same = got.level_held, got.same_water.moment_amplification
    membrane = f"Under a smooth membrane water runs to mid-span and grows {_times(held.amplification)} if rain goes on"
    if np.isfinite(same):
        membrane += f"; the same water gathered bends the purlin {same:.2f} times as much as lying evenly"
    rows = "; ".join(
        f"{row.roof} L/{row.limit.over:g} under {row.limit.load}, {row.deflection_in:.2f} in of {row.allowed_in:.2f}"
        for row in got.limits
        if row.deflection_in > 0
    )
    covered = (
        "A recover covers the old sheet: whether L/150 still counts, or the plain L/180, the official says."
    )
    limits = [f"Deflection limits on that purlin: {rows}. {covered}"] if rows else []
    return [f"{lead} {metal} {membrane}.", *limits]


def _times(value: float) -> str:
    return f"{value:.2f} times" if np.isfinite(value) else "without bound"
