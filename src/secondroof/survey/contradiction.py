"""One contradiction of a survey, and the play that lengths are given before they contradict."""

from __future__ import annotations

from dataclasses import dataclass

from secondroof.survey.document import Path

#: Lengths that should agree may differ by this [ft]; common practice, no source.
LENGTH_PLAY_FT = 0.5


@dataclass(frozen=True, slots=True)
class Contradiction:
    """One contradiction, with the path of what to mend."""

    path: Path
    message: str
    mend: str
