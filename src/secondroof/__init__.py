"""secondroof: design, check, price and document a new metal roof over an old one."""

from secondroof.api import check, example, examples, findings_json, load, package, read, stretch_checks

__version__ = "0.1.0.dev0"

__all__ = [
    "__version__",
    "check",
    "example",
    "examples",
    "findings_json",
    "load",
    "package",
    "read",
    "stretch_checks",
]
