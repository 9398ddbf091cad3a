"""The arrows between rooms point one way, and the pure rooms stay light (the order of the design, section 2)."""

from __future__ import annotations

import ast
import graphlib
import sys
from collections.abc import Iterator
from pathlib import Path

import pytest

PACKAGE = Path(__file__).resolve().parents[2] / "src" / "secondroof"

# A room may look at its own level and at those before it, never at one after it.
LEVELS = (
    {"errors", "units", "formula", "fonts"},
    {"loads", "steel", "lines", "heat", "money"},
    {"survey", "roof", "rules", "checks"},
    {"acting"},
    {"purlins"},
    {"recover"},
    {"job"},  # and every other module at the top of the package: what joins the rooms into one flow
    {"drawings", "takeoff"},
    {"papers", "store", "portfolio"},
    {"api"},  # and the package's own front, which offers it
    {"web", "cli", "__main__"},
)
LEVEL = {room: number for number, rooms in enumerate(LEVELS) for room in rooms}
JOB = LEVEL["job"]

NUMPY_ONLY = {"errors", "units", "formula", "checks", "acting", "purlins", "recover", "rules", *LEVELS[1]}
HEAVY_AT_TOP = {"scipy", "shapely", "ezdxf", "typst", "vl_convert", "starlette", "uvicorn", "rich"}
HEAVY_ALLOWED = {"roof", "drawings", "papers", "web", "portfolio"}  # roof: plane geometry is its whole work


def modules() -> list[Path]:
    return sorted(PACKAGE.rglob("*.py"))


def dotted(path: Path) -> tuple[str, ...]:
    parts = path.relative_to(PACKAGE).with_suffix("").parts
    return parts[:-1] if parts[-1] == "__init__" else parts


def room_of(path: Path) -> str:
    parts = dotted(path)
    return parts[0] if parts else "api"


def level_of(room: str) -> int:
    return LEVEL.get(room, JOB)


def imports(path: Path, tree: ast.AST) -> Iterator[tuple[int, str, str]]:
    """Give line, dotted module and imported name ('' for a plain import) of every import in a tree."""
    package = ["secondroof", *dotted(path)]
    if path.name != "__init__.py":
        package = package[:-1]
    for node in ast.walk(tree):
        if isinstance(node, ast.Import):
            for alias in node.names:
                yield node.lineno, alias.name, ""
        elif isinstance(node, ast.ImportFrom):
            base = package[: len(package) - node.level + 1] if node.level else []
            module = ".".join([*base, *(node.module.split(".") if node.module else [])])
            for alias in node.names:
                yield node.lineno, module, alias.name


def room_imported(module: str, name: str) -> str | None:
    """Name the room of our own that an import looks at; None for one that is not ours or is no room."""
    parts = module.split(".")
    if parts[0] != "secondroof":
        return None
    if len(parts) > 1:
        return parts[1]
    if (PACKAGE / name).is_dir() or (PACKAGE / f"{name}.py").exists():
        return name
    return None if name == "__version__" else "api"


def parse(path: Path) -> ast.Module:
    return ast.parse(path.read_text(encoding="utf-8"), str(path))


def arrows(paths: list[Path]) -> Iterator[tuple[str, str, str]]:
    for path in paths:
        for line, module, name in imports(path, parse(path)):
            seen = room_imported(module, name)
            if seen is not None and seen != room_of(path):
                yield room_of(path), seen, f"{path.relative_to(PACKAGE)}:{line}"


def top_imports(path: Path, tree: ast.AST) -> Iterator[tuple[int, str]]:
    """Give the imports that run when the module is loaded: not those in functions or for the type checker."""

    class Top(ast.NodeTransformer):
        def visit_FunctionDef(self, node: ast.FunctionDef) -> None:
            return None

        visit_AsyncFunctionDef = visit_FunctionDef  # type: ignore[assignment]
        visit_Lambda = visit_FunctionDef  # type: ignore[assignment]

        def visit_If(self, node: ast.If) -> ast.AST | None:
            if "TYPE_CHECKING" in ast.unparse(node.test):
                return None
            return self.generic_visit(node)

    for line, module, _ in imports(path, Top().visit(tree)):
        yield line, module.split(".")[0]


def test_arrows_point_one_way():
    wrong = [
        f"{where}: {room} looks at {seen}"
        for room, seen, where in arrows(modules())
        if level_of(seen) > level_of(room)
    ]
    assert not wrong, "arrows against the flow:\n" + "\n".join(wrong)


def test_rooms_of_one_level_make_no_circle():
    graph: dict[str, set[str]] = {}
    for room, seen, _ in arrows(modules()):
        if level_of(room) != JOB:
            graph.setdefault(room, set()).add(seen)
    graphlib.TopologicalSorter(graph).prepare()  # raises CycleError naming the circle


@pytest.mark.parametrize("path", modules(), ids=lambda path: str(path.relative_to(PACKAGE)))
def test_what_a_module_loads_at_its_top(path):
    room = room_of(path)
    found = list(top_imports(path, parse(path)))
    if room in NUMPY_ONLY:
        allowed = {"numpy", "secondroof", "__future__", *sys.stdlib_module_names}
        wrong = [f"line {line}: {name}" for line, name in found if name not in allowed]
        assert not wrong, f"only numpy and the standard library here: {wrong}"
    if room not in HEAVY_ALLOWED:
        wrong = [f"line {line}: {name}" for line, name in found if name in HEAVY_AT_TOP]
        assert not wrong, f"import these inside the function that needs them: {wrong}"


def test_the_walk_sees_what_it_should():
    """The checks above can fail: an import in a function is an arrow, but is not loaded at the top."""
    text = (
        "from __future__ import annotations\nimport os, scipy.linalg\n"
        "from typing import TYPE_CHECKING\nif TYPE_CHECKING:\n    import typst\n"
        "def f():\n    import shapely\n    from secondroof.web import app\n"
    )
    path = PACKAGE / "loads" / "invented.py"
    tree = ast.parse(text)
    found = [(module, name) for _, module, name in imports(path, tree)]
    assert ("secondroof.web", "app") in found
    assert room_imported("secondroof.web", "app") == "web"
    assert level_of("web") > level_of(room_of(path))
    relative = ast.parse("from ..survey import models\nfrom . import wind")
    assert [module for _, module, _ in imports(path, relative)] == ["secondroof.survey", "secondroof.loads"]
    assert {name for _, name in top_imports(path, tree)} == {"__future__", "os", "scipy", "typing"}
