"""Start the workbench on this machine."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

from secondroof.errors import InputError, Problem
from secondroof.store import default_store

HOST = "127.0.0.1"


def address(port: int) -> str:
    """Address of the workbench in a browser."""
    return f"http://{HOST}:{port}/"


def free_port(port: int) -> None:
    """Refuse a port that is taken, in words."""
    import socket

    with socket.socket() as probe:
        probe.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
        try:
            probe.bind((HOST, port))
        except (OSError, OverflowError) as error:
            raise InputError(
                Problem(
                    "port",
                    str(port),
                    "is taken or may not be used.",
                    "Name another one, such as --port 8766.",
                )
            ) from error


def serve(port: int = 8765, store: str | Path | None = None, say: Callable[[str], None] | None = None) -> int:
    """Serve the workbench until it is stopped. Listens on this machine only.

    Parameters
    ----------
    port : int
        Port on 127.0.0.1.
    store : str or Path, optional
        Store file; left out, ``jobs.sqlite`` in the person's data folder.
    say : callable, optional
        Told the address and the store before serving begins.

    Returns
    -------
    int
        0 when it was stopped.
    """
    import uvicorn

    from secondroof.web.app import create_app

    free_port(port)
    path = Path(store) if store is not None else default_store()
    app = create_app(path)
    if say is not None:
        say(f"The workbench is at {address(port)}")
        say(f"Jobs are kept in {path}. Stop it with Ctrl+C.")
    uvicorn.run(app, host=HOST, port=port, log_level="warning", server_header=False, timeout_keep_alive=120)
    return 0
