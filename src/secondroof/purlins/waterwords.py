"""Plain words on water that rests on the old purlins, and on what it asks of their strength."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from secondroof.acting.where import in_words

if TYPE_CHECKING:
    from collections.abc import Sequence

    from secondroof.purlins.water import LineWater
    from secondroof.purlins.waterstrength import WetBending, WetStrengths

WAY_WORDS = {
    "laps_counted": "laps counted",
    "prismatic": "laps not counted",
    "short_laps_cut": "cut over the short or unread laps",
}


def water_words(found: Sequence[LineWater], strengths: WetStrengths) -> list[str]:
    """What is said of the lines that water reaches: runs away, past their strength, or at rest.

    Parameters
    ----------
    found : sequence of LineWater
        Lines that water reaches.
    strengths : WetStrengths
        What they were held against.
    """
    if not found:
        return [
            "No purlin sinks below the level at which water leaves, so none gathers water while the frames stay."
        ]
    said = []
    away = [w for w in found if not w.water.settles]
    if away:
        growth = max(w.water.growth for w in away)
        said.append(
            f"On {in_words([w.name for w in away])} the water runs away: each inch brings {growth:.2f} in more. The "
            "purlins alone are too flexible for water to come to rest."
        )
    rest = [w for w in found if w.water.settles]
    past = [w for w in rest if w.past]
    if past:
        said.append(_past_words(past, strengths))
    elif rest:
        which = "every purlin it reaches" if not away else "the others it reaches"
        worst = max(rest, key=lambda w: w.head_in)
        said.append(
            f"Water comes to rest on {which}. Largest rise on {worst.name}: {_at_rest(worst)}; of an inch added "
            f"{worst.water.growth:.2f} in comes back."
        )
    said += _other_words([w for w in rest if not w.past], strengths)
    said.append(
        "Only bending was held against that water: shear, lap bolts and seats were not. The rain in the combinations "
        "of the old purlins (D + R) is that of the blocked drains alone, without the water that sinking purlins gather."
    )
    return said


def _at_rest(w: LineWater) -> str:
    deep = float(w.water.depth_in.max())
    more = (
        f"{w.water.amplification:.2f} times the water a stiff line would hold, taken over the whole line"
        if w.level_in > 0
        else "where a stiff roof would be dry"
    )
    return f"{deep:.2f} in at rest, {5.2 * deep:.0f} psf there, {more}"


def _past_words(past: Sequence[LineWater], strengths: WetStrengths) -> str:
    """Lines past their strength, the worst with its ratio."""
    worst = max(past, key=lambda w: 0.0 if w.bends is None else w.bends.sure)
    b = worst.bends
    assert b is not None
    even_so = (
        "" if b.answer == "yes" else f"; {b.at_best:.2f} even with the flange held and kept from turning"
    )
    verb = "bends" if len(past) == 1 else "bend"
    return (
        f"{in_words([w.name for w in past])} {verb} past {'its' if len(past) == 1 else 'their'} strength before the "
        f"water comes to rest. Worst on {worst.name}, bay {b.bay}: {b.ratio:.2f} of its allowable moment under dead "
        f"load and that water ({in_plain_words(b, strengths)}{even_so}). A purlin that only bent would hold "
        f"{_at_rest(worst)}: no real one gets there."
    )


def _other_words(rest: Sequence[LineWater], strengths: WetStrengths) -> list[str]:
    """The fullest of the lines not past their strength, and those that are the engineer's or not known."""
    said = []
    known = [(w, w.bends) for w in rest if w.bends is not None and np.isfinite(w.bends.ratio)]
    if known:
        w, b = max(known, key=lambda pair: pair[1].ratio)
        said.append(
            f"Of those not shown to be past their strength the fullest is {w.name}, bay {b.bay}: {b.ratio:.2f} of its "
            f"allowable moment under dead load and that water ({in_plain_words(b, strengths)})."
        )
    for state, words in (
        (
            "engineer",
            "An engineer judges {}: the section is stood in for, or the sheet is not shown to hold it.",
        ),
        (
            "unknown",
            "Whether {} bears that water is not known: section, or what holds its flange, is not known.",
        ),
    ):
        names = [w.name for w in rest if w.bends is not None and w.bends.state == state]
        if names:
            said.append(words.format(in_words(names)))
    return said


def in_plain_words(b: WetBending, strengths: WetStrengths) -> str:
    """Moment over allowable moment of the place, with what was taken to hold the flange."""
    if b.place == "span":
        between = "only at the sag braces found" if strengths.braced else "only at the frames"
        held = {
            "yes": "by the old sheet",
            "no": f"{between}; the floating or removed sheet is not counted",
            "unknown": "all along, the most that can be: what the old sheet holds is not known",
            "engineer": "all along, the most that can be: what the old sheet holds is the engineer's",
        }[b.answer]
        flange = f"top flange held {held}"
    elif b.place == "lap end":
        flange = f"at the end of the lap or the frame, bottom flange free over {b.length_in / 12:.1f} ft"
    else:
        flange = "over the frame, " + ("both purlins of the lap" if b.both else "the weaker purlin alone")
    moments = f"{b.M_kip_in:.1f} of {b.M_a_kip_in:.1f} kip-in allowed, ASD"
    return f"{moments}, {WAY_WORDS[b.way]}, {b.x_ft:.1f} ft from frame 1, {flange}"
