"""The pages, one module a group of duties, and the addresses they answer."""

from __future__ import annotations

from collections.abc import Callable

from secondroof.web.ask import Answer, Ask
from secondroof.web.pages import changes, history, loads, papers, recovers, roof, start, strength, survey

_J = "/jobs/{job}"

ROUTES: tuple[tuple[str, str, Callable[[Ask], Answer]], ...] = (
    ("GET", "/", start.show_start),
    ("GET", "/add", start.show_new),
    ("POST", "/add/example", start.add_example),
    ("POST", "/add/file", start.add_file),
    ("POST", "/add/text", start.add_text),
    ("POST", "/add/form", start.add_form),
    ("GET", "/template", start.show_template),
    ("GET", "/drafts/{draft:int}", start.show_draft),
    ("POST", "/drafts/{draft:int}", start.save_draft),
    ("POST", "/drafts/{draft:int}/drop", start.drop_draft),
    ("GET", _J, survey.to_survey),
    ("GET", f"{_J}/survey", survey.show_survey),
    ("GET", f"{_J}/text", survey.show_text),
    ("POST", f"{_J}/text", survey.save_text),
    ("GET", f"{_J}/missing", survey.show_missing),
    ("GET", f"{_J}/rules", survey.show_rules),
    ("GET", f"{_J}/old-roof", roof.show_old_roof),
    ("GET", f"{_J}/loads", loads.show_loads),
    ("GET", f"{_J}/recovers", recovers.show_recovers),
    ("POST", f"{_J}/recovers/copy", recovers.copy_recover),
    ("POST", f"{_J}/recovers/begin", recovers.begin_recover),
    ("POST", f"{_J}/recovers/choose", recovers.choose_recover),
    ("GET", f"{_J}/strength", strength.show_strength),
    ("GET", f"{_J}/card", strength.show_card),
    ("GET", f"{_J}/heat", papers.show_heat),
    ("GET", f"{_J}/pieces", papers.show_pieces),
    ("GET", f"{_J}/money", papers.show_money),
    ("GET", f"{_J}/papers", papers.show_papers),
    ("POST", f"{_J}/papers", papers.write_papers),
    ("GET", f"{_J}/papers/all.zip", papers.give_zip),
    ("GET", f"{_J}/papers/file/{{name:path}}", papers.give_file),
    ("GET", f"{_J}/survey.yaml", papers.give_survey),
    ("GET", f"{_J}/findings.json", papers.give_findings),
    ("POST", f"{_J}/value", changes.set_one),
    ("POST", f"{_J}/readings", changes.add_readings),
    ("POST", f"{_J}/undo", changes.undo),
    ("POST", f"{_J}/archive", changes.archive),
    ("POST", f"{_J}/bring-back", changes.bring_back),
    ("GET", f"{_J}/history", history.show_history),
    ("POST", f"{_J}/restore", history.restore),
)
