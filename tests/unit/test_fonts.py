"""The vendored fonts: the typesetter finds each by name, and they hold the signs we print."""

from __future__ import annotations

import re

import pytest
from fontTools.ttLib import TTFont

from secondroof import fonts

WEB = fonts.FOLDER.parent / "web/static/fonts"
PRINTED = "ABCXYZabcxyz0123456789 '\"°±×−–·½¼¾²³éñüŵ§&#%()[]/+=<>.,:;?"


def test_the_typesetter_finds_exactly_our_families():
    import typst

    found = typst.Fonts(
        include_system_fonts=False, include_embedded_fonts=False, font_paths=[str(fonts.FOLDER)]
    )
    assert set(found.families()) == set(fonts.FAMILIES)
    cuts = {(font.family, font.weight, font.style) for font in found.fonts()}
    wanted = {(fonts.TEXT, 400), (fonts.TEXT, 600), (fonts.SERIF, 400), (fonts.SERIF, 600)}
    wanted |= {(fonts.LETTERING, weight) for weight in (400, 500, 600)}
    assert {(family, weight, slope) for family, weight in wanted for slope in ("normal", "italic")} <= cuts


def test_a_page_is_set_without_a_warning(tmp_path):
    import typst

    lines = [f'#text(font: "{name}")[0.0630 in _assumed_ *short*]' for name in fonts.FAMILIES[:3]]
    lines.append(f'#show math.equation: set text(font: "{fonts.MATH}")\n$ q_h = sqrt(K_z V^2) <= 18.2 $')
    source = tmp_path / "page.typ"
    source.write_text("\n\n".join(lines), encoding="utf-8")
    pdf, warnings = typst.compile_with_warnings(
        str(source), font_paths=[str(fonts.FOLDER)], ignore_system_fonts=True
    )
    assert pdf.startswith(b"%PDF")
    assert warnings == []


@pytest.mark.parametrize("path", sorted(fonts.FOLDER.glob("*.ttf")), ids=lambda path: path.name)
def test_letters_and_tabular_digits(path):
    font = TTFont(path)
    missing = [sign for sign in PRINTED if ord(sign) not in font.getBestCmap()]
    assert not missing
    cmap, widths = font.getBestCmap(), font["hmtx"]
    features = {record.FeatureTag for record in font["GSUB"].table.FeatureList.FeatureRecord}
    default = {widths[cmap[ord(digit)]][0] for digit in "0123456789"}
    assert "tnum" in features or len(default) == 1


def test_the_math_font_has_a_math_table():
    font = TTFont(fonts.FOLDER / "STIXMath-Regular-1.1.1.otf")
    assert "MATH" in font
    assert all(ord(sign) in font.getBestCmap() for sign in "≤≥√→↓′″×∑∫ΩφΔ")


def test_the_browser_sheet_and_files_agree():
    sheet = (WEB / "fonts.css").read_text(encoding="utf-8")
    named = set(re.findall(r'url\("([^"]+)"\)', sheet))
    assert named == {path.name for path in WEB.glob("*.woff2")}
    assert all("/" not in name for name in named)


def test_each_family_has_its_licence():
    for folder in (fonts.FOLDER, WEB):
        texts = [path.read_text(encoding="utf-8") for path in (folder / "licenses").glob("*-OFL.txt")]
        assert len(texts) == len(fonts.FAMILIES)
        assert all("SIL OPEN FONT LICENSE Version 1.1" in text for text in texts)


def test_a_changed_font_does_not_bear_a_reserved_name():
    """SIL OFL 1.1, condition 3: "Source" is reserved, so the joined instances are named otherwise."""
    for path in fonts.FOLDER.glob("SecondroofSerif*.ttf"):
        names = TTFont(path)["name"]
        assert all("Source" not in str(names.getDebugName(number)) for number in (1, 4, 6, 16))
