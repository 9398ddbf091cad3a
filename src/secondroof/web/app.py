"""The workbench's application: addresses, and the one place where errors become pages."""

from __future__ import annotations

import logging
import secrets
from collections.abc import Awaitable, Callable, Mapping
from pathlib import Path
from typing import TYPE_CHECKING, Any
from urllib.parse import quote

from starlette.applications import Starlette
from starlette.concurrency import run_in_threadpool
from starlette.datastructures import UploadFile
from starlette.exceptions import HTTPException
from starlette.middleware import Middleware
from starlette.middleware.trustedhost import TrustedHostMiddleware
from starlette.responses import HTMLResponse, RedirectResponse, Response
from starlette.routing import Mount, Route
from starlette.staticfiles import StaticFiles

from secondroof.errors import ConflictError, InputError, NotFoundError, SecondroofError
from secondroof.store import StoreError
from secondroof.web import render
from secondroof.web.ask import Answer, Ask, File, Go, Page, Upload
from secondroof.web.contexts import Frame, WrongPage
from secondroof.web.desk import Desk
from secondroof.web.guard import HOSTS, UPLOAD_LIMIT_BYTES, Guard
from secondroof.web.pages import ROUTES

if TYPE_CHECKING:
    from starlette.requests import Request

STATIC = Path(__file__).parent / "static"
log = logging.getLogger("secondroof.web")


def create_app(store_path: str | Path) -> Starlette:
    """Application of the workbench over one store.

    Parameters
    ----------
    store_path : str or Path
        The store's file; made where it is not there.
    """
    desk = Desk(store_path)
    routes: list[Any] = [
        Route(path, _endpoint(desk, page), methods=[method]) for method, path, page in ROUTES
    ]
    routes.append(Mount("/static", StaticFiles(directory=STATIC), name="static"))
    app = Starlette(
        routes=routes,
        middleware=[Middleware(Guard), Middleware(TrustedHostMiddleware, allowed_hosts=list(HOSTS))],
        exception_handlers={HTTPException: _http_error},
    )
    app.state.desk = desk
    return app


def _endpoint(desk: Desk, page: Callable[[Ask], Answer]) -> Callable[[Request], Awaitable[Response]]:
    async def answer(request: Request) -> Response:
        form: Mapping[str, str | Upload] = {}
        try:
            if request.method == "POST":
                form = await _form(request)
            ask = Ask(
                desk=desk,
                path={k: str(v) for k, v in request.path_params.items()},
                query=dict(request.query_params),
                form=form,
                sheet=_sheet(request),
                partial=request.headers.get("hx-request") == "true",
            )
            return await run_in_threadpool(_respond, request, ask, page)
        except HTTPException:
            raise
        except Exception as error:  # the one place where errors become pages
            return await run_in_threadpool(_wrong, request, error)

    return answer


async def _form(request: Request) -> dict[str, str | Upload]:
    out: dict[str, str | Upload] = {}
    async with request.form(max_files=2, max_fields=400, max_part_size=2 * UPLOAD_LIMIT_BYTES) as form:
        for name, value in form.items():
            out[name] = (
                Upload(value.filename or "", await value.read(UPLOAD_LIMIT_BYTES + 1))
                if isinstance(value, UploadFile)
                else value
            )
    return out


def _sheet(request: Request) -> str:
    named = request.cookies.get("sheet", "")
    return named if named in ("light", "dark") else ""


def _wants_json(request: Request) -> bool:
    return request.query_params.get("format") == "json"


def _respond(request: Request, ask: Ask, page: Callable[[Ask], Answer]) -> Response:
    answer = page(ask)
    if isinstance(answer, Go):
        return RedirectResponse(answer.href, status_code=303)
    if isinstance(answer, File):
        how = "inline" if answer.inline else "attachment"
        ascii_name = answer.name.encode("ascii", "replace").decode().replace('"', "'")
        disposition = f"{how}; filename=\"{ascii_name}\"; filename*=UTF-8''{quote(answer.name)}"
        return Response(answer.content, media_type=answer.kind, headers={"content-disposition": disposition})
    if _wants_json(request):
        return Response(render.to_json(answer.record), answer.status, media_type="application/json")
    if answer.block:
        return HTMLResponse(render.block_html(answer.template, answer.block, answer.record), answer.status)
    return HTMLResponse(render.to_html(answer.template, answer.record, shell=not ask.partial), answer.status)


def _wrong(request: Request, error: Exception) -> Response:
    """Page of an error nobody nearer to it has met."""
    if isinstance(error, NotFoundError):
        return _wrong_page(request, 404, "Not here", f"{error} Nothing was changed.")
    if isinstance(error, ConflictError):
        return _wrong_page(request, 409, "Not saved", str(error))
    if isinstance(error, StoreError):
        return _wrong_page(request, 503, "The store did not answer", str(error))
    if isinstance(error, InputError):
        return _wrong_page(request, 422, "Not taken in", f"{error} Nothing was changed.")
    if isinstance(error, SecondroofError):
        return _wrong_page(request, 422, "Not done", f"{error} Nothing was changed.")
    number = secrets.token_hex(2).upper()
    log.error("fault %s at %s %s", number, request.method, request.url.path, exc_info=error)
    return _wrong_page(
        request,
        500,
        "Our fault",
        f"This page stopped (number {number}). Your job is safe: everything saved before is still there."
        " Report the number with what you were doing.",
        number,
    )


def _wrong_page(request: Request, status: int, heading: str, sentence: str, number: str = "") -> Response:
    record = WrongPage(Frame(heading, "wrong", _sheet(request)), status, heading, sentence, number)
    if _wants_json(request):
        return Response(render.to_json(record), status, media_type="application/json")
    partial = request.headers.get("hx-request") == "true"
    return HTMLResponse(render.to_html("wrong", record, shell=not partial), status)


async def _http_error(request: Request, error: Exception) -> Response:
    status = error.status_code if isinstance(error, HTTPException) else 500
    detail = str(error.detail) if isinstance(error, HTTPException) else ""
    if status == 404:
        return _wrong_page(request, 404, "Not here", "There is no page at this address. Nothing was changed.")
    if status == 405:
        return _wrong_page(request, 405, "Not so", "This address does not take that kind of request.")
    return _wrong_page(request, status, "Not taken in", f"{detail}. Nothing was changed.".strip(". ") + ".")


__all__ = ["Page", "create_app"]
