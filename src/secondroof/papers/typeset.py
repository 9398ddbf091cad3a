"""The PDF typesetter: a template of the package and plain data in, the bytes of a PDF out.

Data goes in as JSON and drawings as text, never by building source, so nothing a person wrote can act as
source. Only the fonts of the package are used, and no time of day: the same data give the same bytes.
"""

from __future__ import annotations

import json
from collections.abc import Mapping
from pathlib import Path
from typing import Any

from secondroof import fonts
from secondroof.errors import SecondroofError

TEMPLATES = Path(__file__).parent / "templates"
#: A fixed moment, so that two runs give the same bytes; it is no date of the job.
FIXED_MOMENT = 0


def pdf(template: str, data: Mapping[str, Any], drawings: Mapping[str, str] | None = None) -> bytes:
    """PDF of one paper.

    Parameters
    ----------
    template : str
        Name of a template of the package, e.g. ``submittal``.
    data : mapping
        Plain JSON values the template reads.
    drawings : mapping of str to str, optional
        SVG texts by name.

    Raises
    ------
    SecondroofError
        Our own fault: the template and the data do not fit.
    """
    import typst

    inputs = {"data": json.dumps(data, ensure_ascii=False, allow_nan=False)}
    inputs.update({f"drawing-{name}": svg for name, svg in (drawings or {}).items()})
    try:
        made = typst.compile(
            str(TEMPLATES / f"{template}.typ"),
            root=str(TEMPLATES),
            font_paths=[str(fonts.FOLDER)],
            ignore_system_fonts=True,
            sys_inputs=inputs,
            timestamp=FIXED_MOMENT,
            format="pdf",
        )
    except typst.TypstError as error:
        raise SecondroofError(f"Our fault: the {template} paper could not be set: {error.message}") from error
    assert isinstance(made, bytes)
    return made
