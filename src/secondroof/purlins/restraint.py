"""What the old sheet does for the old purlins: brace, diaphragm, both or neither, and what removing it would take away.

Nothing here is a number. A screwed sheet that lies on the purlins holds their top flange; a seamed one on clips slides
and is counted for nothing without base tests of that very panel, clip and purlin (AISI S100-16 I6.2.2, from memory).
No published shear value is held for any old sheet, so the roof's in-plane strength stays with the engineer.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Literal

from secondroof.checks.model import Need
from secondroof.survey.oldroof import what_is_the_old_roof

if TYPE_CHECKING:
    from secondroof.survey.models import Survey
    from secondroof.survey.proposals import Recover

Answer = Literal["yes", "no", "unknown", "engineer"]

#: Share of spun screws from which the grip of the sheet is an engineer's; common practice, no source.
SPUN_CALL = 0.10
SCREWED = ("through-fastened ribbed", "corrugated")

_NEED_KIND = Need("kind of the old sheet: screwed through or seamed on clips", "lap, clip, seam and underside",
                  "whether the old sheet braces the purlins")  # fmt: skip
_NEED_BASE = Need("whether the old sheet is sound: holes, spun screws, soft places", "every plane, on the purlin lines",
                  "whether the old sheet braces the purlins")  # fmt: skip
_NEED_SPUN = Need("how many of 100 old screws spin", "each plane, eave, middle and ridge",
                  "how the old sheet grips the purlins: their brace, and their strength in uplift")  # fmt: skip
_NEED_RODS = Need("roof rods or cables, bay by bay, or none", "under the roof",
                  "what carries wind in the plane of the roof")  # fmt: skip


@dataclass(frozen=True, slots=True)
class Restraint:
    """What the old sheet of one plane does.

    Attributes
    ----------
    plane : str
        Plane name.
    screwed : bool or None
        True where the sheet is screwed through to the purlins; None where its kind was not written down.
    braces, braces_after : Answer
        Whether it holds the top flange of the purlins sideways, today and with the recover.
    diaphragm : Answer
        Whether it may pass shear in the plane of the roof: ``engineer`` where it can and no value is known, ``no``
        where it slides.
    sentences : tuple of str
        What it does and why, in plain words.
    tear_off, floating, strips : str
        What would be taken away by tearing it off, by changing a screwed sheet for one on sliding clips, and by
        cutting strips out of it.
    keep : tuple of str
        What must not be removed, and what has to be restored first.
    needs : tuple of Need
        What to find out.
    """

    plane: str
    screwed: bool | None
    braces: Answer
    braces_after: Answer
    diaphragm: Answer
    sentences: tuple[str, ...]
    tear_off: str
    floating: str
    strips: str
    keep: tuple[str, ...]
    needs: tuple[Need, ...]


def restraint(survey: Survey, recover: Recover | None = None) -> tuple[Restraint, ...]:
    """What the old sheet does, plane by plane.

    Parameters
    ----------
    survey : Survey
    recover : Recover, optional
        The proposal, for what it takes off.
    """
    return tuple(_plane(survey, recover, p.name) for p in survey.building.planes)


def _plane(survey: Survey, recover: Recover | None, plane: str) -> Restraint:
    panel, bracing = survey.old_panel, survey.bracing
    needs: list[Need] = []
    screwed = None if panel.kind is None else panel.kind in SCREWED
    braces, why = _braces(survey, plane, screwed, needs)
    taken = 0.0 if recover is None else recover.removed_share
    after: Answer = braces
    said = [why]
    if taken >= 1.0:
        after = "no"
        said.append(
            "The recover takes the old sheet off: then nothing but the bracing found holds the purlins."
        )
    elif taken > 0.0:
        after = braces if braces == "no" else "engineer"
        said.append(f"The recover takes {100 * taken:.0f} % of the old sheet off: there nothing holds the purlins; "
                    "an engineer says where and in what order.")  # fmt: skip
    elif recover is not None and braces == "yes":
        said.append("The recover leaves the old sheet and its screws: this bracing stays.")
    if recover is not None and recover.panel.kind == "standing seam":
        said.append("The new seamed panel slides on its clips: it braces nothing and is no diaphragm.")
    diaphragm, words = _diaphragm(survey, screwed, braces, needs)
    said.append(words)
    faults = tuple(f"restore first: {f}" for f in bracing.faults)
    keep = ["the old sheet and its screws over every purlin" if screwed else ""]
    sag = bracing.sag
    if sag is None and bracing.sag_lines_per_bay:
        sag = f"{bracing.sag_lines_per_bay} in each bay"
    found = (("sag braces", sag), ("flange braces", bracing.flange_braces), ("roof rods", bracing.rods),
             ("anti-roll clips", bracing.anti_roll))  # fmt: skip
    keep += [f"{name}: {words}" for name, words in found if _present(words)]
    return Restraint(
        plane=plane, screwed=screwed, braces=braces, braces_after=after, diaphragm=diaphragm, sentences=tuple(said),
        tear_off=_tear_off(screwed), floating=_floating(screwed), strips=_strips(screwed),
        keep=(*(k for k in keep if k), *faults), needs=tuple(dict.fromkeys(needs)),
    )  # fmt: skip


def _present(words: str | None) -> bool:
    return words is not None and words.strip().lower() not in ("", "none", "no", "none found")


def _braces(survey: Survey, plane: str, screwed: bool | None, needs: list[Need]) -> tuple[Answer, str]:
    panel = survey.old_panel
    if screwed is None:
        needs.append(_NEED_KIND)
        return (
            "unknown",
            "The kind of the old sheet is not written down: whether it braces the purlins is not known.",
        )
    if not screwed:
        return "no", (f"The old roof is a {panel.kind}: it slides on clips and is not counted as a brace. Only base "
                      "tests of that panel, clip and purlin show what it holds.")  # fmt: skip
    old = what_is_the_old_roof(survey)
    kinds = {r.kind for r in old.regions if r.plane in (None, plane)}
    if "floats" in kinds:
        return "no", "The old sheet floats above the purlins in places: screws over a gap are no brace."
    if not kinds or "unknown" in kinds:
        needs.append(
            Need("standoff of the old sheet", f"plane {plane}", "whether the old sheet braces the purlins")
        )
        return (
            "unknown",
            "The standoff was not read on this plane: whether the sheet lies on the purlins is not known.",
        )
    if "between" in kinds:
        return (
            "engineer",
            "The standoff is neither low nor floating: an engineer decides whether the sheet braces.",
        )
    if panel.base is None:
        needs.append(_NEED_BASE)
        return "unknown", "The old sheet is screwed to the purlins; whether it is sound is not written down."
    if panel.base == "decayed":
        return "no", "The old sheet is decayed: it is not counted as a brace."
    if panel.base == "decayed in places":
        return (
            "engineer",
            "The old sheet is decayed in places: an engineer says where it still braces the purlins.",
        )
    spun = panel.screws_spun
    if spun is not None and spun >= SPUN_CALL:
        return "engineer", (f"{100 * spun:.0f} of 100 screws spin: the grip of the old sheet is an engineer's matter "
                            "(common practice, no source).")  # fmt: skip
    if panel.screws.off_flange:
        return "engineer", ("Screws or spacers hold the old sheet off the purlin flange: an engineer says whether it "
                            "still braces.")  # fmt: skip
    text = "The old sheet is screwed to the purlins, lies on them and is sound: it holds their top flange sideways."
    if spun is None:
        needs.append(_NEED_SPUN)
        text += " How many screws spin was not read."
    return "yes", text


def _diaphragm(survey: Survey, screwed: bool | None, braces: Answer, needs: list[Need]) -> tuple[Answer, str]:
    rods = survey.bracing.rods
    if rods is None:
        needs.append(_NEED_RODS)
        carried = "Roof rods are not written down."
    elif _present(rods):
        carried = f"Roof rods: {rods}."
    else:
        carried = "There are no roof rods: the sheet may be all that carries wind in the plane of the roof."
    if screwed is None:
        return "unknown", f"{carried} Whether the sheet passes shear is not known."
    if not screwed:
        return "no", f"{carried} A sheet on sliding clips passes no shear in the plane of the roof."
    if braces == "no":
        return "no", f"{carried} The sheet is not counted in the plane of the roof."
    return "engineer", (f"{carried} The screwed sheet shares the shear in the plane of the roof; no published value "
                        "for it is held, and the engineer says how much it is asked.")  # fmt: skip


def _tear_off(screwed: bool | None) -> str:
    if screwed is False:
        return ("Tearing off the seamed sheet takes its weight and cover away; the purlins stand on their own bracing "
                "before and after. Keep every sag brace tight while the roof is open.")  # fmt: skip
    return ("Tearing off the screwed sheet takes away the brace of every purlin's top flange and the shear the sheet "
            "passes. Bare purlins can roll under a person's weight: brace them and limit the open stretch before a "
            "screw is drawn.")  # fmt: skip


def _floating(screwed: bool | None) -> str:
    if screwed is False:
        return "The old sheet already slides: another sliding sheet changes nothing in the bracing."
    return ("Changing the screwed sheet for one on sliding clips takes the brace and the diaphragm away for good: new "
            "braces at the flange and roof rods have to be designed first.")  # fmt: skip


def _strips(screwed: bool | None) -> str:
    if screwed is False:
        return "Strips cut from the seamed sheet let its neighbours open: secure the seams at each cut."
    return ("Strips cut from the screwed sheet leave the purlins under them unbraced, open the diaphragm along the cut "
            "and end the uplift rule of the fastened sheet there (AISI S100-16 I6.2.1, from memory).")  # fmt: skip
