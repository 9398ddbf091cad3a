"""Write docs/survey.schema.json from the survey models. Run after a change of the models."""

from __future__ import annotations

import json
from pathlib import Path

from secondroof.survey.template import schema

OUT = Path(__file__).resolve().parents[1] / "docs" / "survey.schema.json"


def text() -> str:
    return json.dumps(schema(), indent=1, ensure_ascii=False) + "\n"


if __name__ == "__main__":
    OUT.write_text(text(), encoding="utf-8")
    print(f"wrote {OUT.name}")
