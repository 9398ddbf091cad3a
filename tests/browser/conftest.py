"""A workbench of its own for every browser test, on a free port of this machine, with an empty store."""

from __future__ import annotations

import socket
import subprocess
import sys
import time
import urllib.request
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

import pytest


@dataclass
class Server:
    """A running workbench; ``stop`` and ``start`` stand for a crash and a new day."""

    address: str
    port: int
    store: Path
    process: subprocess.Popen[bytes] | None = None

    def start(self) -> None:
        """Serve until stopped; returns when the first page answers."""
        script = f"from secondroof.web.serve import serve; serve({self.port}, {str(self.store)!r})"
        self.process = subprocess.Popen([sys.executable, "-c", script])
        for _ in range(200):
            try:
                with urllib.request.urlopen(self.address, timeout=5) as answer:
                    if answer.status == 200:
                        return
            except OSError:
                time.sleep(0.05)
        pytest.fail("the workbench did not answer")

    def kill(self) -> None:
        """End it as a crash would."""
        if self.process is not None:
            self.process.kill()
            self.process.wait()
            self.process = None


@pytest.fixture
def server(tmp_path: Path) -> Iterator[Server]:
    """A workbench with an empty store."""
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        port = probe.getsockname()[1]
    running = Server(f"http://127.0.0.1:{port}", port, tmp_path / "jobs.sqlite")
    running.start()
    yield running
    running.kill()
