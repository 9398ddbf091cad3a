"""The workbench's pages over the test client: every page opens, keeps its contract, and loses nothing that was typed.

Figures compared are the program's own on its invented examples; what is tested is the page, not the engineering.
"""

from __future__ import annotations

import dataclasses
import json
import re
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from starlette.testclient import TestClient

from secondroof import api
from secondroof.web import render
from secondroof.web.app import create_app
from secondroof.web.contexts import PAGES, documented

pytestmark = pytest.mark.filterwarnings("ignore::starlette.exceptions.StarletteDeprecationWarning")
JOB = "/jobs/tamsel-feed-barn"
DUTIES = (
    "survey",
    "missing",
    "rules",
    "old-roof",
    "loads",
    "recovers",
    "strength",
    "heat",
    "pieces",
    "money",
    "papers",
)


@pytest.fixture
def client(tmp_path: Path) -> Iterator[TestClient]:
    with TestClient(create_app(tmp_path / "jobs.sqlite"), base_url="http://127.0.0.1") as c:
        yield c


@pytest.fixture
def job(client: TestClient) -> TestClient:
    assert client.post("/add/example", data={"example": "tamsel-feed-barn"}).status_code == 200
    return client


@pytest.fixture(scope="module")
def shown(tmp_path_factory: pytest.TempPathFactory) -> Iterator[TestClient]:
    """A workbench with one job, for tests that only look."""
    path = tmp_path_factory.mktemp("shown") / "jobs.sqlite"
    with TestClient(create_app(path), base_url="http://127.0.0.1") as c:
        assert c.post("/add/example", data={"example": "tamsel-feed-barn"}).status_code == 200
        yield c


def store(client: TestClient) -> Any:
    return client.app.state.desk.store  # type: ignore[attr-defined]


@pytest.mark.parametrize(
    "page", ["/", "/add", *(f"{JOB}/{d}" for d in DUTIES), f"{JOB}/text", f"{JOB}/history"]
)
def test_every_page_opens_with_one_heading_and_its_landmarks(shown: TestClient, page: str) -> None:
    answer = shown.get(page)
    assert answer.status_code == 200
    assert len(re.findall(r"<h1[ >]", answer.text)) == 1
    assert answer.text.count("<main") == 1 and answer.text.count("<header") == 1
    assert " style=" not in answer.text, "the content policy forbids styles written into a page"
    assert "<script>" not in answer.text and "onclick" not in answer.text
    ids = re.findall(r'\sid="([^"]+)"', answer.text)
    assert len(ids) == len(set(ids)), [i for i in ids if ids.count(i) > 1][:5]


def test_rendered_contexts_are_the_documented_ones(job: TestClient, monkeypatch: pytest.MonkeyPatch) -> None:
    seen: dict[str, set[str]] = {}
    real = render.context_of

    def watching(record: Any) -> dict[str, Any]:
        context = real(record)
        seen[type(record).__name__] = set(context)
        return context

    monkeypatch.setattr(render, "context_of", watching)
    store(job).keep_draft("secondroof: 1\n", "for the test")
    for page in ("/", "/add", "/drafts/1", "/nowhere", *(f"{JOB}/{d}" for d in (*DUTIES, "text", "history"))):
        job.get(page)
    job.get(f"{JOB}/card?stretch=0")
    told = {PAGES[name].__name__: set(fields) for name, fields in documented().items()}
    assert seen == told
    assert all(help for fields in documented().values() for help in fields.values())


@pytest.mark.parametrize("page", ["/", "/add", *(f"{JOB}/{d}" for d in DUTIES)])
def test_the_json_twin_has_the_same_fields(shown: TestClient, page: str) -> None:
    answer = shown.get(f"{page}?format=json")
    assert answer.headers["content-type"] == "application/json"
    keys = set(json.loads(answer.text))
    assert keys in [{f.name for f in dataclasses.fields(cls)} for cls in PAGES.values()]


def test_the_content_policy_and_the_guards(job: TestClient) -> None:
    answer = job.get("/")
    assert answer.headers["content-security-policy"].startswith("default-src 'self'")
    assert job.get("/", headers={"host": "evil.example"}).status_code == 400
    refused = {"origin": "http://evil.example"}
    assert job.post(f"{JOB}/undo", headers=refused).status_code == 403
    assert job.post(f"{JOB}/undo", headers={"sec-fetch-site": "cross-site"}).status_code == 403
    assert job.post("/add/text", content=b"text=" + b"x" * 4_100_000).status_code == 413
    chunks = (b"x" * 1000 for _ in range(5000))  # no length told beforehand
    form = {"content-type": "application/x-www-form-urlencoded"}
    assert job.post("/add/text", content=chunks, headers=form).status_code == 413
    assert store(job).job("tamsel-feed-barn").revision == 1


def test_static_names_carry_their_version_and_no_address_outside(client: TestClient) -> None:
    text = client.get("/").text
    assert "/static/htmx-4.0.1.min.js" in text
    assert not re.search(r'(?:src|href)="https?:', text)


def test_one_value_changed_is_one_revision_and_says_what_moved(job: TestClient) -> None:
    body = {"path": "ground_rules.wind_speed", "value": "140 mph", "base": "1", "back": "rules"}
    answer = job.post(f"{JOB}/value", data=body)
    assert answer.status_code == 200
    assert store(job).revision("tamsel-feed-barn").note == "ground_rules.wind_speed: 140 mph"
    assert re.search(r"This also moved: \d+ ratios?, \d+ verdicts?", answer.text)
    assert "<s>112" in answer.text and "140 mph" in answer.text


def test_a_value_that_cannot_be_read_stays_with_its_reason(job: TestClient) -> None:
    body = {"path": "ground_rules.wind_speed", "value": "a strong breeze", "base": "1", "back": "rules"}
    answer = job.post(f"{JOB}/value", data=body)
    assert answer.status_code == 422
    assert 'value="a strong breeze"' in answer.text
    assert 'href="#f-ground_rules-wind_speed"' in answer.text and 'aria-invalid="true"' in answer.text
    assert store(job).job("tamsel-feed-barn").revision == 1


def test_a_stale_page_writes_nothing_and_keeps_what_was_typed(job: TestClient) -> None:
    body = {"path": "ground_rules.wind_speed", "value": "120 mph", "base": "1", "back": "rules"}
    job.post(f"{JOB}/value", data=body)
    answer = job.post(f"{JOB}/value", data={**body, "value": "131 mph"})
    assert answer.status_code == 409
    assert 'value="131 mph"' in answer.text
    assert store(job).job("tamsel-feed-barn").revision == 2

    text = store(job).revision("tamsel-feed-barn", 1).text
    kept = job.post(f"{JOB}/text", data={"text": text + "# mine\n", "base": "1"})
    assert "/drafts/" in str(kept.url)
    assert "# mine" in kept.text and "revision 2 was saved" in kept.text


def test_a_broken_survey_shows_all_problems_at_once_and_is_kept(client: TestClient) -> None:
    good = api.example("tamsel-feed-barn").read_text("utf-8")
    broken = good.replace("width: 80", "width: eighty", 1).replace("exposure: C", "exposure: Q", 1)
    assert broken != good
    answer = client.post("/add/file", files={"file": ("barn.survey.yaml", broken.encode())})
    assert "/drafts/" in str(answer.url)
    assert "things to mend" in answer.text
    assert len(re.findall(r'href="#line-\d+"', answer.text)) >= 2
    assert "eighty" in answer.text
    again = client.get(str(answer.url))
    assert again.text == answer.text, "a reload shows the same"
    assert client.get("/").text.count("/drafts/") == 1

    mended = client.post(str(answer.url), data={"text": good, "base": "0"})
    assert str(mended.url).endswith("/jobs/tamsel-feed-barn/survey")
    assert "/drafts/" not in client.get("/").text


@pytest.mark.parametrize(
    ("content", "words"),
    [
        (b"\xff\xfe\x00bad", "is not text"),
        (b"a: \x00", "is not text"),
        (b"x" * 2_000_000, "over 1 MB"),
        (b"", "empty"),
        (b"- [unclosed", "line 1"),
        (b"a: &a [1]\nb: &b [*a, *a]\n", ""),
    ],
)
def test_bad_files_are_refused_in_words(client: TestClient, content: bytes, words: str) -> None:
    answer = client.post("/add/file", files={"file": ("x.yaml", content)})
    assert answer.status_code in (200, 422)
    assert "to mend" in answer.text and words in answer.text
    assert store(client).jobs() == ()


FORM = {
    "name": "Shed 4",
    "shape": "gable",
    "length": "100'-0 1/4\"",
    "width": "80",
    "bays": "25, 25, 25, 25",
    "eave_height": "14",
    "slope": "1:12",
    "faces": "W",
    "lines": "0, 5 to 35 by 5, 39.9",
    "building_code": "2018",
    "wind_speed": "115 mph",
    "exposure": "C",
    "risk_category": "II",
    "standoff": ".12, .14, .31?",
    "thickness": "0.0598, 0.0601",
    "doors": "0",
}


def test_the_short_form_makes_a_survey_that_reads(client: TestClient) -> None:
    answer = client.post("/add/form", data=FORM)
    assert str(answer.url).endswith("/jobs/shed-4/survey"), answer.text[:2000]
    survey = api.read(store(client).revision("shed-4").text)
    assert survey.building.length == pytest.approx(100 + 0.25 / 12)
    assert [p.name for p in survey.building.planes] == ["W", "E"]
    assert survey.enclosure.openings == ()
    assert survey.standoff[0].readings[2].doubtful
    begun = client.post("/jobs/shed-4/recovers/begin", data={"example": "tamsel-feed-barn", "base": "1"})
    assert begun.status_code == 200
    assert "R1" in client.get("/jobs/shed-4/recovers").text


def test_the_short_form_keeps_what_was_typed(client: TestClient) -> None:
    answer = client.post("/add/form", data={**FORM, "width": "wide", "length": ""})
    assert answer.status_code == 422
    assert "is empty" in answer.text and 'value="25, 25, 25, 25"' in answer.text
    answer = client.post("/add/form", data={**FORM, "bays": "25, twenty"})
    assert answer.status_code == 422
    assert 'value="25, twenty"' in answer.text and 'href="#f-bays"' in answer.text
    assert store(client).jobs() == ()


def test_readings_are_added_where_they_were_read(job: TestClient) -> None:
    before = len(api.read(store(job).revision("tamsel-feed-barn").text).standoff)
    body = {"path": "standoff", "plane": "W", "at": "by the door", "readings": ".11, .13?", "base": "1"}
    assert job.post(f"{JOB}/readings", data=body).status_code == 200
    groups = api.read(store(job).revision("tamsel-feed-barn").text).standoff
    assert len(groups) == before + 1
    assert (groups[-1].plane, groups[-1].at, [r.value for r in groups[-1].readings]) == (
        "W",
        "by the door",
        [0.11, 0.13],
    )
    assert job.post(f"{JOB}/readings", data={**body, "readings": "many", "base": "2"}).status_code == 422


def test_undo_and_history(job: TestClient) -> None:
    first = store(job).revision("tamsel-feed-barn").text
    job.post(
        f"{JOB}/value",
        data={"path": "ground_rules.wind_speed", "value": "140 mph", "base": "1", "back": "rules"},
    )
    assert "140 mph" in job.get(f"{JOB}/history").text
    job.post(f"{JOB}/undo", data={"back": "rules"})
    assert store(job).revision("tamsel-feed-barn").text == first
    job.post(f"{JOB}/restore", data={"number": "2"})
    assert "140 mph" in store(job).revision("tamsel-feed-barn").text
    job.post(f"{JOB}/archive")
    assert "put away" in job.get("/").text
    job.post(f"{JOB}/bring-back")
    assert store(job).jobs()


def test_a_copy_of_a_recover_is_changed_alone(job: TestClient) -> None:
    job.post(f"{JOB}/recovers/copy", data={"recover": "R1", "base": "1"})
    survey = api.read(store(job).revision("tamsel-feed-barn").text)
    assert [r.name for r in survey.recovers] == ["R1", "R2"]
    assert survey.recovers[1].model_copy(update={"name": "R1"}) == survey.recovers[0]
    body = {
        "path": "recovers[1].framing.screws_per_flat.other",
        "value": "2",
        "base": "2",
        "back": "recovers",
    }
    if survey.recovers[1].framing.kind == "notched sub-purlin":
        assert job.post(f"{JOB}/value", data=body).status_code == 200
        after = api.read(store(job).revision("tamsel-feed-barn").text)
        assert after.recovers[1].framing.screws_per_flat.other == 2  # type: ignore[union-attr]
        assert after.recovers[0] == survey.recovers[0]


def test_the_plan_links_every_stretch_to_its_card(shown: TestClient) -> None:
    survey = api.read(store(shown).revision("tamsel-feed-barn").text)
    findings = api.check(survey)
    text = shown.get(f"{JOB}/strength").text
    links = set(re.findall(r'href="/jobs/tamsel-feed-barn/strength\?stretch=(\d+)"', text))
    assert len(links) == len(findings.segments.line)
    card = shown.get(f"{JOB}/strength?stretch=3&part=card", headers={"HX-Request": "true"}).text
    assert card.strip().startswith('<div id="beside">') and "<math" in card
    twin = json.loads(shown.get(f"{JOB}/strength?stretch=3&format=json").text)["card"]
    links_here = api.stretch_checks(survey, None, 3)
    assert twin["title"] in [c.what for c in links_here]
    assert len(twin["others"]) == len(links_here)
    tries = []
    for link in links_here:
        opened = json.loads(shown.get(f"{JOB}/strength?stretch=3&link={link.key}&format=json").text)["card"]
        assert opened["title"] == link.what
        tries += [(opened["ratio"], t["ratio"]) for t in opened["tries"]]
    assert tries and all(now != then for now, then in tries), "what would move it is worked out, and moves it"


def test_our_own_fault_gives_a_number_and_says_the_job_is_safe(
    job: TestClient, monkeypatch: pytest.MonkeyPatch
) -> None:
    from secondroof.web.pages import survey

    monkeypatch.setattr(survey, "flat", lambda *_: 1 / 0)
    answer = job.get(f"{JOB}/survey")
    assert answer.status_code == 500
    assert re.search(r"number [0-9A-F]{4}", answer.text) and "job is safe" in answer.text
    assert "Traceback" not in answer.text and "ZeroDivision" not in answer.text


@pytest.mark.parametrize(
    "path", ["/nowhere", "/jobs/none/survey", "/drafts/9", f"{JOB}/card?card=X-99", f"{JOB}/papers/file/../x"]
)
def test_what_is_not_here_is_a_plain_page(shown: TestClient, path: str) -> None:
    answer = shown.get(path)
    assert answer.status_code == 404
    assert "Nothing was changed" in answer.text or "To the jobs" in answer.text


def test_names_are_escaped(client: TestClient) -> None:
    client.post("/add/form", data={**FORM, "name": "<script>alert(1)</script>"})
    text = client.get("/").text
    assert "<script>alert" not in text and "&lt;script&gt;" in text


def test_the_first_page_loads_no_heavy_module() -> None:
    import subprocess
    import sys

    script = (
        "import sys, tempfile, pathlib\n"
        "from secondroof.web.app import create_app\n"
        "create_app(pathlib.Path(tempfile.mkdtemp()) / 'a.sqlite')\n"
        "heavy = {'numpy', 'scipy', 'shapely', 'ezdxf', 'typst', 'pydantic'} & set(sys.modules)\n"
        "sys.exit(repr(heavy) if heavy else 0)\n"
    )
    done = subprocess.run([sys.executable, "-c", script], capture_output=True, text=True)
    assert done.returncode == 0, done.stderr


def test_papers_are_written_once_a_revision_and_handed_out(
    job: TestClient, monkeypatch: pytest.MonkeyPatch
) -> None:
    import io
    import zipfile

    written: list[str | None] = []

    def fake(survey: Any, recover: str | None, out_dir: Path, *, survey_text: str | None = None) -> None:
        """Stands for the real package, which has tests of its own: this one tests the page alone."""
        assert survey_text is not None and api.read(survey_text) == survey, (
            "the survey as written goes with it"
        )
        written.append(recover)
        (out_dir / "drawings").mkdir()
        (out_dir / "submittal.pdf").write_bytes(b"%PDF-1.7 fake")
        (out_dir / "drawings" / "plan.svg").write_text("<svg/>")

    monkeypatch.setattr(api, "package", fake)
    assert "not written yet" in job.get(f"{JOB}/papers").text
    text = job.post(f"{JOB}/papers").text
    assert "submittal.pdf" in text and "drawings/plan.svg" in text
    assert job.get(f"{JOB}/papers/file/submittal.pdf").content == b"%PDF-1.7 fake"
    got = job.get(f"{JOB}/papers/all.zip")
    assert "attachment" in got.headers["content-disposition"]
    names = zipfile.ZipFile(io.BytesIO(got.content)).namelist()
    assert sorted(names) == ["tamsel-feed-barn-R1/drawings/plan.svg", "tamsel-feed-barn-R1/submittal.pdf"]
    assert written == ["R1"]
    job.post(
        f"{JOB}/value",
        data={"path": "ground_rules.wind_speed", "value": "140 mph", "base": "1", "back": "rules"},
    )
    assert "not written yet" in job.get(f"{JOB}/papers").text
    assert json.loads(job.get(f"{JOB}/findings.json").text)["verdict"]["new_work"]["state"]
    assert job.get(f"{JOB}/survey.yaml").content.decode() == store(job).revision("tamsel-feed-barn").text
