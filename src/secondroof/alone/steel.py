"""Steel strengths asked for by name with plain numbers."""

from __future__ import annotations

from typing import Any

from secondroof.alone.records import of_record, of_section
from secondroof.steel import distortional as distortion
from secondroof.steel import effective, finite_strip, panel_tests, properties, scope, strength, uplift
from secondroof.steel.sections import Section


def _factor(purlin: uplift.FastenedPurlin) -> dict[str, Any]:
    """R factor of a purlin lifted with its flange screwed to the sheet, with every condition for using it."""
    found = uplift.uplift_factor(purlin)
    rows = {f"condition {c.key}": f"{c.state}: {c.text} Found: {c.given}" for c in found.conditions}
    return {"R": found.R, "R_if_met": found.R_if_met, "state": found.state, "note": found.note, **rows}


def _strips(
    section: Section, *, compression: str = "top", k_phi: float = 0.0, k_x: float = 0.0
) -> finite_strip.Buckling:
    """Elastic local and distortional buckling of a section in bending, by finite strips.

    Parameters
    ----------
    compression : str
        top or bottom: which flange is compressed.
    k_phi, k_x : float
        Restraint by sheathing at the middle of the compression flange. [kip-in/rad/in], [kip/in/in]
    """
    return finite_strip.buckling(section, compression=compression, k_phi=k_phi, k_x=k_x)


gross_section = of_section(properties.gross)
effective_section = of_section(effective.effective_section)
flexural_strength = of_section(strength.flexural_strength)
finite_strips = of_section(_strips)
distortional = of_section(distortion.distortional)
limits = of_section(scope.scope)
uplift_factor = of_record(uplift.FastenedPurlin, _factor)
panel_uplift = of_record(panel_tests.PanelTest, panel_tests.uplift_capacity)
