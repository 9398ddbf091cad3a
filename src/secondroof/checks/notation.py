"""Marks of three notations: plain ASCII text, MathML Core, typst math.

The writers only know their own marks; ``checks.printing`` decides order, brackets and signs.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass
from html import escape
from typing import ClassVar, Protocol

from secondroof.checks.numbers import MINUS

GREEK = {
    "alpha": "α", "beta": "β", "gamma": "γ", "delta": "δ", "epsilon": "ε", "zeta": "ζ", "eta": "η", "theta": "θ",
    "kappa": "κ", "lambda": "λ", "lamda": "λ", "mu": "μ", "nu": "ν", "xi": "ξ", "pi": "π", "rho": "ρ", "sigma": "σ",
    "tau": "τ", "phi": "φ", "chi": "χ", "psi": "ψ", "omega": "ω", "Gamma": "Γ", "Delta": "Δ", "Theta": "Θ",
    "Lambda": "Λ", "Pi": "Π", "Sigma": "Σ", "Phi": "Φ", "Psi": "Ψ", "Omega": "Ω",
}  # fmt: skip
# the subscript of GC_pi is "pressure, internal", never the number
SUB_GREEK = {k: v for k, v in GREEK.items() if k != "pi"}
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
    """A symbol taken apart: letters, subscripts, and whether it is primed."""

    base: str
    subs: tuple[str, ...]
    prime: bool = False

    @property
    def text(self) -> str:
        """ASCII writing, e.g. ``K_zt``."""
        return "_".join((self.base + "'" * self.prime, *self.subs))


def symbol(name: str) -> Symbol | None:
    """Take a symbol apart; None where it is words rather than a symbol."""
    clean = name.strip().rstrip("_")
    if not re.fullmatch(r"[A-Za-z][A-Za-z0-9]*'?(_[A-Za-z0-9]+)*", clean):
        return None
    base, *subs = clean.split("_")
    prime = base.endswith("'") or (bool(subs) and subs[-1] == "prime")
    base = base.rstrip("'")
    subs = subs[:-1] if subs and subs[-1] == "prime" else subs
    if len(base) > 1 and base.isupper() and base.lower() in GREEK:  # a constant of a module, e.g. MU
        base = base.lower()
    number = re.fullmatch(r"([A-Za-z]+)(\d+)|(GC)([a-z]+)", base)
    if number:
        letters, index = [g for g in number.groups() if g]
        base, subs = letters, [index, *subs]
    return Symbol(base, tuple(subs), prime)


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
    _ops: ClassVar[dict[str, str]] = {"*": "x", "==": "="}

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


FENCES = {"abs": ("|", "|"), "ceil": ("⌈", "⌉"), "floor": ("⌊", "⌋")}


class MathML:
    """MathML Core; everything is escaped. The page sets ``mtd.case`` left and ``.result`` bold."""

    flat = False
    _ops: ClassVar[dict[str, str]] = {
        "-": MINUS,
        "neg": MINUS,
        "*": "×",
        "<=": "≤",
        ">=": "≥",
        "!=": "≠",
        "==": "=",
    }

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

    def _base(self, parts: Symbol) -> str:
        letters = self._letters(parts.base)
        return f"<mrow>{letters}<mo>′</mo></mrow>" if parts.prime else letters

    def _subs(self, subs: Sequence[str]) -> str:
        parts: list[str] = []
        for sub in subs:
            if parts:
                parts.append('<mo separator="true">,</mo>')
            if sub.isdigit():
                parts.append(f"<mn>{sub}</mn>")
            elif sub in SUB_GREEK:
                parts.append(f"<mi>{SUB_GREEK[sub]}</mi>")
            else:
                parts.append(f'<mi mathvariant="normal">{sub}</mi>' if len(sub) == 1 else f"<mi>{sub}</mi>")
        return parts[0] if len(parts) == 1 else f"<mrow>{''.join(parts)}</mrow>"

    def name(self, name: str) -> str:
        parts = symbol(name)
        if parts is None:
            return self.words(name)
        base = self._base(parts)
        return f"<msub>{base}{self._subs(parts.subs)}</msub>" if parts.subs else base

    def name_power(self, name: str, exponent: str) -> str:
        parts = symbol(name)
        if parts is None or not parts.subs:
            return self.power(self.name(name), exponent)
        base, subs = self._base(parts), self._subs(parts.subs)
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
        left, right = FENCES[func]
        return f'<mrow><mo form="prefix">{left}</mo>{inner}<mo form="postfix">{right}</mo></mrow>'

    def func(self, name: str, args: Sequence[str]) -> str:
        head = (
            "<msub><mi>log</mi><mn>10</mn></msub>"
            if name == "log10"
            else f"<mi>{FUNCTION_WORDS.get(name, name)}</mi>"
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
    _ops: ClassVar[dict[str, str]] = {"*": "times", "==": "=", "neg": "-"}

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
        return (
            "".join(f"{c} " for c in word).strip()
            if word.isupper() and len(word) <= 3
            else self._quoted(word)
        )

    def _base(self, parts: Symbol) -> str:
        return self._letters(parts.base) + "'" * parts.prime

    def _subs(self, subs: Sequence[str]) -> str:
        return " \\, ".join(SUB_GREEK.get(s, self._quoted(s)) for s in subs)

    def name(self, name: str) -> str:
        parts = symbol(name)
        if parts is None:
            return self._quoted(name)
        base = self._base(parts)
        return f"attach({base}, b: {self._subs(parts.subs)})" if parts.subs else base

    def name_power(self, name: str, exponent: str) -> str:
        parts = symbol(name)
        if parts is None or not parts.subs:
            return self.power(self.name(name), exponent)
        return f"attach({self._base(parts)}, b: {self._subs(parts.subs)}, t: {exponent})"

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
            'attach(op("log"), b: "10")'
            if name == "log10"
            else f"op({self._quoted(FUNCTION_WORDS.get(name, name))})"
        )
        return f"{head} {self.paren(_commas(args))}"

    def cases(self, rows: Sequence[tuple[str, str]], otherwise: str) -> str:
        body = "".join(f'display({value}) & quad "if" {test}, ' for value, test in rows)
        return f'cases({body}display({otherwise}) & quad "otherwise")'

    def strong(self, text: str) -> str:
        return f"upright(bold({self._quoted(text)}))"


def _commas(args: Sequence[str]) -> str:
    return ' class("punctuation", ",") '.join(args)


PLAIN, MATHML, TYPST = Plain(), MathML(), Typst()
WRITERS: tuple[Writer, ...] = (PLAIN, MATHML, TYPST)


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


_PART = re.compile(r"[A-Za-z][A-Za-z0-9_']*|/|\s+")
_UPRIGHT = ("tan", "sin", "cos")


def named(w: Writer, name: str) -> str:
    """A name as one writer marks it; ``h_over_t`` is (h / t), ``phi P_n`` and ``t_2/t_1`` are taken apart."""
    if "_over_" in name and symbol(name):
        top, _, bottom = name.partition("_over_")
        return w.paren(w.row([w.name(top), w.slash(), w.name(bottom)]))
    parts = _PART.findall(name.strip())
    if len(parts) < 2 or "".join(parts) != name.strip() or not all(_single(p) for p in parts):
        return w.name(name)
    marks = [w.slash() if p == "/" else w.implied() if p.isspace() else w.name(p) for p in parts]
    return w.row(marks)


def _single(part: str) -> bool:
    found = symbol(part)
    return found is None or len(found.base) == 1 or found.base in GREEK or found.base in _UPRIGHT


def symbol_forms(name: str) -> Forms:
    """A symbol, a few symbols such as ``phi P_n`` or ``t_2/t_1``, or words, in three notations."""
    return Forms(*(named(w, name) for w in WRITERS))


def word_forms(text: str) -> Forms:
    """Words in three notations."""
    return Forms(*(w.words(text) for w in WRITERS))


def strong_forms(plain: str, text: str) -> Forms:
    """A result with its unit, set bold: ``plain`` for the terminal, ``text`` elsewhere."""
    return Forms(plain, MATHML.strong(text), TYPST.strong(text))
