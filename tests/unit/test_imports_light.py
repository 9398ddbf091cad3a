"""What each way in may load: start-up is imports, so a heavy import at the wrong place is a defect."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

import pytest

PACKAGE = Path(__file__).resolve().parents[2] / "src" / "secondroof"
DOMAIN = ("loads", "steel", "lines", "heat", "money", "roof", "rules", "checks", "recover")


def loaded_by(code: str) -> set[str]:
    """Run code in a fresh process and give the top names of all modules it loaded."""
    tail = "\nimport sys as _s; print('LOADED', *sorted({n.split('.')[0] for n in _s.modules}))"
    done = subprocess.run([sys.executable, "-c", code + tail], capture_output=True, text=True, timeout=120)
    assert done.returncode == 0, done.stderr
    return set(done.stdout.rsplit("LOADED", 1)[1].split())


@pytest.mark.skipif(not (PACKAGE / "cli.py").exists(), reason="there is no command line yet")
def test_help_is_light():
    seen = loaded_by(
        "import sys\nsys.argv = ['secondroof', '--help']\nfrom secondroof.cli import main\n"
        "try:\n    main()\nexcept SystemExit as stop:\n    assert not stop.code, stop.code"
    )
    assert not seen & {"numpy", "scipy", "ezdxf", "pydantic", "shapely", "typst", "starlette", "jinja2"}


def test_the_package_itself_is_light():
    assert not loaded_by("import secondroof") & {
        "numpy",
        "scipy",
        "ezdxf",
        "pydantic",
        "typst",
        "starlette",
        "rich",
    }


def test_the_fonts_are_light():
    assert not loaded_by("import secondroof.fonts") & {"numpy", "typst", "fontTools"}


@pytest.mark.parametrize("room", [room for room in DOMAIN if (PACKAGE / room / "__init__.py").exists()])
def test_the_domain_loads_no_presentation(room):
    names = [
        ".".join(("secondroof", *path.relative_to(PACKAGE).with_suffix("").parts)).removesuffix(".__init__")
        for path in sorted((PACKAGE / room).rglob("*.py"))
    ]
    seen = loaded_by("import " + ", ".join(names))
    assert not seen & {
        "starlette",
        "uvicorn",
        "jinja2",
        "ezdxf",
        "typst",
        "rich",
        "cyclopts",
        "xlsxwriter",
        "scipy",
    }


def test_the_check_can_fail():
    assert "json" in loaded_by("import json")
