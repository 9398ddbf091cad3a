"""Cards are made from the formula itself.

Formulas of this file are invented for the test. Expected lines are written by hand from the source above them.
"""

from __future__ import annotations

import importlib
import json
import math
import pkgutil
import random
import re
import xml.etree.ElementTree as ET
from types import SimpleNamespace

import numpy as np
import pytest

import secondroof
from secondroof.checks.expr import Bin, FormulaError, Name, Neg, Num, evaluate, expression
from secondroof.checks.model import Check, OtherWay, Source
from secondroof.checks.notation import Forms, symbol_forms, word_forms
from secondroof.checks.printing import tree_forms
from secondroof.checks.render import card_lines, card_lines_of, symbols_table
from secondroof.checks.textcard import card_text
from secondroof.formula import REGISTRY, Formula, Limit, Step, formula, note_step, recording, spec_of

E_KSI = 29500.0
_BEFORE = set(REGISTRY)


@formula("w", unit="lb/ft", clause="statics", checked="definition")
def line_load(p, b):
    """Uplift on one foot of line. [lb/ft]

    Parameters
    ----------
    p : numeric
        Uplift of the zone. [psf]
    b : numeric
        Width on the line. [ft]
    """
    return p * b


@formula("P_a", unit="lb", clause="invented", checked="from memory", limits=(Limit("t", 0.02, 0.06, "Ask."),))
def screw(t, d, F_u, Omega):
    """One screw, allowable. [lb]

    Parameters
    ----------
    t : numeric
        Base steel. [in]
    d : numeric
        Outside of thread. [in]
    F_u : numeric
        Tensile strength. [psi]
    Omega : numeric
        Safety factor. [-]
    """
    return 0.85 * t * d * F_u / Omega


@formula("ratio", unit="-", clause="definition", checked="definition")
def share(w, n, P_a):
    """Demand over capacity. [-]"""
    return w / (n * P_a)


@formula("K_z", unit="-", clause="invented", checked="from memory")
def by_cases(z, z_g, alpha):
    """Coefficient by height. [-]"""
    return np.where(
        z < 15, 2.01 * (15 / z_g) ** (2 / alpha), np.where(z > 500, 1.0, (z / z_g) ** (2 / alpha))
    )


@formula("y", unit="-", clause="invented", checked="definition")
def everything(a, b, lambda_):
    """Every function at once. [-]"""
    return (
        np.sqrt(a**2 + b**2) / (a - (b - 1)) - np.exp(-a / 3) * np.log10(b) + -np.cosh(a) * np.tanh(b) ** 2
        + np.minimum(a, np.minimum(b, 2)) * np.maximum(a, -b) + abs(a - b) * np.pi / E_KSI + np.radians(lambda_)
        + np.clip(a, 0.1, 0.9) ** -0.5 + np.log(1 + b) * np.floor(a) + np.ceil(b) + np.hypot(a, b) * np.arctan(a)
    )  # fmt: skip


@formula("q", unit="W/m2", clause="invented", checked="definition")
def radiation(T_1, T_2):
    """Difference of large powers, where rounded inputs do harm. [W/m2]"""
    return 5.67e-8 * (T_1**4 - T_2**4)


@formula("s", unit="psf", clause="invented", checked="definition")
def balance(a, b, c):
    """Sum of near opposites. [psf]"""
    return a - b + 0.6 * c


OURS = {name: REGISTRY[name] for name in set(REGISTRY) - _BEFORE}
for _name in OURS:
    del REGISTRY[_name]


def step_of(function, *args) -> Step:
    with recording() as recorder:
        function(*args)
    return recorder.steps[-1]


def all_formulas() -> dict[str, Formula]:
    """Every formula of the package, found by importing all of it that exists."""
    for room in ("loads", "steel", "rules", "recover", "lines", "heat", "money", "roof", "checks"):
        try:
            package = importlib.import_module(f"secondroof.{room}")
        except ModuleNotFoundError as exc:
            assert exc.name == f"secondroof.{room}"
            continue
        for module in pkgutil.walk_packages(getattr(package, "__path__", []), f"{package.__name__}."):
            importlib.import_module(module.name)
    return {name: spec for name, spec in REGISTRY.items() if spec.func.__module__.startswith("secondroof.")}


FORMULAS = {**OURS, **all_formulas()}


def mathml(forms: Forms) -> ET.Element:
    root = ET.fromstring(forms.mathml)
    assert root.tag == "math"
    for element in root.iter():
        assert element.tag in (
            "math mrow mi mn mo mtext mfrac msub msup msubsup msqrt mtable mtr mtd".split()
        ), element.tag
        count = {"mfrac": 2, "msub": 2, "msup": 2, "msubsup": 3}.get(element.tag)
        assert count is None or len(element) == count
    return root


def check_typst(sources: list[str]) -> None:
    """Set every source as mathematics in one document; the typesetter refuses what it cannot read."""
    import typst

    page = '#let s = json("s.json")\n#for x in s { eval(x, mode: "math"); linebreak() }\n'
    typst.compile({"main": page.encode(), "s.json": json.dumps(sources).encode()}, format="pdf")


def sample(spec: Formula, rng: random.Random) -> dict[str, object]:
    """Arguments inside the limits of a formula."""
    limits = {limit.name: limit for limit in spec.limits}
    names = {
        "t": (0.03, 0.12),
        "in": (0.05, 12.0),
        "deg": (1.0, 30.0),
        "ksi": (30.0, 90.0),
        "mph": (85.0, 180.0),
    }
    found: dict[str, object] = {}
    for argument in spec.arguments:
        low, high = names.get(argument.unit, (0.1, 60.0))
        limit = limits.get(argument.name)
        if limit is not None:
            low = limit.low if limit.low is not None else min(low, (limit.high or 0.0) / 2)
            high = limit.high if limit.high is not None else max(high, 2 * low)
        value = rng.uniform(low, high)
        found[argument.name] = rng.choice(
            [value, round(value, 1) if low <= round(value, 1) <= high else value]
        )
    return found


def steps_of(spec: Formula, seed: int, count: int) -> list[Step]:
    rng = random.Random(f"{spec.name}{seed}")
    steps = []
    for _ in range(count):
        inputs = sample(spec, rng)
        with np.errstate(all="ignore"):
            try:
                result = spec.func(**{k: np.float64(v) for k, v in inputs.items()})
            except TypeError:  # a condition by name
                inputs = {k: bool(v) if k not in _numeric(spec) else v for k, v in inputs.items()}
                result = spec.func(**inputs)
        steps.append(
            Step(spec.title, spec.symbol, spec.unit, spec.clause, inputs, result, spec, checked=spec.checked)
        )
    return steps


def _numeric(spec: Formula) -> set[str]:
    return {a.name for a in spec.arguments if a.unit != "yes or no"}


@pytest.mark.parametrize("name", sorted(FORMULAS))
def test_every_formula_renders(name):
    spec = FORMULAS[name]
    for step in steps_of(spec, 1, 3):
        line = card_lines(step)
        for forms in (line.symbolic, line.numeric, line.result, line.equation):
            assert forms.text and forms.typst and forms.text.isascii()
            mathml(forms)


def test_every_formula_sets_in_type():
    sources = []
    for spec in FORMULAS.values():
        line = card_lines(steps_of(spec, 2, 1)[0])
        sources += [line.symbolic.typst, line.numeric.typst, line.equation.typst]
        sources += [row.symbol.typst for row in line.inputs]
    check_typst(sources)


@pytest.mark.parametrize("name", sorted(FORMULAS))
def test_tree_is_the_function(name):
    spec = FORMULAS[name]
    tree = expression(spec)
    for step in steps_of(spec, 3, 20):
        again = evaluate(tree.tree, {**tree.constants, **step.inputs})
        assert np.isclose(float(again), float(step.result), rtol=1e-12, atol=0, equal_nan=True)


@pytest.mark.parametrize("name", sorted(FORMULAS))
def test_printed_numbers_give_the_printed_result(name):
    """The printed right side, read back from the page and worked out, is the printed result to half a last digit."""
    spec = FORMULAS[name]
    for step in steps_of(spec, 4, 25):
        if not math.isfinite(float(step.result)):
            continue
        line = card_lines(step)
        value = line.value.replace(",", "").replace("\u2212", "-")
        decimals = len(value.partition(".")[2])
        assert float(value) == pytest.approx(float(step.result), abs=0.5001 * 10**-decimals)
        again = by_hand(line.numeric.text)
        assert abs(again - float(value)) <= 0.5 * 10**-decimals * (1 + 1e-5) + 1e-11 * abs(again)


def by_hand(text: str) -> float:
    """Work a printed plain line out from its characters alone, apart from the tree it was made of."""
    line = re.sub(r" as .*$", "", text)
    line = re.sub(r"(?<=\d),(?=\d{3})", "", line).replace(" x ", " * ").replace("^", "**")
    line = line.replace("round up(", "ceil(").replace("round down(", "floor(")
    words = {
        "sqrt": math.sqrt, "exp": math.exp, "ln": math.log, "log10": math.log10, "cosh": math.cosh, "sinh": math.sinh,
        "tanh": math.tanh, "sin": math.sin, "cos": math.cos, "tan": math.tan, "arctan": math.atan, "abs": abs,
        "min": min, "max": max, "arcsin": math.asin, "arccos": math.acos, "ceil": math.ceil, "floor": math.floor,
        "pi": math.pi,
    }  # fmt: skip
    return float(eval(line, {"__builtins__": {}}, words))  # our own printed text


def test_the_screw_card_as_printed():
    # by hand: 0.85 x 0.063 x 0.25 x 65,000 / 3 = 290.06
    line = card_lines(step_of(screw, 0.063, 0.25, 65000.0, 3.0))
    assert line.symbolic.text == "P_a = 0.85 t d F_u / Omega"
    assert line.numeric.text == "0.85 x 0.0630 x 0.25 x 65,000 / 3.00"
    assert line.result.text == "290.1 lb"
    assert '<mi>P</mi><mi mathvariant="normal">a</mi>' in line.symbolic.mathml
    assert "Ω" in line.symbolic.mathml and "65,000" in line.numeric.mathml
    assert "From memory" in line.cautions[0]
    outside = (
        "t = 0.0630 in is outside the range of this formula, at least 0.0200 in, at most 0.0600 in. Ask."
    )
    assert line.cautions[1] == outside


def test_brackets_only_as_needed():
    p, q, r = Name("p"), Name("q"), Name("r")
    trees = {
        "p - (q - r)": Bin("-", p, Bin("-", q, r)),
        "p - q + r": Bin("+", Bin("-", p, q), r),
        "p + q - r": Bin("+", p, Bin("-", q, r)),
        "p (q + r)": Bin("*", p, Bin("+", q, r)),
        "p / (q r)": Bin("/", Bin("/", p, q), r),
        "(p / q) r": Bin("*", Bin("/", p, q), r),
        "p / (q / r)": Bin("/", p, Bin("/", q, r)),
        "-p^2": Neg(Bin("**", p, Num(2.0, "2"))),
        "(-p)^2": Bin("**", Neg(p), Num(2.0, "2")),
        "p^(q / r)": Bin("**", p, Bin("/", q, r)),
        "(p^q)^r": Bin("**", Bin("**", p, q), r),
        "p^(q^r)": Bin("**", p, Bin("**", q, r)),
        "-(p + q) r": Bin("*", Neg(Bin("+", p, q)), r),
        "p + q r": Bin("-", p, Bin("*", Neg(q), r)),
        "-p / q": Bin("/", Neg(p), q),
        "p - q r": Bin("+", p, Bin("*", Neg(q), r)),
        "-p q / r": Bin("/", Bin("*", Neg(p), q), r),
        "2 x 3 p": Bin("*", Bin("*", Num(2.0, "2"), Num(3.0, "3")), p),
    }
    assert [tree_forms(tree).text for tree in trees.values()] == list(trees)


def test_negative_numbers_are_bracketed():
    line = card_lines(step_of(balance, -20.5, -3.25, -1.5))
    # by hand: -20.5 + 3.25 - 0.9 = -18.15; halves go away from nought
    assert line.numeric.text == "-20.50 - (-3.25) + 0.6 x (-1.50)"
    assert line.result.text == "-18.2 psf"
    assert "\u221218.2 psf" in line.result.mathml


def test_digits_are_added_where_rounding_would_lie():
    # 300.04^4 - 300.00^4 is lost if both print as 300
    line = card_lines(step_of(radiation, 300.041237, 300.0))
    decimals = len(line.value.split(".")[1])
    assert by_hand(line.numeric.text) == pytest.approx(float(line.value), abs=0.5 * 10**-decimals)
    assert "300.04" in line.numeric.text


def test_one_number_has_one_writing_on_a_card():
    with recording() as recorder:
        w = line_load(122.8371, 3.7519)
        balance(w, 460.0, 0.0071)
    first, second = card_lines_of(recorder.steps)
    assert first.value in second.numeric.text


def test_cases_are_told():
    low, mid = (
        card_lines(step_of(by_cases, 10.0, 900.0, 9.5)),
        card_lines(step_of(by_cases, 22.4, 900.0, 9.5)),
    )
    assert "if z < 15;" in low.symbolic.text and "if z > 500;" in low.symbolic.text
    assert low.numeric.text.endswith(" as 10.00 < 15")
    assert mid.numeric.text.endswith(" as 22.40 >= 15 and 22.40 <= 500")
    assert mathml(low.symbolic).find(".//mtable") is not None


def test_arrays_need_an_index():
    step = step_of(line_load, np.array([10.0, 122.8]), 3.75)
    with pytest.raises(FormulaError, match="index"):
        card_lines(step)
    assert card_lines(step, index=1).result.text == "460.5 lb/ft"
    assert card_lines(step_of(line_load, np.array([122.8]), 3.75)).result.text == "460.5 lb/ft"


def test_a_result_that_is_not_the_expression_is_refused():
    good = step_of(line_load, 122.8, 3.75)
    bad = Step(good.title, good.symbol, good.unit, good.clause, good.inputs, 461.0, good.formula)
    with pytest.raises(FormulaError, match="would not show what was computed"):
        card_lines(bad)


@pytest.mark.parametrize("case", ["two", "loop", "unknown", "keyword", "text", "undefined"])
def test_what_cannot_be_printed_names_the_formula(case):
    def two(a):
        b = a + 1
        return b * 2

    def loop(a):
        return sum(x for x in a)

    def unknown(a):
        return np.interp(a, [0, 1], [0, 1])

    def keyword(a):
        return np.sqrt(a, dtype=float)

    def text(a):
        return a * "b"

    def undefined(a):
        return a * nowhere  # noqa: F821

    func = locals()[case]
    with pytest.raises(FormulaError, match=f"formula some.{case} cannot be printed"):
        expression(Formula(f"some.{case}", "x", "-", "none", "definition", (), func))


def test_symbols():
    assert symbol_forms("lambda_").text == "lambda"
    assert symbol_forms("lambda_").mathml == "<mi>λ</mi>"
    assert symbol_forms("K_zt").mathml == "<msub><mi>K</mi><mi>zt</mi></msub>"
    assert symbol_forms("F_u").typst == 'attach(F, b: "u")'
    assert symbol_forms("t_2").mathml == "<msub><mi>t</mi><mn>2</mn></msub>"
    assert symbol_forms("phi P_n").text == "phi P_n" and "<mi>φ</mi>" in symbol_forms("phi P_n").mathml
    assert symbol_forms("t_2/t_1").mathml.count("<msub>") == 2
    assert symbol_forms("h_over_t").text == "(h / t)"
    assert symbol_forms("d'_w").text == "d'_w" and "′" in symbol_forms("d'_w").mathml
    assert (
        symbol_forms("d_s_prime").text == "d'_s" and symbol_forms("d_s_prime").typst == 'attach(d\', b: "s")'
    )
    assert symbol_forms("GCpi").text == "GC_pi" and symbol_forms("K1").text == "K_1"
    assert "π" not in symbol_forms("GCpi").mathml + symbol_forms("GC_pi").typst  # internal pressure, not 3.14
    assert "φ" in symbol_forms("C_phi").mathml
    assert symbol_forms("MU").mathml == "<mi>μ</mi>"  # a named constant of a module
    assert symbol_forms("the old load").mathml == "<mtext>the&#xA0;old&#xA0;load</mtext>"
    assert symbol_forms("GC_p").mathml.startswith("<msub><mrow><mi>G</mi><mi>C</mi></mrow>")


def test_nothing_given_can_become_code():
    nasty = ['"); #panic("x") (', "\\", '" + read("/etc/passwd") + "', "a\n#b", "$ #x $", "</math><script>"]
    for text in nasty:
        assert "<script" not in symbol_forms(text).mathml + word_forms(text).mathml
        ET.fromstring(f"<m>{symbol_forms(text).mathml}</m>")
    note = Step(nasty[0], nasty[2], nasty[0], "", {nasty[5]: nasty[1]}, nasty[4], None, nasty[0])
    line = card_lines(note)
    mathml(line.result)
    check_typst([*(symbol_forms(t).typst for t in nasty), line.result.typst, line.equation.typst])
    check_typst([row.symbol.typst for row in line.inputs])


def test_a_solver_step():
    with recording() as recorder:
        note_step(
            "Moments of the line", symbol="M_max", unit="kip-in", clause="elastic beam",
            inputs={"span_ft": [24.5, 25.0], "q": (-45.25, "lb/ft"), "many": np.arange(20.0), "who": None},
            result=np.array([-34.1, 22.25]), method="Stiffness method", checked="own derivation",
            self_check="Reactions and load differ by 0.0 lb",
        )  # fmt: skip
    line = card_lines(recorder.steps[0], sources={"q": Source("card L-3")})
    assert line.result.text == "-34.10, 22.25 kip-in" and line.equation.text.startswith("M_max = ")
    assert [r.value for r in line.inputs] == [
        "24.5, 25",
        "\u221245.3",
        "20 values, 0.00 to 19.00",
        "not read",
    ]
    assert [r.unit for r in line.inputs][:2] == ["ft", "lb/ft"]
    assert [r.pencil for r in line.inputs] == [True, False, True, True]
    assert line.method and line.self_check and line.numeric.text == ""


def card_steps() -> tuple[Step, ...]:
    with recording() as recorder:
        w = line_load(122.8, 3.75)
        share(w, 1, screw(0.063, 0.25, 65000.0, 3.0))
    return tuple(recorder.steps)


SOURCES = {"p": Source("card L-14"), "F_u": Source("no coupon", assumed=True)}


def test_symbols_table():
    rows = {r.name: r for r in symbols_table(card_steps(), SOURCES)}
    assert list(rows) == ["p", "b", "t", "d", "F_u", "Omega", "n"]  # w and P_a are worked out above
    assert (rows["p"].value, rows["p"].unit, rows["p"].source, rows["p"].pencil) == (
        "122.8",
        "psf",
        "card L-14",
        False,
    )
    assert rows["F_u"].pencil and rows["F_u"].value == "65,000"
    assert rows["b"].pencil and rows["b"].source == "source not stated"  # never ink without a source


def test_a_named_constant_says_so():
    row = next(r for r in symbols_table([step_of(everything, 0.5, 2.5, 30.0)], {}) if r.name == "E_KSI")
    assert (row.value, row.source, row.pencil) == ("29,500", "constant of the formula", False)


def test_text_card():
    card = Check(
        "H-27", "pull-out", "Pull-out of one row of screws", "zone 3", "new", "short", "invented",
        "Two in each flat would hold.", 460.5, 290.1, "lb/ft", 460.5 / 290.0625, steps=card_steps(), sources=SOURCES,
        both_ways=(OtherWay("old dead load counted", 1.58, "short"), OtherWay("not known", None, "unknown", True)),
    )  # fmt: skip
    text = card_text(card)
    assert text.isascii()
    for part in ("H-27  Pull-out of one row of screws, zone 3", "w = p b", "= 122.8 x 3.75", "= 460.5 lb/ft",
                 "assumed: no coupon", "Result: short, ratio 1.59 (demand 460.5 lb/ft, capacity 290.1 lb/ft)",
                 "Caution: From memory", "Two in each flat would hold.", "not known (used)"):  # fmt: skip
        assert part in text, part


def test_text_card_without_numbers_says_what_is_missing():
    need = SimpleNamespace(
        what="uplift test of the panel", where="all zones", who="its tester", decides="the panel"
    )
    card = SimpleNamespace(
        title="Panel uplift", clause="test", steps=(), sources={}, demand=51.0, capacity=None, unit="psf", ratio=None,
        state="unknown", sentence="The test is not in the job.", both_ways=(), needs=(need,),
    )  # fmt: skip
    text = card_text(card)
    assert "Result: unknown (demand 51.0 psf, capacity not known)" in text
    assert "Missing: uplift test of the panel, all zones." in text
    assert "holds" not in text


def test_registry_is_left_as_it_was():
    assert not set(OURS) & set(REGISTRY) and spec_of(screw).name in OURS
    assert secondroof.__name__ == "secondroof"
