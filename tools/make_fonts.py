"""Make the vendored fonts from unpacked font packages.

Run once, when a font is added or renewed; the results are kept in the repository, so nobody else needs it.

Get the packages first, each unpacked into a folder of its own name under one folder PACKS:

===============================  =========================================  =======
folder under PACKS               package                                    version
===============================  =========================================  =======
atkinson-hyperlegible-next       @fontsource-variable/atkinson-             5.3.0
                                 hyperlegible-next (npm)
barlow-semi-condensed            @fontsource/barlow-semi-condensed (npm)    5.3.0
source-serif-4                   @fontsource-variable/source-serif-4 (npm)  5.3.1
fonts-stix                       fonts-stix (Debian)                        1.1.1
===============================  =========================================  =======

(``npm pack NAME`` and ``tar xf``; ``apt-get download fonts-stix`` and ``dpkg-deb -x``.) Then::

    python tools/make_fonts.py PACKS

What is made, and why:

* ``src/secondroof/web/static/fonts/*.woff2``: the packages' own files, bytes unchanged, for the browser; and
  ``fonts.css`` beside them. STIX Math is compressed to woff2, its tables untouched.
* ``src/secondroof/fonts/*.ttf``: for the PDF typesetter, which reads neither woff2 nor variable axes. Each is one
  weight of the variable font, its Latin, Latin-extended and Greek parts joined.
* The Source fonts reserve the name "Source" for the unmodified original, so the joined instances are called
  "Secondroof Serif". Atkinson Hyperlegible Next and Barlow reserve no name and keep theirs.
* STIX Math is copied unchanged.
* ``licenses/``: the licence text of each, SIL Open Font License 1.1, beside both.
"""

from __future__ import annotations

import argparse
import re
import shutil
import tempfile
from dataclasses import dataclass
from pathlib import Path

from fontTools.merge import Merger
from fontTools.ttLib import TTFont
from fontTools.varLib import instancer

ROOT = Path(__file__).resolve().parents[1]
TTF_DIR = ROOT / "src" / "secondroof" / "fonts"
WEB_DIR = ROOT / "src" / "secondroof" / "web" / "static" / "fonts"
STYLE_NAME = {400: "Regular", 500: "Medium", 600: "SemiBold"}


@dataclass(frozen=True)
class Family:
    """One family: where it comes from and what is made of it."""

    pack: str
    version: str
    css_name: str
    ttf_name: str
    parts: tuple[str, ...]
    weights: tuple[int, ...]
    variable: bool
    css_files: tuple[str, ...]


FAMILIES = (
    Family(
        "atkinson-hyperlegible-next",
        "5.3.0",
        "Atkinson Hyperlegible Next",
        "Atkinson Hyperlegible Next",
        ("latin", "latin-ext"),
        (400, 600),
        True,
        ("wght.css", "wght-italic.css"),
    ),
    Family(
        "barlow-semi-condensed",
        "5.3.0",
        "Barlow Semi Condensed",
        "Barlow Semi Condensed",
        ("latin", "latin-ext"),
        (400, 500, 600),
        False,
        ("400.css", "400-italic.css", "500.css", "500-italic.css", "600.css", "600-italic.css"),
    ),
    Family(
        "source-serif-4",
        "5.3.1",
        "Source Serif 4",
        "Secondroof Serif",
        ("latin", "latin-ext", "greek"),
        (400, 600),
        True,
        ("wght.css", "wght-italic.css"),
    ),
)


def source_file(packs: Path, family: Family, part: str, weight: int, slope: str) -> Path:
    middle = "wght" if family.variable else str(weight)
    return packs / family.pack / "package" / "files" / f"{family.pack}-{part}-{middle}-{slope}.woff2"


def set_names(font: TTFont, family: str, style: str, weight: int, italic: bool, version: str) -> None:
    """Name the font so that a typesetter finds it by family, weight and slope."""
    full = f"{family} {style}"
    postscript = f"{family}-{style}".replace(" ", "")
    ribbi = style in {"Regular", "Italic"}
    table = font["name"]
    for record in list(table.names):
        if record.nameID in {1, 2, 3, 4, 6, 16, 17, 21, 22, 25}:
            table.removeNames(nameID=record.nameID)
    wanted = {
        1: family if ribbi else f"{family} {style.replace(' Italic', '')}",
        2: "Italic" if italic else "Regular",
        3: f"{version};{postscript}",
        4: full,
        6: postscript,
        16: family,
        17: style,
    }
    for name_id, text in wanted.items():
        table.setName(text, name_id, 3, 1, 0x409)
    font["OS/2"].usWeightClass = weight
    selection = font["OS/2"].fsSelection & ~0b1100001
    font["OS/2"].fsSelection = selection | (0b1 if italic else 0b1000000)
    font["head"].macStyle = 0b10 if italic else 0


def make_ttf(packs: Path, family: Family, weight: int, slope: str, scratch: Path) -> Path:
    """Join the parts of one weight and slope into one TTF."""
    parts = []
    for part in family.parts:
        font = TTFont(source_file(packs, family, part, weight, slope))
        if family.variable:
            font = instancer.instantiateVariableFont(font, {"wght": weight})
        if "STAT" in font:
            del font["STAT"]
        font.flavor = None
        path = scratch / f"{family.pack}-{part}-{weight}-{slope}.ttf"
        font.save(path)
        parts.append(str(path))
    joined = Merger().merge(parts)
    italic = slope == "italic"
    style = STYLE_NAME[weight]
    if italic:
        style = "Italic" if weight == 400 else f"{style} Italic"
    set_names(joined, family.ttf_name, style, weight, italic, family.version)
    out = TTF_DIR / f"{family.ttf_name}-{style}-{family.version}.ttf".replace(" ", "")
    joined["head"].created = joined["head"].modified = 0
    joined.recalcTimestamp = False
    joined.save(out)
    return out


def copy_web(packs: Path, family: Family) -> list[str]:
    """Copy the browser's files and return their ``@font-face`` rules."""
    rules = []
    for css in family.css_files:
        text = (packs / family.pack / "package" / css).read_text(encoding="utf-8")
        for block in re.findall(r"@font-face\s*\{.*?\}", text, re.DOTALL):
            found = re.search(r"files/([\w.-]+)\.woff2", block)
            if found is None:
                raise SystemExit(f"{css}: a rule without a woff2 file")
            stem = found[1]
            part = re.sub(r"-(wght|\d00)-(normal|italic)$", "", stem).removeprefix(f"{family.pack}-")
            if part not in family.parts:
                continue
            name = f"{stem}-{family.version}.woff2"
            shutil.copyfile(packs / family.pack / "package" / "files" / f"{stem}.woff2", WEB_DIR / name)
            slope = "italic" if stem.endswith("italic") else "normal"
            weight = re.search(r"font-weight:\s*([\d ]+);", block)
            ranges = re.search(r"unicode-range:\s*([^;}]+)", block)
            if weight is None or ranges is None:
                raise SystemExit(f"{css}: a rule without weight or range")
            rules.append(
                f'@font-face{{font-family:"{family.css_name}";font-style:{slope};'
                f"font-weight:{weight[1].strip()};font-display:swap;\n"
                f'src:url("{name}") format("woff2");\n'
                f"unicode-range:{ranges[1].strip()}}}"
            )
    return rules


def copy_math(packs: Path) -> str:
    """Copy STIX Math for the typesetter and compress it for the browser."""
    source = packs / "fonts-stix" / "usr/share/fonts/opentype/stix-word/STIXMath-Regular.otf"
    shutil.copyfile(source, TTF_DIR / "STIXMath-Regular-1.1.1.otf")
    font = TTFont(source, recalcTimestamp=False, recalcBBoxes=False)
    font.flavor = "woff2"
    font.save(WEB_DIR / "stix-math-1.1.1.woff2", reorderTables=None)
    return (
        '@font-face{font-family:"STIX Math";font-style:normal;font-weight:400;font-display:swap;\n'
        'src:url("stix-math-1.1.1.woff2") format("woff2")}'
    )


def copy_licences(packs: Path) -> None:
    texts = {}
    for family in FAMILIES:
        text = (packs / family.pack / "package" / "LICENSE").read_text(encoding="utf-8")
        texts[f"{family.pack}-{family.version}-OFL.txt"] = text
    body = texts["atkinson-hyperlegible-next-5.3.0-OFL.txt"].split("\n", 1)[1]
    font = TTFont(packs / "fonts-stix" / "usr/share/fonts/opentype/stix-word/STIXMath-Regular.otf")
    names = font["name"]
    notice = "\n\n".join(
        [str(names.getDebugName(0)), "Reserved Font Name: STIX Fonts(TM).", str(names.getDebugName(13))]
    )
    texts["stix-math-1.1.1-OFL.txt"] = notice + "\n" + body
    for folder in (TTF_DIR / "licenses", WEB_DIR / "licenses"):
        folder.mkdir(parents=True, exist_ok=True)
        for name, text in texts.items():
            (folder / name).write_text(text.rstrip() + "\n", encoding="utf-8")


def main() -> None:
    parser = argparse.ArgumentParser(description="Make the vendored fonts.")
    parser.add_argument("packs", type=Path, help="folder of the unpacked packages")
    packs = parser.parse_args().packs
    for folder in (TTF_DIR, WEB_DIR):
        folder.mkdir(parents=True, exist_ok=True)
        for old in [*folder.glob("*.ttf"), *folder.glob("*.otf"), *folder.glob("*.woff2")]:
            old.unlink()
    rules = ["/* made by tools/make_fonts.py; licences in licenses/ */"]
    with tempfile.TemporaryDirectory() as scratch:
        for family in FAMILIES:
            for weight in family.weights:
                for slope in ("normal", "italic"):
                    print(make_ttf(packs, family, weight, slope, Path(scratch)).name)
            rules += copy_web(packs, family)
    rules.append(copy_math(packs))
    (WEB_DIR / "fonts.css").write_text("\n".join(rules) + "\n", encoding="utf-8")
    copy_licences(packs)


if __name__ == "__main__":
    main()
