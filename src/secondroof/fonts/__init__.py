"""The vendored fonts, and the names the PDF typesetter knows them by.

The typesetter reads words of width out of a family name, so the lettering font answers to its short name there;
a page in the browser calls it "Barlow Semi Condensed" (``web/static/fonts/fonts.css``).
"""

from pathlib import Path

FOLDER = Path(__file__).parent
"""Folder to give to the typesetter as its only font path."""

TEXT = "Atkinson Hyperlegible Next"
"""Numbers, tables, labels of fields: weights 400 and 600, upright and italic."""

LETTERING = "Barlow"
"""Drawings and headings (Barlow Semi Condensed): weights 400, 500 and 600, upright and italic."""

SERIF = "Secondroof Serif"
"""Running text of papers (instances of Source Serif 4): weights 400 and 600, upright and italic."""

MATH = "STIX Math"
"""Formulas, and the signs the text fonts lack (at most, at least, root, arrows): one weight."""

FAMILIES = (TEXT, LETTERING, SERIF, MATH)
