"""The expression of a formula as a small tree, read from the function's own source.

The tree is what cards print. :func:`evaluate` works the same tree out again with numbers, so a card can prove
that its printed line gives its printed result, and that the tree is the function.
"""

from __future__ import annotations

import ast
import functools
import inspect
import math
import operator
import textwrap
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from decimal import Decimal
from types import ModuleType
from typing import Any, NoReturn

import numpy as np

from secondroof.errors import SecondroofError
from secondroof.formula import Formula


class FormulaError(SecondroofError, ValueError):
    """A formula cannot be printed, or its printed line would not give its result."""


@dataclass(frozen=True, slots=True)
class Num:
    """A number: its size and how it is written (ASCII, with a leading ``-`` where negative)."""

    value: float
    text: str


@dataclass(frozen=True, slots=True)
class Name:
    """An argument, or a named constant of the module."""

    name: str


@dataclass(frozen=True, slots=True)
class Pi:
    """The number pi."""


@dataclass(frozen=True, slots=True)
class Bin:
    """``left op right`` with op one of ``+ - * / **``."""

    op: str
    left: Node
    right: Node


@dataclass(frozen=True, slots=True)
class Neg:
    """Unary minus."""

    item: Node


@dataclass(frozen=True, slots=True)
class Call:
    """A mathematical function of ``FUNCTIONS``."""

    func: str
    args: tuple[Node, ...]


@dataclass(frozen=True, slots=True)
class Compare:
    """``a < b <= c``."""

    items: tuple[Node, ...]
    ops: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Logic:
    """``and``, ``or`` or ``not`` of conditions."""

    op: str
    items: tuple[Node, ...]


@dataclass(frozen=True, slots=True)
class Cases:
    """Value by cases, first true one taken, else ``otherwise``."""

    cases: tuple[tuple[Node, Node], ...]
    otherwise: Node


Node = Num | Name | Pi | Bin | Neg | Call | Compare | Logic | Cases

# name of the function: (number of arguments or None for two and more, how it is worked out)
FUNCTIONS: dict[str, tuple[int | None, Callable[..., Any]]] = {
    "sqrt": (1, np.sqrt), "exp": (1, np.exp), "log": (1, np.log), "log10": (1, np.log10), "sin": (1, np.sin),
    "cos": (1, np.cos), "tan": (1, np.tan), "arcsin": (1, np.arcsin), "arccos": (1, np.arccos),
    "arctan": (1, np.arctan), "arctan2": (2, np.arctan2), "sinh": (1, np.sinh), "cosh": (1, np.cosh),
    "tanh": (1, np.tanh), "abs": (1, np.abs), "ceil": (1, np.ceil), "floor": (1, np.floor), "sign": (1, np.sign),
    "minimum": (None, lambda *a: functools.reduce(np.minimum, a)),
    "maximum": (None, lambda *a: functools.reduce(np.maximum, a)),
}  # fmt: skip
_ALIASES = {"absolute": "abs", "fabs": "abs", "atan": "arctan", "asin": "arcsin", "acos": "arccos",
            "atan2": "arctan2", "fmin": "minimum", "fmax": "maximum", "min": "minimum", "max": "maximum",
            "deg2rad": "radians", "rad2deg": "degrees", "pow": "power", "float_power": "power"}  # fmt: skip
_ARITHMETIC = {ast.Add: "+", ast.Sub: "-", ast.Mult: "*", ast.Div: "/", ast.Pow: "**"}
_COMPARISONS = {ast.Lt: "<", ast.LtE: "<=", ast.Gt: ">", ast.GtE: ">=", ast.Eq: "==", ast.NotEq: "!="}
_LOGIC = {ast.BitAnd: "and", ast.BitOr: "or"}
_WORK: dict[str, Callable[[Any, Any], Any]] = {
    "+": operator.add, "-": operator.sub, "*": operator.mul, "/": operator.truediv, "**": operator.pow,
    "<": operator.lt, "<=": operator.le, ">": operator.gt, ">=": operator.ge, "==": operator.eq, "!=": operator.ne,
}  # fmt: skip


@dataclass(frozen=True, slots=True)
class Expression:
    """Tree of a formula and the named constants of its module that it uses."""

    tree: Node
    constants: Mapping[str, float]


def plain_number(value: float) -> str:
    """Shortest exact writing of a number without exponent: 0.0000362, 29500."""
    number = Decimal(repr(float(value)))
    text = f"{number:f}"
    return text.rstrip("0").rstrip(".") if "." in text else text


class _Reader:
    """Turns the syntax tree of one function into ours."""

    def __init__(self, name: str, func: Callable[..., Any]) -> None:
        self.name = name
        self.arguments = frozenset(inspect.signature(func).parameters)
        closure = inspect.getclosurevars(func)
        self.known: dict[str, Any] = {**closure.builtins, **closure.globals, **closure.nonlocals}
        self.constants: dict[str, float] = {}

    def fail(self, what: str) -> NoReturn:
        raise FormulaError(
            f"formula {self.name} cannot be printed: {what}. A formula is one return of one expression made of "
            "numbers, arguments, + - * / **, and numpy functions such as sqrt, exp, minimum, where."
        )

    def value(self, node: ast.expr) -> Node:
        match node:
            case ast.Constant(value=bool() | str() | None):
                self.fail(f"{node.value!r} is not a number")
            case ast.Constant(value=int() | float() as number):
                return Num(float(number), plain_number(float(number)))
            case ast.Name():
                return self.named(node.id, node.id)
            case ast.Attribute(value=ast.Name(id=module)):
                return self.named(f"{module}.{node.attr}", node.attr)
            case ast.UnaryOp(op=ast.USub()):
                return Neg(self.value(node.operand))
            case ast.UnaryOp(op=ast.UAdd()):
                return self.value(node.operand)
            case ast.BinOp(op=op) if type(op) in _ARITHMETIC:
                return Bin(_ARITHMETIC[type(op)], self.value(node.left), self.value(node.right))
            case ast.Call():
                return self.call(node)
        self.fail(f"`{ast.unparse(node)}` is not understood")

    def named(self, path: str, short: str) -> Node:
        if path in self.arguments:
            return Name(path)
        found = self.lookup(path)
        if isinstance(found, (int, float, np.number)) and not isinstance(found, bool):
            if short == "pi" and float(found) == math.pi:
                return Pi()
            if not math.isfinite(found):
                return Num(float(found), "no value" if math.isnan(found) else "infinite")
            self.constants[short] = float(found)
            return Name(short)
        self.fail(f"`{path}` is neither an argument nor a number of the module")

    def lookup(self, path: str) -> Any:
        head, _, tail = path.partition(".")
        found = self.known.get(head)
        return getattr(found, tail, None) if tail else found

    def function(self, node: ast.expr) -> str:
        match node:
            case ast.Name(id=name):
                found = self.known.get(name)
                if getattr(found, "__module__", "") in ("math", "builtins") or isinstance(found, np.ufunc):
                    return _ALIASES.get(name, name)
                if found is np.where or found is np.clip:
                    return name
            case ast.Attribute(value=ast.Name(id=module), attr=name):
                found = self.known.get(module)
                if isinstance(found, ModuleType) and found.__name__ in ("numpy", "math"):
                    return _ALIASES.get(name, name)
        self.fail(f"`{ast.unparse(node)}` is not a function of numpy")

    def call(self, node: ast.Call) -> Node:
        if node.keywords or any(isinstance(a, ast.Starred) for a in node.args):
            self.fail(f"`{ast.unparse(node)}` has named or starred arguments")
        name = self.function(node.func)
        if name == "where":
            if len(node.args) != 3:
                self.fail("where needs a condition and two values")
            return self.where(node.args[0], node.args[1], node.args[2])
        args = tuple(self.value(a) for a in node.args)
        match name, args:
            case "radians", (x,):
                return Bin("/", Bin("*", x, Pi()), Num(180.0, "180"))
            case "degrees", (x,):
                return Bin("/", Bin("*", x, Num(180.0, "180")), Pi())
            case "square", (x,):
                return Bin("**", x, Num(2.0, "2"))
            case "power", (x, y):
                return Bin("**", x, y)
            case "hypot", (x, y):
                two = Num(2.0, "2")
                return Call("sqrt", (Bin("+", Bin("**", x, two), Bin("**", y, two)),))
            case "clip", (x, low, high):
                return Call("minimum", (Call("maximum", (x, low)), high))
            case (("minimum" | "maximum"), _) if len(args) >= 2:
                return Call(name, tuple(part for a in args for part in _merged(a, name)))
        if name not in FUNCTIONS or FUNCTIONS[name][0] != len(args):
            self.fail(f"`{ast.unparse(node)}` is not among the functions that can be printed")
        return Call(name, args)

    def where(self, test: ast.expr, yes: ast.expr, no: ast.expr) -> Node:
        head = (self.condition(test), self.value(yes))
        rest = self.value(no)
        if isinstance(rest, Cases):
            return Cases((head, *rest.cases), rest.otherwise)
        return Cases((head,), rest)

    def condition(self, node: ast.expr) -> Node:
        match node:
            case ast.Compare() if all(type(op) in _COMPARISONS for op in node.ops):
                items = (node.left, *node.comparators)
                return Compare(
                    tuple(self.value(i) for i in items), tuple(_COMPARISONS[type(o)] for o in node.ops)
                )
            case ast.BinOp(op=op) if type(op) in _LOGIC:
                return Logic(_LOGIC[type(op)], (self.condition(node.left), self.condition(node.right)))
            case ast.UnaryOp(op=ast.Invert() | ast.Not()):
                return Logic("not", (self.condition(node.operand),))
            case ast.Call() if not node.keywords:
                name = self.function(node.func)
                if name in ("logical_and", "logical_or", "logical_not"):
                    return Logic(name.removeprefix("logical_"), tuple(self.condition(a) for a in node.args))
            case ast.Name(id=name) if name in self.arguments:
                return Name(name)
        self.fail(f"`{ast.unparse(node)}` is not a condition")


def _merged(node: Node, func: str) -> tuple[Node, ...]:
    return node.args if isinstance(node, Call) and node.func == func else (node,)


@functools.cache
def _parse(name: str, func: Callable[..., Any]) -> Expression:
    reader = _Reader(name, func)
    try:
        module = ast.parse(textwrap.dedent(inspect.getsource(func)))
    except (OSError, SyntaxError) as exc:
        reader.fail(f"its source cannot be read ({exc})")
    head = module.body[0]
    if not isinstance(head, ast.FunctionDef):
        reader.fail("it is not a plain function")
    body = head.body
    if isinstance(body[0], ast.Expr) and isinstance(body[0].value, ast.Constant):
        body = body[1:]
    if len(body) != 1 or not isinstance(body[0], ast.Return) or body[0].value is None:
        reader.fail("its body is not a single return")
    tree = reader.value(body[0].value)
    return Expression(tree, dict(reader.constants))


def expression(spec: Formula) -> Expression:
    """Expression of a formula.

    Raises
    ------
    FormulaError
        Naming the formula and what in it cannot be printed.
    """
    return _parse(spec.name, spec.func)


def names(node: Node) -> tuple[str, ...]:
    """Names in a tree, in order of first use."""
    found: dict[str, None] = {}

    def walk(item: Node) -> None:
        if isinstance(item, Name):
            found.setdefault(item.name)
        for child in children(item):
            walk(child)

    walk(node)
    return tuple(found)


def children(node: Node) -> tuple[Node, ...]:
    """Direct parts of a node."""
    match node:
        case Bin():
            return (node.left, node.right)
        case Neg():
            return (node.item,)
        case Call():
            return node.args
        case Compare() | Logic():
            return node.items
        case Cases():
            return (*(part for case in node.cases for part in case), node.otherwise)
    return ()


def evaluate(node: Node, values: Mapping[str, Any], taken: list[int] | None = None) -> Any:
    """Work a tree out with numbers.

    Parameters
    ----------
    node : Node
        The tree.
    values : mapping of str to float
        Numbers of the names.
    taken : list of int, optional
        Filled with the case taken at each piecewise value met, so that two workings can be compared.
    """
    with np.errstate(all="ignore"):
        return _work(node, values, [] if taken is None else taken)


def _work(node: Node, values: Mapping[str, Any], taken: list[int]) -> Any:
    match node:
        case Num():
            return np.float64(node.value)
        case Name():
            value = values[node.name]
            return value if isinstance(value, bool) else np.float64(value)
        case Pi():
            return np.float64(math.pi)
        case Neg():
            return -_work(node.item, values, taken)
        case Bin():
            return _WORK[node.op](_work(node.left, values, taken), _work(node.right, values, taken))
        case Call():
            return FUNCTIONS[node.func][1](*(_work(a, values, taken) for a in node.args))
        case Compare():
            items = [_work(i, values, taken) for i in node.items]
            return all(_WORK[o](a, b) for o, a, b in zip(node.ops, items, items[1:], strict=False))
        case Logic():
            truths = [bool(_work(i, values, taken)) for i in node.items]
            return not truths[0] if node.op == "not" else all(truths) if node.op == "and" else any(truths)
        case Cases():
            for i, (test, value) in enumerate(node.cases):
                if _work(test, values, taken):
                    taken.append(i)
                    return _work(value, values, taken)
            taken.append(len(node.cases))
            return _work(node.otherwise, values, taken)


def put_in(node: Node, numbers: Mapping[str, Num | bool]) -> tuple[Node, tuple[Node, ...]]:
    """The tree with numbers in place of names, only the case that applies kept.

    Returns
    -------
    tree : Node
        With numbers, without cases.
    conditions : tuple of Node
        With numbers, each true, that chose the cases; a ``not`` where an earlier case was passed by.
    """
    values = {k: v.value if isinstance(v, Num) else v for k, v in numbers.items()}
    conditions: list[Node] = []

    def swap(item: Node) -> Node:
        match item:
            case Name():
                number = numbers[item.name]
                return item if isinstance(number, bool) else number
            case Neg():
                return Neg(swap(item.item))
            case Bin():
                return Bin(item.op, swap(item.left), swap(item.right))
            case Call():
                return Call(item.func, tuple(swap(a) for a in item.args))
            case Compare():
                return Compare(tuple(swap(i) for i in item.items), item.ops)
            case Logic():
                return Logic(item.op, tuple(swap(i) for i in item.items))
            case Cases():
                for test, value in item.cases:
                    if evaluate(test, values):
                        conditions.append(swap(test))
                        return swap(value)
                    conditions.append(opposite(swap(test)))
                return swap(item.otherwise)
        return item

    with np.errstate(all="ignore"):
        tree = swap(node)
    return tree, tuple(dict.fromkeys(conditions))


_OPPOSITE = {"<": ">=", "<=": ">", ">": "<=", ">=": "<", "==": "!=", "!=": "=="}


def opposite(node: Node) -> Node:
    """Condition that is true where this one is not."""
    if isinstance(node, Compare) and len(node.ops) == 1:
        return Compare(node.items, (_OPPOSITE[node.ops[0]],))
    if isinstance(node, Logic) and node.op == "not":
        return node.items[0]
    return Logic("not", (node,))
