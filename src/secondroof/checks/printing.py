"""The walk that prints an expression tree: order, brackets only as needed, signs of multiplication."""

from __future__ import annotations

from secondroof.checks.expr import Bin, Call, Cases, Compare, FormulaError, Logic, Name, Neg, Node, Num, Pi
from secondroof.checks.notation import FENCES, WRITERS, Forms, Writer, named

_LOGIC, _SUM, _NEG, _PRODUCT, _FRACTION, _POWER, _ATOM = range(7)


class Printer:
    """Walks a tree and writes it.

    Parameters
    ----------
    writer : Writer
        The notation.
    numeric : bool
        Numbers were put in: every product shows its sign.
    """

    def __init__(self, writer: Writer, numeric: bool = False) -> None:
        self.w = writer
        self.numeric = numeric

    def write(self, node: Node) -> str:
        """The whole tree."""
        return self._at(node)[0]

    def _inside(self, node: Node) -> str:
        """A part set off by commas or words; cases in one line of text need brackets there."""
        text = self.write(node)
        return self.w.paren(text) if self.w.flat and isinstance(node, Cases) else text

    def _need(self, node: Node, level: int) -> str:
        text, own = self._at(node)
        return text if own >= level else self.w.paren(text)

    def _at(self, node: Node) -> tuple[str, int]:
        match node:
            case Num(text=text):
                if text.startswith("-"):
                    return self.w.row([self.w.op("neg"), self.w.number(text[1:])]), _NEG
                return self.w.number(text), _ATOM
            case Name(name=name):
                return named(self.w, name), _ATOM
            case Pi():
                return self.w.pi(), _ATOM
            case Neg(item=item):
                return self.w.row([self.w.op("neg"), self._need(item, _PRODUCT)]), _NEG
            case Bin():
                return self._binary(node)
            case Call():
                return self._call(node)
            case Compare():
                return self._compare(node), _LOGIC
            case Logic():
                return self._logic(node), _LOGIC
            case Cases():
                rows = [(self._inside(value), self.write(test)) for test, value in node.cases]
                return self.w.cases(rows, self._inside(node.otherwise)), _LOGIC
        raise FormulaError(f"{node!r} cannot be printed")

    def _binary(self, node: Bin) -> tuple[str, int]:
        if (bare := _without_minus(node)) is not None:
            return self.w.row([self.w.op("neg"), self._need(bare, _PRODUCT)]), _NEG
        if node.op == "*":
            return self._product(node)
        if node.op == "/":
            return self._fraction(node)
        return (self._power(node), _POWER) if node.op == "**" else (self._sum(node), _SUM)

    def _sum(self, node: Bin) -> str:
        first, *rest = _terms(node)
        parts = [self._need(first[1], _NEG)]
        for op, term in rest:
            parts += [self.w.op(op), self._need(term, _PRODUCT)]
        return self.w.row(parts)

    def _product(self, node: Bin) -> tuple[str, int]:
        first, *rest = _factors(node)
        text, own = self._at(first)
        level = _NEG if own == _NEG else _PRODUCT  # a negative number leads
        parts = [text if own >= _FRACTION or level == _NEG else self.w.paren(text)]
        before = first
        for factor in rest:
            sign = self.numeric or _starts_with_number(factor) or _ends_open(before)
            parts += [self.w.op("*") if sign else self.w.implied(), self._need(factor, _FRACTION)]
            before = factor
        return self.w.row(parts), level

    def _fraction(self, node: Bin) -> tuple[str, int]:
        top, bottom = node.left, node.right
        if isinstance(top, Bin) and top.op == "/":
            bottom = Bin("*", top.right, bottom)
            top = top.left
        if self.w.flat:
            return self.w.frac(self._need(top, _PRODUCT), self._need(bottom, _FRACTION + 1)), _PRODUCT
        return self.w.frac(self.write(top), self.write(bottom)), _FRACTION

    def _power(self, node: Bin) -> str:
        raised = node.right
        exponent = self._need(raised, _ATOM) if self.w.flat else self._exponent(raised)
        if isinstance(node.left, Name) and "_over_" not in node.left.name:
            return self.w.name_power(node.left.name, exponent)
        return self.w.power(self._need(node.left, _ATOM), exponent)

    def _exponent(self, node: Node) -> str:
        if isinstance(node, Bin) and node.op == "/":
            parts = [self._need(node.left, _ATOM), self.w.slash(), self._need(node.right, _ATOM)]
            return self.w.row(parts)
        return self.write(node)

    def _call(self, node: Call) -> tuple[str, int]:
        args = [self._inside(a) for a in node.args]
        if node.func == "sqrt":
            return self.w.sqrt(args[0]), _POWER
        if node.func in FENCES:
            return self.w.fence(node.func, args[0]), _ATOM
        if node.func == "arctan2":
            return self.w.func("arctan2", [self.write(Bin("/", node.args[0], node.args[1]))]), _POWER
        return self.w.func(node.func, args), _POWER

    def _compare(self, node: Compare) -> str:
        parts = [self.write(node.items[0])]
        for op, item in zip(node.ops, node.items[1:], strict=True):
            parts += [self.w.op(op), self.write(item)]
        return self.w.row(parts)

    def _logic(self, node: Logic) -> str:
        if node.op == "not":
            return self.w.row([self.w.words("not "), self._condition(node.items[0])])
        parts = [self._condition(node.items[0])]
        for item in node.items[1:]:
            parts += [self.w.words(f" {node.op} "), self._condition(item)]
        return self.w.row(parts)

    def _condition(self, node: Node) -> str:
        return self.w.paren(self.write(node)) if isinstance(node, Logic) else self.write(node)


def _terms(node: Node) -> list[tuple[str, Node]]:
    if isinstance(node, Bin) and node.op in ("+", "-"):
        right = [("-", node.right)] if node.op == "-" else _terms(node.right)
        return [*_terms(node.left), *(_signed(op, term) for op, term in right)]
    return [("+", node)]


def _signed(op: str, term: Node) -> tuple[str, Node]:
    bare = _without_minus(term)
    return (op, term) if bare is None else ("-" if op == "+" else "+", bare)


def _without_minus(node: Node) -> Node | None:
    """What a leading minus stands before, in a product or a quotient; None where there is no minus."""
    if isinstance(node, Neg):
        return node.item
    if isinstance(node, Bin) and node.op in ("*", "/"):
        bare = _without_minus(node.left)
        return None if bare is None else Bin(node.op, bare, node.right)
    return None


def _factors(node: Node) -> list[Node]:
    if isinstance(node, Bin) and node.op == "*":
        return [*_factors(node.left), *_factors(node.right)]
    return [node]


def _starts_with_number(node: Node) -> bool:
    match node:
        case Num():
            return True
        case Bin(op="**" | "*" | "/", left=left):
            return _starts_with_number(left)
    return False


def _ends_open(node: Node) -> bool:
    """A call or fraction before a bracket could be read as an argument; a sign keeps them apart."""
    return isinstance(node, Call) and node.func not in ("sqrt", *FENCES)


def tree_forms(node: Node, *, numeric: bool = False) -> Forms:
    """A tree in three notations; the MathML is without its ``<math>`` element."""
    return Forms(*(Printer(w, numeric).write(node) for w in WRITERS))
