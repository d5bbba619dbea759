"""The application: routes, the page, errors turned into words once, and the server on loopback."""

import asyncio
import socket
import webbrowser
from collections.abc import AsyncIterator
from contextlib import asynccontextmanager
from pathlib import Path
from threading import Timer
from typing import Any

from fastapi import FastAPI, Request
from fastapi.exceptions import RequestValidationError
from fastapi.responses import JSONResponse, Response
from fastapi.staticfiles import StaticFiles
from starlette.exceptions import HTTPException
from starlette.middleware.gzip import GZipMiddleware

from slabwright.errors import InputError, SlabwrightError, UnknownName
from slabwright.outputs.look import screen_css
from slabwright.version import __version__
from slabwright.web import api_files, api_jobs, api_plan
from slabwright.web.desk import Desk
from slabwright.web.security import Guard
from slabwright.web.session import Clash, finding_view
from slabwright.web.signs import signs_css, signs_font
from slabwright.web.views import FindingView, Refusal

PAGE = Path(__file__).parent / "dist"
PORT = 8037


def application(root: Path, *, store: str = "", hosts: tuple[str, ...] = ()) -> FastAPI:
    """The desk of a folder as an ASGI application.

    Parameters
    ----------
    root : Path
        A job's folder, or a folder of such.
    store : str
        Where histories are kept, as SQLAlchemy writes it; in each job's folder if empty.
    hosts : tuple of str
        Names beside those of the loopback under which it may be asked.
    """
    desk = Desk(root, store=store)

    @asynccontextmanager
    async def life(_: FastAPI) -> AsyncIterator[None]:
        desk.open(asyncio.get_running_loop())
        yield
        await asyncio.to_thread(desk.close)

    app = FastAPI(
        title="slabwright desk",
        version=__version__,
        description="The whole job over a typed JSON interface.",
        lifespan=life,
        docs_url=None,
        redoc_url=None,
        openapi_url="/api/openapi.json",
    )
    app.state.desk = desk
    app.add_middleware(GZipMiddleware, minimum_size=1000, compresslevel=5)
    app.add_middleware(Guard, hosts=hosts)
    for module in (api_jobs, api_plan, api_files):
        app.include_router(module.router)
    app.add_api_route("/look.css", _look, include_in_schema=False)
    app.add_api_route("/signs-{weight}.woff", _signs, include_in_schema=False)
    _errors_in_words(app)
    if PAGE.is_dir():
        app.mount("/", StaticFiles(directory=PAGE, html=True), name="page")
    else:
        app.add_api_route("/", _no_page, include_in_schema=False)
    return app


def run(root: Path, listening: socket.socket, address: str, *, store: str = "", browser: bool = True) -> None:
    """Serve a folder on a socket until it is interrupted, and open the browser on it.

    Parameters
    ----------
    root : Path
    listening : socket
        As :func:`free_address` gives it, with its ``address``.
    store : str
        As for :func:`application`.
    browser : bool
        False to leave the browser alone.
    """
    import uvicorn

    if browser:
        opener = Timer(0.6, webbrowser.open, args=(address,))
        opener.daemon = True
        opener.start()
    app = application(root, store=store)

    class Server(uvicorn.Server):
        def handle_exit(self, sig: int, frame: Any) -> None:
            app.state.desk.end_news()
            super().handle_exit(sig, frame)

    Server(uvicorn.Config(app, log_level="warning", server_header=False, timeout_graceful_shutdown=2)).run(sockets=[listening])


def free_address(port: int = PORT) -> tuple[socket.socket, str]:
    """A listening socket on loopback and the address it answers at."""
    listening = _socket(port)
    return listening, f"http://localhost:{listening.getsockname()[1]}/"


def _socket(port: int) -> socket.socket:
    for one in (*range(port, port + 20), 0):
        listening = socket.socket(socket.AF_INET, socket.SOCK_STREAM)
        listening.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
        try:
            listening.bind(("127.0.0.1", one))
        except OSError:
            listening.close()
            continue
        return listening
    raise OSError(98, "no port is free on this machine")


def _look() -> Response:
    return Response(screen_css() + signs_css(), media_type="text/css", headers={"Cache-Control": "no-cache"})


def _signs(weight: str) -> Response:
    return Response(signs_font(weight), media_type="font/woff", headers={"Cache-Control": "max-age=86400"})


def _no_page() -> Response:
    return Response("The page is not built; run: make frontend\n", media_type="text/plain", status_code=503)


def _refused(status: int, message: str, findings: list[FindingView] | None = None) -> JSONResponse:
    return JSONResponse(Refusal(message=message, findings=findings or []).model_dump(), status_code=status)


def _errors_in_words(app: FastAPI) -> None:
    """Every error on purpose becomes its words; the rest stay faults of the program."""

    @app.exception_handler(Clash)
    async def clash(_: Request, error: Clash) -> Response:
        return JSONResponse(error.conflict.model_dump(), status_code=409)

    @app.exception_handler(RequestValidationError)
    async def request(_: Request, error: RequestValidationError) -> Response:
        findings = [FindingView(where=_where(one["loc"]), message=str(one["msg"])) for one in error.errors()]
        return _refused(422, "The request cannot be read.", findings)

    @app.exception_handler(SlabwrightError)
    async def words(_: Request, error: SlabwrightError) -> Response:
        if isinstance(error, InputError):
            found = [finding_view(one) for one in error.findings]
            return _refused(422, found[0].message if found else str(error), found)
        return _refused(404 if isinstance(error, UnknownName) else 422, str(error))

    @app.exception_handler(OSError)
    async def file(_: Request, error: OSError) -> Response:
        return _refused(422, f"{Path(str(error.filename or '')).name}: {error.strerror or error}.")

    @app.exception_handler(HTTPException)
    async def http(_: Request, error: HTTPException) -> Response:
        return JSONResponse(
            Refusal(message=str(error.detail)).model_dump(), status_code=error.status_code, headers=dict(error.headers or {})
        )


def _where(location: tuple[Any, ...]) -> str:
    return ".".join(str(one) for one in location)
