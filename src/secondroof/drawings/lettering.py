"""How wide words are in the drawing lettering, so that labels can be kept apart and inside the sheet."""

from __future__ import annotations

# Advance widths of the vendored lettering font, in ems, code 32 to 126: the widest of its three weights, with
# tabular figures. From the font files' own tables.
_EM = (
    0.2, 0.302, 0.315, 0.642, 0.501, 0.815, 0.635, 0.153, 0.298, 0.298, 0.38, 0.471,
    0.227, 0.364, 0.242, 0.417, 0.507, 0.507, 0.507, 0.507, 0.507, 0.507, 0.507, 0.507,
    0.507, 0.507, 0.304, 0.266, 0.471, 0.471, 0.471, 0.456, 0.794, 0.552, 0.542, 0.533,
    0.545, 0.517, 0.489, 0.537, 0.563, 0.243, 0.512, 0.549, 0.493, 0.627, 0.588, 0.544,
    0.526, 0.521, 0.537, 0.513, 0.516, 0.562, 0.54, 0.771, 0.538, 0.528, 0.48, 0.366,
    0.417, 0.366, 0.439, 0.457, 0.213, 0.478, 0.498, 0.477, 0.498, 0.484, 0.333, 0.49,
    0.491, 0.235, 0.231, 0.478, 0.219, 0.747, 0.491, 0.49, 0.502, 0.502, 0.342, 0.446,
    0.328, 0.489, 0.46, 0.677, 0.466, 0.446, 0.412, 0.334, 0.18, 0.334, 0.501,
)  # fmt: skip
_OTHER_EM = 0.55
CAP_EM = 0.70
"""Height of a capital over the baseline, in ems."""


def text_width(text: str, size_px: float) -> float:
    """Width of one line of words, never less than what is drawn. [px]"""
    em = sum(_EM[ord(c) - 32] if 32 <= ord(c) <= 126 else _OTHER_EM for c in text)
    return em * size_px


def wrapped(text: str, width_px: float, size_px: float) -> tuple[str, ...]:
    """Words broken into lines of at most ``width_px``; a single longer word stays whole."""
    lines: list[str] = []
    for word in text.split():
        trial = f"{lines[-1]} {word}" if lines else word
        if lines and text_width(trial, size_px) <= width_px:
            lines[-1] = trial
        else:
            lines.append(word)
    return tuple(lines)


def cut(text: str, width_px: float, size_px: float) -> str:
    """One line of at most ``width_px``; what does not fit is dropped at a word and marked by three dots."""
    if text_width(text, size_px) <= width_px:
        return text
    kept = text
    while kept and text_width(kept + "...", size_px) > width_px:
        kept = kept[: kept.rfind(" ")] if " " in kept else kept[:-1]
    return kept.rstrip(" ,;:") + "..."
