"""The browser's own watch must be able to fail, or the tests that lean on it prove nothing."""

from __future__ import annotations

import threading
from collections.abc import Iterator
from functools import partial
from http.server import SimpleHTTPRequestHandler, ThreadingHTTPServer
from pathlib import Path

import pytest


class Quiet(SimpleHTTPRequestHandler):
    def log_message(self, format: str, *args: object) -> None:
        pass


@pytest.fixture
def folder_server(tmp_path: Path) -> Iterator[str]:
    server = ThreadingHTTPServer(("127.0.0.1", 0), partial(Quiet, directory=str(tmp_path)))
    thread = threading.Thread(target=server.serve_forever, daemon=True)
    thread.start()
    yield f"http://127.0.0.1:{server.server_address[1]}"
    server.shutdown()
    server.server_close()


def write(folder: Path, body: str) -> None:
    page = f'<!doctype html><html lang="en"><link rel="icon" href="data:,"><title>t</title>{body}'
    (folder / "index.html").write_text(page, encoding="utf-8")


def test_a_quiet_page_has_no_faults(page, watch, folder_server, tmp_path):
    write(tmp_path, "<h1>Sheet</h1>")
    page.goto(folder_server)
    assert page.locator("h1").inner_text() == "Sheet"
    assert watch.faults == []


def test_a_request_to_another_host_is_stopped_and_noted(page, watch, folder_server, tmp_path):
    watch.allow_error("ERR_FAILED")
    write(tmp_path, '<img src="http://other.invalid/x.png" alt="">')
    page.goto(folder_server)
    page.wait_for_load_state("networkidle")
    assert watch.faults == ["asked for http://other.invalid/x.png"]
    watch.faults.clear()


def test_console_and_script_errors_are_noted(page, watch, folder_server, tmp_path):
    write(tmp_path, "<script>console.error('ink'); setTimeout(() => { throw new Error('pencil') })</script>")
    page.goto(folder_server)
    page.wait_for_timeout(200)
    assert len(watch.faults) == 2
    assert "ink" in watch.faults[0]
    assert "pencil" in watch.faults[1]
    watch.faults.clear()


def test_the_vendored_partial_page_library_loads(page, watch, folder_server, tmp_path, root):
    script = (root / "src/secondroof/web/static/htmx-4.0.1.min.js").read_text(encoding="utf-8")
    (tmp_path / "htmx.js").write_text(script, encoding="utf-8")
    (tmp_path / "part.html").write_text("<p id=out>taped</p>", encoding="utf-8")
    write(
        tmp_path,
        '<script src="htmx.js"></script><button hx-get="part.html" hx-target="#out" hx-swap="outerHTML">go'
        "</button><p id=out>blank</p>",
    )
    page.goto(folder_server)
    page.get_by_role("button").click()
    page.get_by_text("taped").wait_for()


def test_the_browser_has_the_vendored_fonts(page, watch, folder_server, tmp_path, root):
    """Each family loads from our files and draws a word at another width than the fallback."""
    for file in (root / "src/secondroof/web/static/fonts").glob("*.*"):
        (tmp_path / file.name).write_bytes(file.read_bytes())
    families = ["Atkinson Hyperlegible Next", "Barlow Semi Condensed", "Source Serif 4", "STIX Math"]
    write(
        tmp_path,
        '<link rel="stylesheet" href="fonts.css">'
        + "".join(
            f"<p><span style='font-family:\"{name}\",monospace'>measure 0123</span></p>" for name in families
        )
        + "<p><span style='font-family:monospace'>measure 0123</span></p>",
    )
    page.goto(folder_server)
    page.evaluate("document.fonts.ready.then(() => true)")
    loaded = page.evaluate("[...document.fonts].filter(f => f.status === 'loaded').map(f => f.family)")
    assert {name.strip('"') for name in loaded} == set(families)
    widths = page.evaluate("[...document.querySelectorAll('span')].map(s => s.getBoundingClientRect().width)")
    assert len(set(widths)) == len(widths)
