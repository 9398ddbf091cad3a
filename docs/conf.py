"""How the documents are built. Nothing in a built page asks another host for anything."""

import re
from pathlib import Path

from docutils.nodes import SkipNode
from docutils.utils.math import MathError
from docutils.utils.math.latex2mathml import tex2mathml

import secondroof

project = "secondroof"
author = "the secondroof authors"
project_copyright = "the secondroof authors"
version = release = secondroof.__version__

extensions = ["myst_parser", "sphinx.ext.autodoc", "sphinx.ext.napoleon"]
source_suffix = {".md": "markdown", ".rst": "restructuredtext"}
exclude_patterns = ["_build"]
suppress_warnings = ["ref.python"]  # two fields of one name in two records are no fault

myst_enable_extensions = ["deflist", "dollarmath", "colon_fence"]
myst_heading_anchors = 3

napoleon_google_docstring = False
napoleon_numpy_docstring = True
napoleon_use_rtype = False
autodoc_typehints = "none"
autodoc_member_order = "bysource"

html_theme = "furo"
html_title = "secondroof"
html_show_sourcelink = False
html_copy_source = False
html_theme_options = {"footer_icons": []}
html_math_renderer = "mathml"

# In the order of the flow: a room looks only at those before it.
ROOMS = (
    "units",
    "errors",
    "formula",
    "loads",
    "steel",
    "lines",
    "heat",
    "money",
    "survey",
    "roof",
    "rules",
    "checks",
    "acting",
    "purlins",
    "recover",
    "findings",
    "calculations",
    "alone",
    "drawings",
    "takeoff",
    "papers",
    "store",
    "portfolio",
)


def write_api_pages(app):
    """Write one reference page a room, for the rooms that exist, so that no page has to be kept by hand."""
    folder = Path(app.srcdir) / "reference"
    folder.mkdir(exist_ok=True)
    package = Path(secondroof.__file__).parent
    names = []
    for room in ROOMS:
        if (package / f"{room}.py").exists():
            modules = [f"secondroof.{room}"]
        elif (package / room).is_dir():
            files = sorted(p for p in (package / room).rglob("*.py") if not p.stem.startswith("_"))
            modules = [".".join(("secondroof", *p.relative_to(package).with_suffix("").parts)) for p in files]
            if (package / room / "__init__.py").exists():
                modules.insert(0, f"secondroof.{room}")
        else:
            continue
        body = [f"secondroof.{room}", "=" * len(f"secondroof.{room}"), ""]
        for module in modules:
            if len(modules) > 1:
                short = module.removeprefix("secondroof.")
                body += [short, "-" * len(short), ""]
            is_index = (
                module == f"secondroof.{room}" and len(modules) > 1
            )  # its members are told where they stand
            body += [f".. automodule:: {module}", "   :no-index:" if is_index else "   :members:", ""]
        write_if_changed(folder / f"{room}.rst", "\n".join(body))
        names.append(room)
    for old in folder.glob("*.rst"):
        if old.stem not in names:
            old.unlink()


def write_if_changed(path, text):
    """Leave an unchanged page alone, so that it is not built again."""
    if not path.exists() or path.read_text(encoding="utf-8") != text:
        path.write_text(text, encoding="utf-8")


def math_html(self, node, *, block):
    """Write a formula as MathML, which browsers draw without a script."""
    try:
        text = tex2mathml(node.astext(), as_block=block)
    except MathError as error:
        raise SystemExit(f"{node.source}: formula {node.astext()!r} cannot be written: {error}") from error
    self.body.append(f'<div class="math">{text}</div>' if block else text)


def visit_math(self, node):
    """Write a formula in a line."""
    math_html(self, node, block=False)
    raise SkipNode


def visit_math_block(self, node):
    """Write a formula on its own line."""
    math_html(self, node, block=True)
    raise SkipNode


ASKS_OUTSIDE = re.compile(
    r"<(?:script|img|iframe|source|video|audio)[^>]+src=[\"'](?:https?:)?//"
    r"|<link(?![^>]*rel=[\"'](?:canonical|license))[^>]+href=[\"'](?:https?:)?//"
    r"|(?:url\(|@import\s+)[\"']?(?:https?:)?//"
)


def forbid_outside_requests(app, error):
    """Fail the build when a built page or style would ask another host for anything."""
    if error or app.builder.format != "html":
        return
    for path in sorted(Path(app.outdir).rglob("*")):
        if path.suffix in {".html", ".css"}:
            found = ASKS_OUTSIDE.search(path.read_text(encoding="utf-8"))
            if found:
                raise SystemExit(f"{path.relative_to(app.outdir)} asks another host: {found[0]}")


def setup(app):
    """Join our two parts to the builder."""
    app.connect("builder-inited", write_api_pages)
    app.connect("build-finished", forbid_outside_requests)
    app.add_html_math_renderer(
        "mathml", inline_renderers=(visit_math, None), block_renderers=(visit_math_block, None)
    )
