"""Expression trees and symbols written in three ways: plain ASCII text, MathML Core, typst math.

One walk decides order, brackets and signs; three small writers only know their own marks.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass
from html import escape
from typing import Protocol

from secondroof.checks.expr import Bin, Call, Cases, Compare, FormulaError, Logic, Name, Neg, Node, Num, Pi
from secondroof.checks.numbers import MINUS

GREEK = {
    "alpha": "α", "beta": "β", "gamma": "γ", "delta": "δ", "epsilon": "ε", "zeta": "ζ", "eta": "η", "theta": "θ",
    "kappa": "κ", "lambda": "λ", "lamda": "λ", "mu": "μ", "nu": "ν", "xi": "ξ", "pi": "π", "rho": "ρ", "sigma": "σ",
    "tau": "τ", "phi": "φ", "chi": "χ", "psi": "ψ", "omega": "ω", "Gamma": "Γ", "Delta": "Δ", "Theta": "Θ",
    "Lambda": "Λ", "Pi": "Π", "Sigma": "Σ", "Phi": "Φ", "Psi": "Ψ", "Omega": "Ω",
}  # fmt: skip
FUNCTION_WORDS = {
    "log": "ln", "arctan2": "arctan", "sign": "sgn", "minimum": "min", "maximum": "max", "ceil": "round up",
    "floor": "round down",
}  # fmt: skip


@dataclass(frozen=True, slots=True)
class Forms:
    """The same line as plain text, as a ``<math>`` element and as a typst math source."""

    text: str
    mathml: str
    typst: str


EMPTY = Forms("", "", "")


@dataclass(frozen=True, slots=True)
class Symbol:
    """A symbol taken apart: letters, whether they are one Greek letter, subscripts."""

    base: str
    subs: tuple[str, ...]

    @property
    def text(self) -> str:
        """ASCII writing, e.g. ``K_zt``."""
        return "_".join((self.base, *self.subs))


def symbol(name: str) -> Symbol | None:
    """Take a symbol apart; None where it is words rather than a symbol."""
    clean = name.strip().rstrip("_")
    if not re.fullmatch(r"[A-Za-z][A-Za-z0-9]*(_[A-Za-z0-9]+)*", clean):
        return None
    base, *subs = clean.split("_")
    number = re.fullmatch(r"([A-Za-z]+)(\d+)", base)
    if number:
        base, subs = number.group(1), [number.group(2), *subs]
    return Symbol(base, tuple(subs))


class Writer(Protocol):
    """Marks of one notation."""

    flat: bool

    def number(self, text: str) -> str: ...
    def name(self, name: str) -> str: ...
    def name_power(self, name: str, exponent: str) -> str: ...
    def pi(self) -> str: ...
    def words(self, text: str) -> str: ...
    def slash(self) -> str: ...
    def row(self, parts: Sequence[str]) -> str: ...
    def op(self, op: str) -> str: ...
    def implied(self) -> str: ...
    def paren(self, inner: str) -> str: ...
    def frac(self, top: str, bottom: str) -> str: ...
    def power(self, base: str, exponent: str) -> str: ...
    def sqrt(self, inner: str) -> str: ...
    def fence(self, func: str, inner: str) -> str: ...
    def func(self, name: str, args: Sequence[str]) -> str: ...
    def cases(self, rows: Sequence[tuple[str, str]], otherwise: str) -> str: ...
    def strong(self, text: str) -> str: ...


class Plain:
    """ASCII for terminals."""

    flat = True
    _ops = {"*": "x", "==": "="}

    def number(self, text: str) -> str:
        return text

    def name(self, name: str) -> str:
        parts = symbol(name)
        return parts.text if parts else name.strip().encode("ascii", "replace").decode()

    def name_power(self, name: str, exponent: str) -> str:
        return self.power(self.name(name), exponent)

    def pi(self) -> str:
        return "pi"

    def words(self, text: str) -> str:
        return text

    def slash(self) -> str:
        return " / "

    def row(self, parts: Sequence[str]) -> str:
        return "".join(parts)

    def op(self, op: str) -> str:
        return "-" if op == "neg" else f" {self._ops.get(op, op)} "

    def implied(self) -> str:
        return " "

    def paren(self, inner: str) -> str:
        return f"({inner})"

    def frac(self, top: str, bottom: str) -> str:
        return f"{top} / {bottom}"

    def power(self, base: str, exponent: str) -> str:
        return f"{base}^{exponent}"

    def sqrt(self, inner: str) -> str:
        return f"sqrt({inner})"

    def fence(self, func: str, inner: str) -> str:
        return f"{FUNCTION_WORDS.get(func, func)}({inner})"

    def func(self, name: str, args: Sequence[str]) -> str:
        return f"{FUNCTION_WORDS.get(name, name)}({', '.join(args)})"

    def cases(self, rows: Sequence[tuple[str, str]], otherwise: str) -> str:
        return "".join(f"{value} if {test}; " for value, test in rows) + f"{otherwise} otherwise"

    def strong(self, text: str) -> str:
        return text


_FENCES = {"abs": ("|", "|"), "ceil": ("⌈", "⌉"), "floor": ("⌊", "⌋")}


class MathML:
    """MathML Core; everything is escaped. The page sets ``mtd.case`` left and ``.result`` bold."""

    flat = False
    _ops = {"-": MINUS, "neg": MINUS, "*": "×", "<=": "≤", ">=": "≥", "!=": "≠", "==": "="}

    def number(self, text: str) -> str:
        return f"<mn>{escape(text)}</mn>"

    def _letters(self, word: str) -> str:
        if word in GREEK:
            upright = ' mathvariant="normal"' if word[0].isupper() else ""
            return f"<mi{upright}>{GREEK[word]}</mi>"
        if len(word) == 1:
            return f"<mi>{word}</mi>"
        if word.isupper() and len(word) <= 3:
            return "<mrow>" + "".join(f"<mi>{c}</mi>" for c in word) + "</mrow>"
        return f"<mi>{word}</mi>"

    def _subs(self, subs: Sequence[str]) -> str:
        parts: list[str] = []
        for sub in subs:
            if parts:
                parts.append('<mo separator="true">,</mo>')
            if sub.isdigit():
                parts.append(f"<mn>{sub}</mn>")
            elif sub in GREEK:
                parts.append(f"<mi>{GREEK[sub]}</mi>")
            else:
                parts.append(f'<mi mathvariant="normal">{sub}</mi>' if len(sub) == 1 else f"<mi>{sub}</mi>")
        return parts[0] if len(parts) == 1 else f"<mrow>{''.join(parts)}</mrow>"

    def name(self, name: str) -> str:
        parts = symbol(name)
        if parts is None:
            return self.words(name)
        base = self._letters(parts.base)
        return f"<msub>{base}{self._subs(parts.subs)}</msub>" if parts.subs else base

    def name_power(self, name: str, exponent: str) -> str:
        parts = symbol(name)
        if parts is None or not parts.subs:
            return self.power(self.name(name), exponent)
        base, subs = self._letters(parts.base), self._subs(parts.subs)
        return f"<msubsup>{base}{subs}<mrow>{exponent}</mrow></msubsup>"

    def pi(self) -> str:
        return "<mi>π</mi>"

    def words(self, text: str) -> str:
        return f"<mtext>{escape(text).replace(' ', '&#xA0;')}</mtext>"

    def slash(self) -> str:
        return '<mo lspace="0em" rspace="0em">/</mo>'

    def row(self, parts: Sequence[str]) -> str:
        return parts[0] if len(parts) == 1 else f"<mrow>{''.join(parts)}</mrow>"

    def op(self, op: str) -> str:
        form = ' form="prefix"' if op == "neg" else ""
        return f"<mo{form}>{escape(self._ops.get(op, op))}</mo>"

    def implied(self) -> str:
        return '<mo lspace="0.17em" rspace="0em">&#x2062;</mo>'

    def paren(self, inner: str) -> str:
        return f"<mrow><mo>(</mo>{inner}<mo>)</mo></mrow>"

    def frac(self, top: str, bottom: str) -> str:
        return f"<mfrac><mrow>{top}</mrow><mrow>{bottom}</mrow></mfrac>"

    def power(self, base: str, exponent: str) -> str:
        return f"<msup><mrow>{base}</mrow><mrow>{exponent}</mrow></msup>"

    def sqrt(self, inner: str) -> str:
        return f"<msqrt>{inner}</msqrt>"

    def fence(self, func: str, inner: str) -> str:
        left, right = _FENCES[func]
        return f'<mrow><mo form="prefix">{left}</mo>{inner}<mo form="postfix">{right}</mo></mrow>'

    def func(self, name: str, args: Sequence[str]) -> str:
        head = (
            "<msub><mi>log</mi><mn>10</mn></msub>" if name == "log10" else f"<mi>{FUNCTION_WORDS.get(name, name)}</mi>"
        )
        inner = '<mo separator="true">,</mo>'.join(args)
        return f"<mrow>{head}<mo>&#x2061;</mo>{self.paren(inner)}</mrow>"

    def cases(self, rows: Sequence[tuple[str, str]], otherwise: str) -> str:
        cell = '<mtd class="case">'
        body = "".join(
            f"<mtr>{cell}{value}</mtd>{cell}<mrow><mtext>if&#xA0;</mtext>{test}</mrow></mtd></mtr>"
            for value, test in rows
        )
        last = f"<mtr>{cell}{otherwise}</mtd>{cell}<mtext>otherwise</mtext></mtd></mtr>"
        return f'<mrow><mo form="prefix">{{</mo><mtable displaystyle="true">{body}{last}</mtable></mrow>'

    def strong(self, text: str) -> str:
        return f'<mtext class="result">{escape(text)}</mtext>'


class Typst:
    """Typst math source; people's words only ever stand inside quoted strings."""

    flat = False
    _ops = {"*": "times", "==": "=", "neg": "-"}

    def _quoted(self, text: str) -> str:
        clean = "".join(c if c.isprintable() else " " for c in text)
        return '"' + clean.replace("\\", "\\\\").replace('"', '\\"') + '"'

    def number(self, text: str) -> str:
        if "," in text:  # a comma would otherwise make it a word, with a space around
            return f'class("normal", {self._quoted(text)})'
        return self._quoted(text)

    def _letters(self, word: str) -> str:
        if word in GREEK:
            return GREEK[word]
        if len(word) == 1:
            return word
        return "".join(f"{c} " for c in word).strip() if word.isupper() and len(word) <= 3 else self._quoted(word)

    def _subs(self, subs: Sequence[str]) -> str:
        return " \\, ".join(GREEK.get(s, self._quoted(s)) for s in subs)

    def name(self, name: str) -> str:
        parts = symbol(name)
        if parts is None:
            return self._quoted(name)
        base = self._letters(parts.base)
        return f"attach({base}, b: {self._subs(parts.subs)})" if parts.subs else base

    def name_power(self, name: str, exponent: str) -> str:
        parts = symbol(name)
        if parts is None or not parts.subs:
            return self.power(self.name(name), exponent)
        return f"attach({self._letters(parts.base)}, b: {self._subs(parts.subs)}, t: {exponent})"

    def pi(self) -> str:
        return "π"

    def words(self, text: str) -> str:
        return self._quoted(text.strip())

    def slash(self) -> str:
        return "slash"

    def row(self, parts: Sequence[str]) -> str:
        return " ".join(parts)

    def op(self, op: str) -> str:
        return self._ops.get(op, op)

    def implied(self) -> str:
        return "thin"

    def paren(self, inner: str) -> str:
        return f"lr(( {inner} ))"

    def frac(self, top: str, bottom: str) -> str:
        return f"frac({top}, {bottom})"

    def power(self, base: str, exponent: str) -> str:
        return f"attach({base}, t: {exponent})"

    def sqrt(self, inner: str) -> str:
        return f"sqrt({inner})"

    def fence(self, func: str, inner: str) -> str:
        return f"{func}({inner})"

    def func(self, name: str, args: Sequence[str]) -> str:
        head = (
            'attach(op("log"), b: "10")' if name == "log10" else f"op({self._quoted(FUNCTION_WORDS.get(name, name))})"
        )
        return f"{head} {self.paren(_commas(args))}"

    def cases(self, rows: Sequence[tuple[str, str]], otherwise: str) -> str:
        body = "".join(f'display({value}) & quad "if" {test}, ' for value, test in rows)
        return f'cases({body}display({otherwise}) & quad "otherwise")'

    def strong(self, text: str) -> str:
        return f"upright(bold({self._quoted(text)}))"


def _commas(args: Sequence[str]) -> str:
    return ' class("punctuation", ",") '.join(args)


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
                return self.w.name(name), _ATOM
            case Pi():
                return self.w.pi(), _ATOM
            case Neg(item=item):
                return self.w.row([self.w.op("neg"), self._need(item, _PRODUCT)]), _NEG
            case Bin(op="+" | "-"):
                return self._sum(node), _SUM
            case Bin(op="*"):
                return self._product(node)
            case Bin(op="/"):
                return self._fraction(node)
            case Bin(op="**"):
                return self._power(node), _POWER
            case Call():
                return self._call(node)
            case Compare():
                return self._compare(node), _LOGIC
            case Logic():
                return self._logic(node), _LOGIC
            case Cases():
                rows = [(self.write(value), self.write(test)) for test, value in node.cases]
                return self.w.cases(rows, self.write(node.otherwise)), _LOGIC
        raise FormulaError(f"{node!r} cannot be printed")

    def _sum(self, node: Bin) -> str:
        first, *rest = _terms(node)
        parts = [self._need(first[1], _NEG)]
        for op, term in rest:
            parts += [self.w.op(op), self._need(term, _PRODUCT)]
        return self.w.row(parts)

    def _product(self, node: Bin) -> tuple[str, int]:
        first, *rest = _factors(node)
        if isinstance(first, Neg):
            text, level = self._product_of(first.item, rest)
            return self.w.row([self.w.op("neg"), text]), _NEG
        return self._product_of(first, rest)

    def _product_of(self, first: Node, rest: Sequence[Node]) -> tuple[str, int]:
        text, own = self._at(first)
        level = _NEG if own == _NEG and not (isinstance(first, Neg)) else _PRODUCT
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
            top, bottom = top.left, Bin("*", top.right, bottom)
        if isinstance(top, Neg):
            return self.w.row([self.w.op("neg"), self._fraction(Bin("/", top.item, bottom))[0]]), _NEG
        if self.w.flat:
            return self.w.frac(self._need(top, _PRODUCT), self._need(bottom, _FRACTION + 1)), _PRODUCT
        return self.w.frac(self.write(top), self.write(bottom)), _FRACTION

    def _power(self, node: Bin) -> str:
        raised = node.right
        exponent = self._need(raised, _ATOM) if self.w.flat else self._exponent(raised)
        if isinstance(node.left, Name):
            return self.w.name_power(node.left.name, exponent)
        return self.w.power(self._need(node.left, _ATOM), exponent)

    def _exponent(self, node: Node) -> str:
        if isinstance(node, Bin) and node.op == "/":
            parts = [self._need(node.left, _ATOM), self.w.slash(), self._need(node.right, _ATOM)]
            return self.w.row(parts)
        return self.write(node)

    def _call(self, node: Call) -> tuple[str, int]:
        args = [self.write(a) for a in node.args]
        if node.func == "sqrt":
            return self.w.sqrt(args[0]), _POWER
        if node.func in _FENCES:
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
    return ("-" if op == "+" else "+", term.item) if isinstance(term, Neg) else (op, term)


def _factors(node: Node) -> list[Node]:
    if isinstance(node, Bin) and node.op == "*":
        return [*_factors(node.left), *_factors(node.right)]
    return [node]


def _starts_with_number(node: Node) -> bool:
    match node:
        case Num():
            return True
        case Bin(op="**" | "*" | "/"):
            return _starts_with_number(node.left)
    return False


def _ends_open(node: Node) -> bool:
    """A call or fraction before a bracket could be read as an argument; a sign keeps them apart."""
    return isinstance(node, Call) and node.func not in ("sqrt", *_FENCES)


PLAIN, MATHML, TYPST = Plain(), MathML(), Typst()
_WRITERS: tuple[Writer, ...] = (PLAIN, MATHML, TYPST)


def finished(forms: Forms) -> Forms:
    """Forms ready to stand alone: a ``<math>`` element with its plain text, fractions in full size."""
    if not forms.mathml:
        return forms
    mathml = f'<math displaystyle="true" alttext="{escape(forms.text)}"><mrow>{forms.mathml}</mrow></math>'
    return Forms(forms.text, mathml, f"display({forms.typst})")


def join(*parts: Forms | str) -> Forms:
    """Forms side by side; a string is an operator such as ``=``."""
    texts, maths, typsts = [], [], []
    for part in parts:
        if isinstance(part, str):
            texts.append(PLAIN.op(part).strip())
            maths.append(MATHML.op(part))
            typsts.append(TYPST.op(part))
        else:
            texts.append(part.text)
            maths.append(part.mathml)
            typsts.append(part.typst)
    text = " ".join(t.strip() for t in texts if t)
    return Forms(text, "".join(maths), " ".join(t for t in typsts if t))


def tree_forms(node: Node, *, numeric: bool = False) -> Forms:
    """A tree in three notations; the MathML is without its ``<math>`` element."""
    return Forms(*(Printer(w, numeric).write(node) for w in _WRITERS))


def symbol_forms(name: str) -> Forms:
    """A symbol, or words, in three notations."""
    return Forms(*(w.name(name) for w in _WRITERS))


def word_forms(text: str) -> Forms:
    """Words in three notations."""
    return Forms(*(w.words(text) for w in _WRITERS))


def strong_forms(plain: str, text: str) -> Forms:
    """A result with its unit, set bold: ``plain`` for the terminal, ``text`` elsewhere."""
    return Forms(plain, MATHML.strong(text), TYPST.strong(text))
