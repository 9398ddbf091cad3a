"""The workbench by hand, in a real browser: from the empty store to the downloaded package.

Nothing here judges the engineering; it tests that a person can do the work and that nothing typed is lost.
"""

from __future__ import annotations

import re
import zipfile
from pathlib import Path
from typing import TYPE_CHECKING, Any

import pytest

from secondroof import api

if TYPE_CHECKING:
    from playwright.sync_api import Page

EXAMPLE = "tamsel-feed-barn"
#: The first page of a job works out every load and every old line; a busy computer needs its time.
PATIENCE_MS = 90_000


@pytest.fixture
def page(server: Any, context: Any) -> Page:
    """A page that is closed before its workbench is stopped."""
    opened: Page = context.new_page()
    opened.set_default_timeout(PATIENCE_MS)
    return opened


@pytest.fixture
def job(page: Page, server: Any) -> str:
    """Address of a job copied from an example by a person."""
    page.goto(server.address)
    page.get_by_role("button", name="Tamsel Feed barn").click()
    page.wait_for_url("**/survey")
    return f"{server.address}/jobs/{EXAMPLE}"


def h1(page: Page) -> str:
    return page.locator("h1").inner_text()


def test_from_the_empty_store_to_the_downloaded_package(page: Page, server: Any, tmp_path: Path) -> None:
    page.goto(server.address)
    assert h1(page) == "No roof is here yet"
    page.get_by_role("button", name="Tamsel Feed barn").click()
    page.wait_for_url("**/survey")
    page.get_by_role("navigation", name="Duties").get_by_role("link", name="Missing").click()
    assert page.locator("main tbody tr").count() > 3
    page.get_by_role("navigation", name="Duties").get_by_role("link", name="Strength").click()
    assert page.locator("#plan a.hot").count() > 20
    page.get_by_role("navigation", name="Duties").get_by_role("link", name="Papers").click()
    page.get_by_role("button", name="Write the papers").click(timeout=90_000)
    page.locator("#zip").wait_for(timeout=60_000)
    with page.expect_download() as coming:
        page.locator("#zip").click()
    coming.value.save_as(tmp_path / "all.zip")
    names = zipfile.ZipFile(tmp_path / "all.zip").namelist()
    assert any(n.endswith(".pdf") for n in names) and any(n.endswith(".svg") for n in names)
    assert any(n.endswith(".json") for n in names)


def test_a_card_opens_by_click_and_by_keyboard_and_closes(page: Page, job: str) -> None:
    page.goto(f"{job}/strength")
    page.locator('#plan [data-layer="flags"] a.hot').first.click()
    page.locator("#card").wait_for()
    assert re.search(r"stretch=\d+", page.url)
    stripe = page.locator('[data-layer="stripe"] path').get_attribute("d") or ""
    assert stripe.count("L") == 3, "the stripe ties the line to its card"
    page.keyboard.press("Escape")
    assert page.locator("#card").count() == 0
    assert "stretch" not in page.url

    page.locator('#plan [data-layer="lines"] a.hot[tabindex="0"]').first.focus()
    page.keyboard.press("ArrowDown")
    first = page.evaluate("document.activeElement.getAttribute('href')")
    page.keyboard.press("Enter")
    page.locator("#card").wait_for()
    assert page.url.endswith(first)
    page.reload()
    assert page.locator("#card").count() == 1, "a reload keeps the card open"
    page.keyboard.press("]")
    page.wait_for_function("href => !location.href.endsWith(href)", arg=first)
    page.keyboard.press("?")
    assert page.locator("#keys").is_visible()


def test_a_load_opens_its_card_its_map_and_its_line(page: Page, job: str) -> None:
    page.goto(f"{job}/loads")
    page.locator("table.cases a[data-card]").first.click()
    page.locator("#card").wait_for()
    assert page.locator("#card .no").inner_text().startswith("L-")
    page.keyboard.press("Escape")
    assert page.locator("#card").count() == 0
    page.get_by_role("link", name="Wind lifting", exact=True).click()
    page.wait_for_url("**case=wind.up**")
    assert page.locator("#map svg").count() == 1
    page.locator("#line .picks a", has_text="W4").click()
    page.wait_for_url("**line=W4**")
    assert "case=wind.up" in page.url, "the case chosen stays chosen"
    assert page.locator("#line h2").inner_text() == "Along line W4"


def test_an_old_line_opens_its_card_from_the_map_and_from_the_worst_ten(page: Page, job: str) -> None:
    page.goto(f"{job}/strength")
    page.locator('#old-steel a[data-card][href*="steel="]').first.click()
    page.locator("#card").wait_for()
    assert page.locator("#card .big").inner_text()
    page.wait_for_function("document.querySelector('#card').getBoundingClientRect().top < innerHeight")
    page.keyboard.press("Escape")
    assert page.locator("#card").count() == 0
    stroke = page.locator('#old-steel [data-layer="worst"] a.hot').first
    stroke.focus()
    page.keyboard.press("Enter")
    page.locator("#card").wait_for()
    page.goto(f"{job}/strength?stage=before")
    assert "today" in page.locator("#old-steel .now").inner_text()


def test_the_wind_speed_moves_the_verdict_at_once(page: Page, job: str) -> None:
    page.goto(f"{job}/rules")
    field = page.get_by_label("Wind speed", exact=True)
    field.fill("150 mph")
    field.press("Enter")
    page.locator("#moved").wait_for()
    assert re.search(r"This also moved: \d+ ratios", page.locator("#moved summary").inner_text())
    assert "revision 2" in page.locator(".saved").inner_text()
    page.locator("#moved summary").click()
    assert page.locator("#moved s").first.is_visible()
    assert page.locator(".was").is_visible()
    page.reload()
    assert page.get_by_label("Wind speed", exact=True).input_value() == "150 mph"
    page.get_by_role("button", name="Undo").click()
    page.wait_for_url("**since=2*")
    assert page.get_by_label("Wind speed", exact=True).input_value() != "150 mph"


def test_screws_per_flat_are_changed_in_the_recover(page: Page, server: Any) -> None:
    page.goto(server.address)
    page.get_by_role("button", name="Port Averill net store").click()
    page.wait_for_url("**/survey")
    page.goto(f"{server.address}/jobs/port-averill-net-store/recovers")
    field = page.locator("#f-recovers-0-framing-screws_per_flat-other")
    old = int(field.input_value())
    field.fill(str(old + 1))
    field.press("Enter")
    page.locator("#moved").wait_for()
    assert f"{old + 1} a flat" in page.locator("table.beside").inner_text()
    page.get_by_role("button", name="Add a copy of R1").click()
    page.wait_for_url("**/recovers")
    assert "chosen" in page.locator("table.beside").inner_text()


def test_a_broken_survey_shows_every_problem_and_loses_nothing(
    page: Page, server: Any, tmp_path: Path
) -> None:
    text = (
        api.example(EXAMPLE)
        .read_text("utf-8")
        .replace("exposure: C", "exposure: Q", 1)
        .replace("width: 80", "width: eighty", 1)
    )
    (tmp_path / "broken.survey.yaml").write_text(text, "utf-8")
    page.goto(f"{server.address}/add")
    page.set_input_files("#f-file", tmp_path / "broken.survey.yaml")
    page.get_by_role("button", name="Take in the file").click()
    page.locator("#wrong").wait_for()
    links = page.locator('#wrong a[href^="#line-"]')
    assert links.count() >= 2
    page.wait_for_function(
        "document.activeElement.id === 'wrong'"
    )  # focus goes to the problems, once the script has run
    links.first.click()
    assert page.evaluate("document.activeElement.id") == "text"
    picked = page.evaluate("(e => e.value.slice(e.selectionStart, e.selectionEnd))(document.activeElement)")
    assert picked in text.split("\n") and picked
    page.reload()
    area = page.locator("#text")
    assert area.input_value().strip() == text.strip()
    area.fill(area.input_value().replace("eighty", "80").replace("exposure: Q", "exposure: C"))
    page.get_by_role("button", name="Try again").click()
    page.wait_for_url("**/survey")


def test_a_value_that_cannot_be_read_stays_beside_its_reason(page: Page, job: str, watch: Any) -> None:
    watch.allow_error("422")
    page.goto(f"{job}/rules")
    page.get_by_label("Wind speed", exact=True).fill("strong")
    page.get_by_label("Wind speed", exact=True).press("Enter")
    page.locator("#wrong").wait_for()
    assert page.get_by_label("Wind speed", exact=True).input_value() == "strong"
    assert page.get_by_label("Wind speed", exact=True).get_attribute("aria-invalid") == "true"
    page.locator("#wrong a").first.click()
    assert page.evaluate("document.activeElement.id") == "f-ground_rules-wind_speed"


def test_a_crash_and_a_reload_keep_everything(page: Page, job: str, server: Any) -> None:
    page.goto(f"{job}/rules")
    page.get_by_label("Wind speed", exact=True).fill("133 mph")
    page.get_by_label("Wind speed", exact=True).press("Enter")
    page.locator("#moved").wait_for()
    server.kill()
    server.start()
    page.reload()
    assert page.get_by_label("Wind speed", exact=True).input_value() == "133 mph"
    page.get_by_role("link", name="History").click()
    assert "133 mph" in page.locator("main").inner_text()


def test_a_workbench_that_does_not_answer_is_told_and_nothing_typed_is_lost(
    page: Page, job: str, server: Any, watch: Any
) -> None:
    watch.allow_error("ERR_CONNECTION")
    watch.allow_error("fetch")
    page.goto(f"{job}/rules")
    server.kill()
    field = page.get_by_label("Wind speed", exact=True)
    field.fill("144 mph")
    field.press("Enter")
    page.locator("#unsaved").wait_for()
    assert "does not answer" in page.locator("#unsaved").inner_text()
    assert field.input_value() == "144 mph"
    server.start()
    field.press("Enter")
    page.locator("#moved").wait_for()
    assert page.locator("#unsaved").count() == 0
    assert field.input_value() == "144 mph"


def test_two_windows_do_not_overwrite_each_other(page: Page, job: str, context: Any, watch: Any) -> None:
    watch.allow_error("409")
    other = context.new_page()
    other.goto(f"{job}/rules")
    page.goto(f"{job}/rules")
    page.get_by_label("Wind speed", exact=True).fill("121 mph")
    page.get_by_label("Wind speed", exact=True).press("Enter")
    page.locator("#moved").wait_for()
    other.get_by_label("Wind speed", exact=True).fill("141 mph")
    other.get_by_label("Wind speed", exact=True).press("Enter")
    other.locator("#wrong").wait_for()
    assert "revision 2 was saved" in other.locator("#wrong").inner_text()
    assert other.get_by_label("Wind speed", exact=True).input_value() == "141 mph"


PAGES = (
    "survey",
    "text",
    "missing",
    "rules",
    "old-roof",
    "loads",
    "recovers",
    "strength",
    "heat",
    "papers",
    "history",
)


def test_no_page_scrolls_sideways_on_a_phone(page: Page, job: str) -> None:
    page.set_viewport_size({"width": 390, "height": 844})
    for name in PAGES:
        page.goto(f"{job}/{name}")
        assert page.evaluate("document.documentElement.scrollWidth") <= 390, name
    page.goto(f"{job}/survey")
    low = page.evaluate(
        "[...document.querySelectorAll('main .row input:not([type=hidden]), main .row select, main .row button')]"
        ".filter(e => e.getBoundingClientRect().height < 58).length"
    )
    assert low == 0, "targets for a glove"


FAULTS = (Path(__file__).parent / "faults.js").read_text("utf-8")


@pytest.mark.parametrize("sheet", ["light", "dark"])
def test_labels_headings_landmarks_and_contrast(page: Page, job: str, server: Any, sheet: str) -> None:
    page.context.add_cookies([{"name": "sheet", "value": sheet, "url": server.address}])
    for address in (
        server.address,
        f"{server.address}/add",
        *(f"{job}/{name}" for name in PAGES),
        f"{job}/strength?stretch=2",
        f"{job}/strength?steel=down&line=E3&bay=1",
        f"{job}/loads?case=wind.up&line=E4&card=L-22",
    ):
        page.goto(address)
        assert page.evaluate("document.documentElement.dataset.sheet") == sheet
        assert page.evaluate(FAULTS) == [], address


def test_focus_is_seen_and_tab_goes_from_head_to_sheet(page: Page, job: str) -> None:
    page.goto(f"{job}/rules")
    page.keyboard.press("Tab")
    assert page.evaluate("document.activeElement.className") == "skip"
    page.keyboard.press("Enter")
    assert page.evaluate("document.activeElement.id") == "main"
    page.keyboard.press("Tab")
    width = page.evaluate(
        "parseFloat(getComputedStyle(document.activeElement.closest('.entry') || document.activeElement).outlineWidth)"
    )
    assert width >= 3


def test_everything_needed_works_without_scripts(browser: Any, server: Any) -> None:
    plain = browser.new_context(java_script_enabled=False)
    page = plain.new_page()
    page.set_default_timeout(PATIENCE_MS)
    page.goto(server.address)
    page.get_by_role("button", name="Tamsel Feed barn").click()
    page.goto(f"{server.address}/jobs/{EXAMPLE}/rules")
    page.get_by_label("Wind speed", exact=True).fill("150 mph")
    page.get_by_label("Wind speed", exact=True).press("Enter")
    page.locator("#moved").wait_for()
    page.goto(f"{server.address}/jobs/{EXAMPLE}/strength?stretch=1")
    assert page.locator("#card").count() == 1
    page.goto(f"{server.address}/jobs/{EXAMPLE}/loads")
    page.locator("table.cases a[data-card]").first.click()
    page.wait_for_url("**card=L-**")
    assert page.locator("#card").count() == 1
    page.goto(f"{server.address}/jobs/{EXAMPLE}/strength")
    page.locator('#old-steel a[data-card][href*="steel="]').first.click()
    page.wait_for_url("**steel=**")
    assert page.locator("#card").count() == 1
    plain.close()
