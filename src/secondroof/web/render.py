"""Page records to HTML or JSON. Templates show; they never compute."""

from __future__ import annotations

import json
from functools import cache
from typing import TYPE_CHECKING, Any

from secondroof.web.contexts import context_of, plain
from secondroof.web.frame import anchor

if TYPE_CHECKING:
    from jinja2 import Environment


@cache
def environment() -> Environment:
    """Jinja environment: everything escaped, an unknown name is an error."""
    import jinja2

    env = jinja2.Environment(
        loader=jinja2.PackageLoader("secondroof.web", "templates"),
        autoescape=True,
        undefined=jinja2.StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
        auto_reload=False,
    )
    env.filters["anchor"] = anchor
    env.filters["day"] = day
    return env


def day(at: str) -> str:
    """A time of saving as people write it: ``2026-11-25 10:27``."""
    return at[:16].replace("T", " ")


def to_html(template: str, record: Any, *, shell: bool) -> str:
    """A page as HTML: whole, or only its inside for a partial update."""
    env = environment()
    inside = env.get_template(f"{template}.html").render(**context_of(record))
    if not shell:
        return inside
    from markupsafe import Markup

    return env.get_template("shell.html").render(frame=record.frame, inside=Markup(inside))  # noqa: S704 (our own page)


def block_html(template: str, block: str, record: Any) -> str:
    """One block of a page for a smaller update."""
    found = environment().get_template(f"{template}.html")
    context = found.new_context(context_of(record))
    return "".join(found.blocks[block](context))


def to_json(record: Any) -> str:
    """The same record as JSON."""
    return json.dumps(plain(record), indent=1, ensure_ascii=False, allow_nan=False)
