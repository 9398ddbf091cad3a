"""Code editions, the existing-building code path of a recover, and the safety cautions.

Rules are data with their clauses and small pure functions. :func:`code_path` walks them in the order
of a permit memo; nothing that was not read becomes a pass.
"""

from secondroof.rules.codepath import code_path
from secondroof.rules.editions import Clause, Edition, clause, edition, editions
from secondroof.rules.energy import RoofU, roof_u
from secondroof.rules.envelope import least_slope
from secondroof.rules.facts import CodeFacts, ElementForce, Need, RatioBasis, RuleFinding
from secondroof.rules.gravity import governing_gravity, percent_increase
from secondroof.rules.safety import Caution, CautionFacts, all_cautions, cautions, edge_means, hole_protection

__all__ = [
    "Caution",
    "CautionFacts",
    "Clause",
    "CodeFacts",
    "Edition",
    "ElementForce",
    "Need",
    "RatioBasis",
    "RoofU",
    "RuleFinding",
    "all_cautions",
    "cautions",
    "clause",
    "code_path",
    "edge_means",
    "edition",
    "editions",
    "governing_gravity",
    "hole_protection",
    "least_slope",
    "percent_increase",
    "roof_u",
]
