"""Bending of an old purlin line under dead load and the water at rest on it, against what the purlin is allowed.

Water on an elastic line comes to rest however far the line bends. A purlin past its strength does not carry it there:
the moment at rest is held against the allowable moment (ASD) at every place, the flange that is compressed held as the
restraint of the plane says. Shear, lap bolts and seats are not looked at here.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import TYPE_CHECKING, Literal

import numpy as np
from numpy.typing import NDArray

from secondroof.checks.model import Source
from secondroof.errors import SecondroofError
from secondroof.purlins.card import SECTION, moment_ratio
from secondroof.purlins.limits import HOG_STEP_IN, hog_table
from secondroof.purlins.ratios import hogging, places_of, share
from secondroof.purlins.restraint import restraint
from secondroof.purlins.sagbraces import sag_braces
from secondroof.purlins.sections import LAP_DEPTHS
from secondroof.purlins.strength import C_B_TO_ZERO, bending_at

if TYPE_CHECKING:
    from secondroof.checks.model import State
    from secondroof.lines.beam import LineResponse
    from secondroof.purlins.sections import LineSections
    from secondroof.roof.model import Roof
    from secondroof.survey.models import Survey
    from secondroof.survey.proposals import Recover

FloatArray = NDArray[np.float64]
Place = Literal["span", "lap end", "frame"]
#: Bays next to where a longer line was left off that are not looked at; further on its false end is under a tenth.
FALSE_END_BAYS = 2
#: The place worked alone and the place among all must agree to this share.
AGREE = 1e-9
_RANK: Mapping[str, int] = {"short": 3, "unknown": 2, "engineer": 1, "holds": 0}


@dataclass(frozen=True, slots=True, eq=False)
class WetStrengths:
    """Allowable moments of the old purlins (ASD). [kip-in]

    Attributes
    ----------
    top : (n_line, n_bay) array
        Top flange compressed: held along its length where the old sheet holds it, or where that is not known or not
        ours to judge; between the sag braces found, else between the frames, where the sheet does not.
    top_length_in : (n_line, n_bay) array
        Unbraced length of the top flange that was taken; 0 where held. [in]
    top_best, bottom, bottom_best : (n,) array
        By distinct section: top flange held and kept from turning, the most any restraint gives; bottom flange held;
        bottom flange held and kept from turning.
    hogs : (n, n_step) array
        Bottom flange compressed at a ladder of lengths, as :func:`secondroof.purlins.limits.hog_table`.
    answers : mapping of plane to str
        Whether the sheet holds the top flange with the recover on.
    braced : bool
        True where sag braces were found and counted.
    """

    top: FloatArray
    top_length_in: FloatArray
    top_best: FloatArray
    bottom: FloatArray
    bottom_best: FloatArray
    hogs: FloatArray
    answers: Mapping[str, str]
    braced: bool


@dataclass(frozen=True, slots=True, eq=False)
class WetBending:
    """The place of one line where dead load and the water at rest ask most of its bending strength.

    Attributes
    ----------
    state : State
        ``short`` where it is past its strength whatever is still open; ``unknown`` where a strength, or what holds the
        flange, is not known; ``engineer`` where the section or what holds it is the engineer's, or a whole bay hogs;
        else ``holds``.
    way : str
        How the line was worked, key of :class:`secondroof.lines.laps.Way`.
    place : str
        ``span`` (top flange compressed), ``lap end`` or ``frame`` (bottom flange compressed).
    bay, x_ft : int, float
        Bay counted from 1, and place from the first frame. [ft]
    M_kip_in, M_a_kip_in : float
        Moment, as a plain size, and allowable moment there; NaN where not known. [kip-in]
    ratio, at_best : float
        Moment over what is allowed; the same were the compressed flange held and kept from turning. [-]
    sure : float
        The one that stands whatever is open: ``ratio`` where the sheet is known to hold the top flange, else
        ``at_best``. [-]
    answer : str
        Whether the sheet holds the top flange.
    members : tuple of int
        Distinct sections that carry there.
    both : bool
        True where they carry together, in a full lap.
    length_in : float
        Unbraced length of the compressed flange; 0 where held. [in]
    """

    state: State
    way: str
    place: Place
    bay: int
    x_ft: float
    M_kip_in: float
    M_a_kip_in: float
    ratio: float
    at_best: float
    sure: float
    answer: str
    members: tuple[int, ...]
    both: bool
    length_in: float


def wet_strengths(survey: Survey, recover: Recover, roof: Roof, found: LineSections) -> WetStrengths:
    """Allowable moments of every line and bay.

    Parameters
    ----------
    survey, recover, roof : Survey, Recover, Roof
        What was found, what is proposed, and its geometry.
    found : LineSections
        Sections of the old purlins.
    """
    answers = {r.plane: r.braces_after for r in restraint(survey, recover)}
    sag = sag_braces(survey.bracing.sag, survey.bracing.faults, per_bay=survey.bracing.sag_lines_per_bay)
    spans = 12.0 * np.diff(np.asarray(roof.frames_ft))
    loose = np.array([answers[line.plane] == "no" for line in found.lines], dtype=bool)
    length = np.where(loose[:, None], spans / ((sag.per_bay or 0) + 1), 0.0)
    each = np.arange(found.count)
    held, bottom = bending_at(found, each, "top", 0.0), bending_at(found, each, "bottom", 0.0)
    return WetStrengths(
        top=bending_at(found, found.which, "top", length).M.asd,
        top_length_in=length,
        top_best=held.no_distortional.asd,
        bottom=bottom.M.asd,
        bottom_best=bottom.no_distortional.asd,
        hogs=hog_table(found, float(spans.max()), "asd"),
        answers=answers,
        braced=bool(sag.per_bay),
    )


def wet_bending(
    found: LineSections, strengths: WetStrengths, row: int, first: int, lap_ft: FloatArray, way: str,
    response: LineResponse,
) -> WetBending:  # fmt: skip
    """The worst place of one line.

    Parameters
    ----------
    found, strengths : LineSections, WetStrengths
        Sections and their allowable moments.
    row : int
        The line among all lines.
    first : int
        Bay of the roof, counted from 0, in which the response begins.
    lap_ft : (n_frame,) array
        Lap each side of each frame of the response; NaN where not read. [ft]
    way : str
        How it was worked.
    response : LineResponse
        The line under dead load, snow and the water at rest. The bays next to where a longer line was left off are
        not looked at: their moments are those of an end the line does not have.
    """
    x, M = response.x_ft, response.M_kip_in
    frames = x[response.support]
    bays = np.arange(first, first + frames.size - 1)
    which = found.which[row, bays]
    depth = found.section.depth[which]
    full = np.zeros(frames.size, dtype=bool)
    full[1:-1] = 12.0 * lap_ft[1:-1] >= LAP_DEPTHS * np.maximum(depth[:-1], depth[1:]) - 1e-9
    places = places_of(x, frames, np.where(full, 12.0 * lap_ft, np.nan)[None])
    at_end = places.between[0].ravel()
    length, throughout = hogging(M[None], x, places.between[0])
    step = np.minimum(np.ceil(length[0] / HOG_STEP_IN - 1e-9).astype(int), strengths.hogs.shape[1] - 1)
    member, sags, hogs = which[places.bay], np.maximum(M, 0.0), np.maximum(-M, 0.0)
    side = np.repeat(which, 2)
    left, right = which[:-1], which[1:]
    inner = places.frame[1:-1]

    def joined(each: FloatArray) -> FloatArray:
        return np.asarray(np.where(full[1:-1], each[left] + each[right], np.minimum(each[left], each[right])))

    kinds: list[tuple[Place, NDArray[np.intp], FloatArray, FloatArray, FloatArray]] = [
        ("span", np.arange(x.size), sags, strengths.top[row, bays][places.bay], strengths.top_best[member]),
        ("lap end", at_end, hogs[at_end], strengths.hogs[side, step], strengths.bottom_best[side]),
        ("frame", inner, hogs[inner], joined(strengths.bottom), joined(strengths.bottom_best)),
    ]
    kind = np.concatenate([np.full(k[1].size, n) for n, k in enumerate(kinds)])
    node, moment, allowed, most = (np.concatenate([k[m] for k in kinds]) for m in (1, 2, 3, 4))
    own_end = np.array([first == 0, first + which.size == found.which.shape[1]])
    clear = min(FALSE_END_BAYS, frames.size - 1)
    kept = (own_end[0] | (x[node] > frames[clear])) & (own_end[1] | (x[node] < frames[-1 - clear]))
    ratio, best = (np.where(kept, share(moment, strength), 0.0) for strength in (allowed, most))
    answer = strengths.answers[found.lines[row].plane]
    sure = ratio if answer == "yes" else best
    turned = (kind == 1) & np.isin(
        np.arange(kind.size), x.size + np.flatnonzero(throughout[0] & (hogs[at_end] > 0))
    )
    known = found.state[which] == "known"
    ours = np.concatenate([known[places.bay], np.repeat(known, 2), known[:-1] & known[1:]]) & ~turned
    past = ours & (sure > 1.0)
    state: State
    if past.any():
        k, state = int(np.argmax(np.where(past, sure, -1.0))), "short"
    else:
        k = int(np.argmax(np.nan_to_num(ratio, nan=-1.0)))
        if np.isnan(ratio).any() or (found.state[which] == "unknown").any() or answer == "unknown":
            state = "unknown"
        elif (
            (ratio > 1.0).any()
            or answer != "yes"
            or (found.state[which] == "engineer").any()
            or bool((turned & kept).any())
        ):
            state = "engineer"
        else:
            state = "holds"
    name = kinds[kind[k]][0]
    at, bay = int(node[k]), int(places.bay[node[k]])
    within = int(np.flatnonzero(kind == kind[k])[0])
    members: tuple[int, ...]
    if name == "span":
        members, both, L = (int(which[bay]),), False, float(strengths.top_length_in[row, bays[bay]])
    elif name == "lap end":
        bay = (k - within) // 2
        members, both, L = (int(which[bay]),), False, HOG_STEP_IN * float(step[k - within])
    else:
        members, both, L = (int(which[bay - 1]), int(which[bay])), bool(full[bay]), 0.0
    return WetBending(
        state, way, name, int(bays[bay]) + 1, float(x[at]), float(moment[k]), float(allowed[k]), float(ratio[k]),
        float(best[k]), float(sure[k]), answer, members, both, L,
    )  # fmt: skip


def worse(found: list[WetBending]) -> WetBending | None:
    """The worst: short, unknown, engineer, holds, then the fullest, by what stands for sure where short."""

    def order(b: WetBending) -> tuple[int, float]:
        return _RANK[b.state], float(np.nan_to_num(b.sure if b.state == "short" else b.ratio))

    return max(found, key=order, default=None)


def worked_alone(found: LineSections, b: WetBending) -> float:
    """The worst place worked alone, so that its steps stand on the card. [-]

    Raises
    ------
    SecondroofError
        It does not agree with the place among all: our own fault.
    """
    L = b.length_in
    if b.place == "span":
        M_a = float(bending_at(found, b.members[0], "top", L).M.asd)
    elif b.place == "lap end":
        M_a = float(bending_at(found, b.members[0], "bottom", L, C_b=C_B_TO_ZERO, L_m_in=L if L > 0 else np.inf,
                               M_ratio=0.0).M.asd)  # fmt: skip
    else:
        each = [float(bending_at(found, m, "bottom", 0.0).M.asd) for m in b.members]
        M_a = sum(each) if b.both else min(each)
    ratio = float(moment_ratio(b.M_kip_in, M_a))
    if abs(ratio - b.ratio) > AGREE * max(1.0, abs(b.ratio)):
        raise SecondroofError(
            f"water on the purlins, bay {b.bay}: worked alone the ratio is {ratio:.6g}, among all places "
            f"{b.ratio:.6g}. Report this with the survey."
        )
    return ratio


def strength_sources(found: LineSections, b: WetBending) -> dict[str, Source]:
    """Where the numbers of :func:`worked_alone` come from."""
    read = found.read[b.members[0]]
    return {
        **SECTION,
        "t": Source("not read" if read is None else read.note or read.rule, read is None or read.assumed),
        "F_y": Source(found.strength.sentence, found.strength.assumed),
        "M": Source("line under dead load, snow where it lies there, and the water at rest on it"),
    }
