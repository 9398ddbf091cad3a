"""What was found on one roof: the survey, its ground rules and the recovers tried on it.

These are the edge records: they read people's units and refuse what they do not know. Everything is
frozen. A blank stays ``None`` (not read) and is listed by ``survey.missing``; nothing is filled in here.
The field descriptions are the help texts of the published JSON Schema, the template and the forms.
"""

from __future__ import annotations

from typing import Annotated, Any, Literal

from pydantic import BeforeValidator, Field, model_validator

from secondroof.survey.around import Parapet, RoofBlock, RoofNear
from secondroof.survey.fields import (
    WHOLE,
    AreaFt2,
    BayWidth,
    BendRadius,
    BuildingLength,
    DegF,
    FromEave,
    GapGroup,
    Height,
    Ksi,
    LengthFt,
    LengthGroup,
    LengthIn,
    Place,
    PlaneName,
    PlanFt,
    Pounds,
    PoundsPerFoot,
    Psf,
    Record,
    RunLength,
    RustGroup,
    RValue,
    SeatLength,
    Share,
    SlopeGroup,
    SlopeIn12,
    StandoffGroup,
    StrengthGroup,
    Text,
    ThicknessGroup,
)
from secondroof.survey.ground import GroundRules, Job
from secondroof.survey.oldsteel import BaseTests, EaveStrut, OldScrews
from secondroof.survey.proposals import Recover, UpliftTest
from secondroof.units import Kind, UnitError, parse


def _one_line(value: object) -> object:
    if isinstance(value, str) and " to " in value:
        raise UnitError(
            "cannot be spread into lines.", "Write first to last by step, landing on the last: 15 to 70 by 5."
        )
    return value


class Line(Record):
    """One purlin line: distance from the outside face of the eave strut, along the slope."""

    from_eave: Annotated[FromEave, BeforeValidator(_one_line)] = Field(description="distance used")
    left: LengthFt | None = Field(None, description="read at the first frame")
    mid: LengthFt | None = Field(None, description="read at the middle of the building")
    right: LengthFt | None = Field(None, description="read at the last frame")
    note: str | None = None


class Plane(Record):
    """One roof plane, eave to ridge (or eave to high wall)."""

    name: PlaneName = Field(description="short name, e.g. N")
    run: RunLength = Field(description="plan distance, eave strut to ridge")
    slope: SlopeIn12 = Field(description="slope, rise in 12")
    lines: tuple[Line, ...] = Field(
        (),
        description="every purlin line from the eave, along the slope: [0, 4.90, 9.88, 15 to 70 by 5]; "
        "a line read at three stations: {from_eave: 4.90, left: 4.90, mid: 4.91, right: 4.88}",
    )
    lines_note: str | None = Field(None, description="odd gaps, lines added near a high wall")

    @model_validator(mode="before")
    @classmethod
    def _spread(cls, data: Any) -> Any:
        if isinstance(data, dict) and isinstance(data.get("lines"), list):
            data = {**data, "lines": [line for item in data["lines"] for line in spread_line(item)]}
        return data


def spread_line(item: object) -> list[dict[str, Any]]:
    """``15 to 70 by 5`` becomes its lines; anything else, also what cannot be spread, is one line."""
    if isinstance(item, dict):
        return [item]
    if isinstance(item, str) and " to " in item and " by " in item:
        first, rest = item.split(" to ", 1)
        last, step = rest.split(" by ", 1)
        try:
            a, b, s = (parse(x, Kind.LENGTH_FT) for x in (first, last, step))
        except UnitError:
            return [{"from_eave": item}]
        count = round((b - a) / s) if s > 0.01 else -1
        if 0 <= count <= 500 and abs(a + count * s - b) <= 0.01:
            return [{"from_eave": a + i * s} for i in range(count + 1)]
    return [{"from_eave": item}]


class Building(Record):
    """Outline and frame of one rectangular roof."""

    shape: Literal["gable", "unequal gable", "single slope"] = Field(
        description="gable with equal runs, unequal gable, or one slope"
    )
    length: BuildingLength = Field(description="along the ridge, outside of steel")
    width: BuildingLength = Field(description="across, eave strut to eave strut")
    planes: tuple[Plane, ...] = Field(
        min_length=1, max_length=2, description="the plane that first_plane_faces, then the other"
    )
    bays: tuple[BayWidth, ...] = Field(
        min_length=1, description="bay widths from frame 1, centre to centre, at the first eave"
    )
    bays_far_eave: tuple[BayWidth, ...] | None = Field(None, description="the same, read at the other eave")
    eave_height: Height = Field(description="ground to the eave strut")
    ridge_height: Height | None = Field(None, description="ground to the ridge")
    height_readings: tuple[LengthGroup, ...] = Field((), description="eave, ridge and grade at the corners")
    first_plane_faces: Literal["N", "NE", "E", "SE", "S", "SW", "W", "NW"] = Field(
        description="where the first plane's eave looks"
    )
    frames: str | None = Field(None, description="clear span, interior columns and where")
    outline_readings: tuple[LengthGroup, ...] = Field((), description="both ends, both eaves, diagonals")
    additions: str | None = Field(
        None, description="additions, walls that became inside walls, lines of different age"
    )
    roofs_beside: Literal["none", "lower", "higher", "lower and higher"] | None = Field(
        None, description="roofs that join this one or stand within 20 ft"
    )
    neighbours: tuple[str, ...] = Field(
        (), description="taller or lower roofs beside it: height, size, distance"
    )
    roofs_near: tuple[RoofNear, ...] | None = Field(
        None, description="each roof beside it, measured; an empty list means looked, none"
    )
    blocks: tuple[RoofBlock, ...] = Field((), description="higher blocks that stand through this roof")


class Opening(Record):
    """One opening, or several alike, in one wall or in the roof."""

    wall: Literal["N", "NE", "E", "SE", "S", "SW", "W", "NW", "roof"]
    what: Text
    count: Annotated[int, Field(ge=1, le=1000)] = 1
    area: AreaFt2 = Field(description="area of each")
    state: Literal["open", "shut", "shut in storms, owner's word"] = Field(
        description="open: no door, or stands open in season; shut: proven; owner's word only"
    )
    note: str | None = None


class Enclosure(Record):
    """What lets wind in."""

    openings: tuple[Opening, ...] | None = Field(
        None, description="every opening found; an empty list means looked, none"
    )
    wall_areas: dict[Literal["N", "NE", "E", "SE", "S", "SW", "W", "NW"], AreaFt2] | None = Field(
        None, description="gross wall areas, where not length times height"
    )
    cross_walls: str | None = Field(None, description="full-height inside walls, or none")


class OldPanel(Record):
    """The old roof covering."""

    kind: (
        Literal[
            "through-fastened ribbed",
            "corrugated",
            "trapezoidal-seam standing seam",
            "vertical-seam standing seam",
            "snap seam",
        ]
        | None
    ) = Field(None, description="looked at lap, clip, seam and underside")
    other_panels: str | None = Field(None, description="later patches of another panel or module, and where")
    coverage: LengthIn | None = Field(None, description="nominal width one panel covers")
    rib_module: LengthIn | None = Field(None, description="nominal distance of ribs")
    rib_height: LengthIn | None = Field(None, description="height of the rib over the flat")
    rib_base: LengthIn | None = Field(None, description="width of the rib at its base")
    rib_top: LengthIn | None = Field(None, description="width of the rib at its top")
    minor_ribs: str | None = Field(None, description="stiffeners in the flat: count, height, pitch")
    minor_rib_height: LengthIn | None = Field(None, description="height of the stiffeners")
    rib_readings: tuple[GapGroup, ...] = Field(
        (), description="rib module, height, base and top at 3 places; what: says which"
    )
    seam: str | None = Field(None, description="seam fold and sealant, as found")
    seam_condition: str | None = Field(None, description="opened, patched, sealant dry")
    thickness: tuple[ThicknessGroup, ...] = Field((), description="bare panel steel, readings by place")
    run_out: tuple[GapGroup, ...] = Field((), description="width over several panels, by station, in inches")
    run_out_panels: Annotated[int, Field(ge=2, le=100)] = Field(
        10, description="how many panels each run-out reading spans"
    )
    moves: Literal["yes", "no", "pinned by repairs"] | None = Field(
        None, description="does the old panel slide on clips"
    )
    movement_signs: str | None = Field(None, description="scrapes at the rake, slots, marks at clip tabs")
    layers: Annotated[int, Field(ge=1, le=5)] | None = Field(
        None, description="roof coverings on the purlins, counted"
    )
    coating: str | None = Field(
        None, description="coating or foam: what, when, thickness, condition; 'none' when none"
    )
    coating_psf: Psf | None = Field(None, description="weight of the coating")
    coating_planes: tuple[PlaneName, ...] = Field((), description="planes that carry it; left out, all")
    end_laps: str | None = Field(
        None, description="rows, distance from eave, in line or staggered, on or off purlin"
    )
    end_lap_from_eave: tuple[LengthFt, ...] = Field(
        (), description="every row of end laps, distance from the eave"
    )
    base: Literal["sound", "decayed in places", "decayed"] | None = Field(
        None, description="is the old roof a base to build on, as judged on site"
    )
    condition: str | None = Field(
        None, description="holes, screw spin-out, soft places, hammer and push test"
    )
    holes_per_1000_ft2: Annotated[float, Field(ge=0, le=1000)] | None = Field(
        None, description="rust-through holes per 1,000 ft2"
    )
    screws_spun: Share | None = Field(None, description="share of 100 screws that spin")
    walkable: Literal["yes, on lines", "partly", "no"] | None = Field(
        None, description="can a person walk it"
    )
    not_walkable: tuple[str, ...] = Field((), description="no-walk places")
    screws_rusted: Share | None = Field(None, description="share of screws rusted")
    screws: OldScrews = OldScrews()
    base_tests: BaseTests | None = Field(
        None,
        description="base tests of this seamed panel, its clip and purlin; an engineer says whether they fit",
    )
    yield_strength: Ksi | None = Field(None, description="F_y of the old sheet")
    yield_basis: Literal["coupon", "mark on the sheet", "drawings", "assumed"] | None = Field(
        None, description="where it comes from; an assumed one, or one without its basis, proves nothing"
    )
    leaks: str | None = Field(None, description="owner's map: where, since when, with which wind")
    weight: Psf | None = Field(None, description="weight of the old covering")


class Purlins(Record):
    """Old purlins as one family of sections; gauges differ by place through the thickness readings."""

    shape: Literal["Z", "C"] | None = Field(None, description="section shape")
    depth: LengthIn | None = Field(None, description="outside depth")
    top_flange: LengthIn | None = Field(None, description="width of the top flange")
    bottom_flange: LengthIn | None = Field(None, description="width of the bottom flange")
    lip: LengthIn | None = Field(None, description="length of the lip")
    lip_angle: Annotated[float, Field(ge=30, le=150)] | None = Field(
        None, description="degrees to the flange"
    )
    shape_note: str | None = Field(None, description="mixed shapes, double purlins at the ridge, bent lips")
    inside_radius: BendRadius | None = Field(None, description="inside radius of the bends, radius gauge")
    size_readings: tuple[GapGroup, ...] = Field(
        (), description="depth, flanges and lip at 3 purlins in 3 bays; what: says which"
    )
    orientation: str | None = Field(None, description="which way the top flange points, each side")
    thickness: tuple[ThicknessGroup, ...] = Field(
        (),
        description="bare steel, at least 3 spots a family and 9 a building, by place; strip primer and zinc first",
    )
    coating: Literal["primer", "galvanized", "none"] | None = Field(None, description="what was stripped")
    yield_strength: Ksi | None = Field(None, description="F_y used")
    yield_basis: Literal["coupon", "mill mark", "drawings", "chalk mark", "assumed"] | None = Field(
        None, description="where F_y comes from"
    )
    yield_readings: tuple[StrengthGroup, ...] = Field((), description="coupon tests, each")
    tensile_strength: Ksi | None = Field(None, description="F_u used")
    tensile_basis: Literal["coupon", "mill mark", "drawings", "assumed"] | None = Field(
        None, description="where F_u comes from"
    )
    laps_each_side: tuple[GapGroup, ...] = Field(
        (), description="lap lengths each side of a frame, in inches"
    )
    lap_bolts: str | None = Field(None, description="bolts at laps: count, loose, missing")
    seat: Literal["web bolted to a clip", "flange on the frame"] | None = Field(
        None,
        description="how they sit at the frames. A clip: the flange is clear of the frame at every one looked at; "
        "where some sit, flange on the frame",
    )
    seat_length: SeatLength | None = Field(
        None, description="least length of purlin that bears on the frame, flange on the frame"
    )
    held_at_supports: bool | None = Field(
        None,
        description="top and bottom flange both held sideways at every frame: bolts, clip or anti-roll plate",
    )
    eave_strut: EaveStrut | None = Field(None, description="sizes of the eave struts, where measured")
    drawings_say: str | None = Field(None, description="design loads the old drawings print")
    design_total: Psf | None = Field(None, description="dead + live or snow the old drawings print")
    rust: tuple[str, ...] = Field((), description="grade and place, as found, in words")
    rust_grades: tuple[RustGroup, ...] = Field(
        (), description="grade 0 to 4 by place: all eave struts, every curb, 10 % of purlins"
    )


class Bracing(Record):
    """What holds the frame and the purlins sideways."""

    rods: str | None = Field(None, description="roof rods or cables, by bay")
    sag: str | None = Field(None, description="sag rods, straps or angles per bay")
    sag_lines_per_bay: Annotated[int, Field(ge=0, le=5), WHOLE] | None = Field(
        None, description="lines of them in each bay at equal spaces, 0 for none; goes before the words"
    )
    flange_braces: str | None = Field(None, description="from purlin to frame flange: where, missing")
    anti_roll: str | None = Field(None, description="anti-roll clips")
    faults: tuple[str, ...] = Field((), description="slack, cut, missing, unbolted: each with its place")


class HungLoad(Place):
    """A thing that hangs from the roof."""

    what: Text
    count: Annotated[int, Field(ge=1, le=10000)] = 1
    weight: Pounds | None = Field(None, description="weight of each")
    per_foot: PoundsPerFoot | None = Field(None, description="weight per foot, water in it")
    length: LengthFt | None = Field(None, description="length of each")
    spacing: LengthFt | None = Field(None, description="distance between hangers")
    along: tuple[PlanFt, ...] = Field(
        (), description="where each hangs, from frame 1; of a line load, where it begins"
    )
    hangs_from: Literal["frame", "purlin web", "purlin flange", "purlin lip"] | None = Field(
        None, description="what it hangs from"
    )
    note: str | None = None


class Insulation(Record):
    """Insulation under the old roof."""

    kind: str | None = Field(None, description="blanket, board, none")
    where: Literal["draped over purlins", "between purlins", "above deck", "none"] | None = Field(
        None, description="how it lies"
    )
    thickness: LengthIn | None = Field(None, description="thickness when made")
    nominal_r: RValue | None = Field(None, description="printed on it")
    installed_r: RValue | None = Field(None, description="estimated as it lies, squeezed")
    facing: str | None = Field(None, description="facing, tabs, tears, bagging")
    weight: Psf | None = Field(None, description="weighed dry")
    weight_wet: Psf | None = Field(None, description="weighed wet")
    space: Literal["heated or cooled", "unheated", "partly heated"] | None = Field(
        None, description="the space under the roof"
    )
    spots_cut: Annotated[int, Field(ge=0, le=10_000)] | None = Field(
        None, description="12 x 12 in pieces cut or probed"
    )
    spots_wet: Annotated[int, Field(ge=0, le=10_000)] | None = Field(None, description="how many were wet")
    wet_share: Share | None = Field(None, description="share of the roof area found wet")
    note: str | None = Field(None, description="which bays, stains")


class RoofItem(Place):
    """Something in or on the roof: skylight, curb, pipe, vent. Place in feet when it was taped."""

    kind: Literal["skylight", "smoke vent", "curb", "pipe", "ridge vent", "unit", "other"]
    what: Text
    count: Annotated[int, Field(ge=1, le=10000)] = 1
    width: LengthFt | None = Field(None, description="along the ridge")
    length: LengthFt | None = Field(None, description="up the slope")
    height: LengthIn | None = Field(None, description="height above the old roof")
    weight: Pounds | None = Field(None, description="weight of each")
    along: LengthFt | None = Field(None, description="distance from frame 1 to its centre")
    up_slope: LengthFt | None = Field(
        None, description="distance from the eave, along the slope, to its centre"
    )
    painted_over: bool = Field(False, description="hidden under paint or sheet")
    guarded: bool | None = Field(None, description="fall protection over it")
    live: bool | None = Field(None, description="in use")
    owned_by: str | None = Field(None, description="whose it is, who may disconnect it")
    support: str | None = Field(None, description="what carries it below")
    photos: tuple[str, ...] = ()
    note: str | None = None


class Edges(Record):
    """Where the roof ends, and what it will meet when it rises."""

    gutters: str | None = Field(None, description="kind, size, straps, state, each eave")
    gutter_can_rise: str | None = Field(None, description="what stops the gutter from being raised")
    gutter_metal: str | None = Field(None, description="metal, for what may touch it")
    downspouts: str | None = Field(None, description="count and size")
    rakes: str | None = Field(None, description="rake trim, state")
    parapets: str | None = Field(None, description="height and place, or none")
    parapet_all_round: LengthFt | None = Field(
        None, description="least height of a parapet that runs all round"
    )
    parapet_walls: tuple[Parapet, ...] | None = Field(
        None, description="each parapet, measured; an empty list means looked, none"
    )
    high_walls: str | None = Field(None, description="height left above the old roof, flashing")
    ridge: str | None = Field(None, description="cap, vent, closures, width")
    valleys: str | None = Field(None, description="valleys and hips: width, state, or none")
    joints: str | None = Field(None, description="expansion joints, or none")
    grade: str | None = Field(None, description="grade at the corners")
    drainage: Literal["over the eaves", "inside gutters or behind parapets"] | None = Field(
        None, description="where water leaves the roof"
    )
    water_stands: bool | None = Field(None, description="water still there 48 hours after rain")
    secondary_drains: Literal["none", "present"] | None = Field(
        None, description="overflow drains or scuppers"
    )
    static_head: LengthIn | None = Field(
        None, description="water depth at the edge up to the overflow, with the drains blocked"
    )
    hydraulic_head: LengthIn | None = Field(
        None,
        description="further depth while the overflow runs full, from the drain's maker or a hydraulic table",
    )
    masonry_parapets: Literal["none", "reinforced", "unreinforced", "not known"] | None = Field(
        None, description="masonry parapets of the building"
    )
    overhang: LengthIn | None = Field(None, description="roof beyond the eave strut")


class Interior(Record):
    """Air inside."""

    at: str | None = Field(None, description="room, height, season")
    temperature: DegF | None = Field(None, description="air temperature")
    humidity: Share | None = Field(None, description="relative humidity, e.g. 62 %")
    humidity_high: Share | None = Field(None, description="highest logged")
    basis: Literal["logged", "one reading", "owner's word"] | None = Field(
        None, description="how it was read"
    )
    note: str | None = None


class Surroundings(Record):
    """Everything round the roof that the crew, the crane and the neighbours will meet."""

    access: str | None = Field(None, description="crane reach, truck turning, crane side, wind")
    staging: str | None = Field(None, description="lay-down, its size, who shares it")
    power_lines: str | None = Field(None, description="where, voltage, height")
    vents_and_stacks: str | None = Field(None, description="gas vents, hot stacks near the work")
    exposure_sectors: str | None = Field(
        None, description="ground round it in four sectors, for the exposure"
    )
    power_line_distance: LengthFt | None = Field(None, description="nearest wire to the eave")
    hazards: tuple[str, ...] = Field(
        (), description="asbestos, lead, fumes, bird dust: what was seen, sampled or not"
    )
    asbestos: Literal["none suspected", "suspected, not tested", "tested, none", "tested, present"] | None = (
        Field(None, description="asbestos in coatings, sealants, felts")
    )
    occupants: str | None = Field(None, description="hours, people, food, IT under the work")
    sprinklers: str | None = Field(None, description="pipes, heads, hangers; or none")
    climate_inside: tuple[Interior, ...] = Field((), description="temperature and humidity, 3 spots")
    seismic_note: str | None = Field(None, description="masonry parapets, ties")


class Survey(Record):
    """One roof: what was found, the ground rules, the recovers tried."""

    secondroof: Annotated[Literal[1], WHOLE] = Field(description="version of this file's form")
    job: Job
    ground_rules: GroundRules = GroundRules()
    building: Building
    slope_readings: tuple[SlopeGroup, ...] = Field(
        (), description="digital level on the pan: eave, mid, ridge, 3 a slope each 100 ft"
    )
    enclosure: Enclosure = Enclosure()
    old_panel: OldPanel = OldPanel()
    standoff: tuple[StandoffGroup, ...] = Field(
        (),
        description="top of purlin flange to underside of panel flat, by place; 6 a slope and 1 more each 5,000 ft2: "
        "eave, mid, ridge, skylights, end wall; panel thickness taken off",
    )
    thermal_blocks: str | None = Field(
        None, description="spacers between panel and purlin: thickness, wet, crushed; or none"
    )
    purlins: Purlins = Purlins()
    bracing: Bracing = Bracing()
    hung_loads: tuple[HungLoad, ...] | None = None
    insulation: Insulation = Insulation()
    roof_items: tuple[RoofItem, ...] | None = None
    edges: Edges = Edges()
    surroundings: Surroundings = Surroundings()
    not_read: dict[str, Text] = Field(
        default_factory=dict,
        description="items left blank on purpose, with the reason: purlins.yield_readings: no coupon allowed",
    )
    uplift_tests: tuple[UpliftTest, ...] = Field(
        (), description="test tables of new panels, from their reports"
    )
    recovers: tuple[Recover, ...] = Field((), description="recovers tried on this roof")
