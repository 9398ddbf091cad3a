"""What the local server refuses: foreign hosts, posts from other pages, bodies too large."""

from __future__ import annotations

from typing import TYPE_CHECKING
from urllib.parse import urlsplit

from starlette.datastructures import Headers, MutableHeaders
from starlette.exceptions import HTTPException
from starlette.responses import PlainTextResponse

if TYPE_CHECKING:
    from starlette.types import ASGIApp, Message, Receive, Scope, Send

HOSTS = ("127.0.0.1", "localhost", "[::1]")
UPLOAD_LIMIT_BYTES = 1_000_000
#: A form carries at most the text and a few fields round it.
BODY_LIMIT_BYTES = 4 * UPLOAD_LIMIT_BYTES
TOO_LARGE = "Not taken in: a survey may be 1 MB at most. Leave photos out of the file"

HEADERS = {
    "content-security-policy": (
        "default-src 'self'; base-uri 'none'; form-action 'self'; frame-ancestors 'none'; object-src 'none'"
    ),
    "x-content-type-options": "nosniff",
    "referrer-policy": "same-origin",
    "cross-origin-opener-policy": "same-origin",
    "cross-origin-resource-policy": "same-origin",
}


class Guard:
    """Adds the protecting headers to every answer and refuses what did not come from our own pages."""

    def __init__(self, app: ASGIApp) -> None:
        self.app = app

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """One request."""
        if scope["type"] != "http":
            await self.app(scope, receive, send)
            return

        async def send_guarded(message: Message) -> None:
            if message["type"] == "http.response.start":
                headers = MutableHeaders(scope=message)
                for name, value in HEADERS.items():
                    headers.setdefault(name, value)
                if not scope["path"].startswith("/static/"):
                    headers.setdefault("cache-control", "no-store")
            await send(message)

        refusal = refused(scope["method"], Headers(scope=scope))
        if refusal is not None:
            status, words = refusal
            await PlainTextResponse(words, status_code=status)(scope, receive, send_guarded)
            return
        taken = 0

        async def receive_counted() -> Message:
            nonlocal taken
            message = await receive()
            taken += len(message.get("body", b""))
            if taken > BODY_LIMIT_BYTES:
                raise HTTPException(413, TOO_LARGE)
            return message

        await self.app(scope, receive_counted, send_guarded)


def refused(method: str, headers: Headers) -> tuple[int, str] | None:
    """Status and words where a request is refused, else None."""
    if method in ("GET", "HEAD", "OPTIONS"):
        return None
    host = headers.get("host", "")
    origin = headers.get("origin")
    if origin is not None and urlsplit(origin).netloc != host:
        return 403, "Not done: this came from a page that is not secondroof's own."
    site = headers.get("sec-fetch-site")
    if site is not None and site not in ("same-origin", "none"):
        return 403, "Not done: this came from a page that is not secondroof's own."
    length = headers.get("content-length", "")
    if length.isdigit() and int(length) > BODY_LIMIT_BYTES:
        return 413, f"{TOO_LARGE}. Nothing was changed."
    return None
