"""Who may talk to the desk: this machine alone, under a loopback name, from the desk's own page."""

from collections.abc import Iterable
from ipaddress import ip_address

from starlette.datastructures import Headers, MutableHeaders
from starlette.responses import JSONResponse
from starlette.types import ASGIApp, Message, Receive, Scope, Send

OWN_HEADER = "x-slabwright"
LARGEST_BODY = 20_000_000
_READING = frozenset({"GET", "HEAD", "OPTIONS"})
_POLICY = (
    "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self' data: blob:; "
    "font-src 'self'; connect-src 'self'; frame-ancestors 'none'; base-uri 'none'; form-action 'none'"
)
_HEADERS = {
    "Content-Security-Policy": _POLICY,
    "X-Content-Type-Options": "nosniff",
    "Referrer-Policy": "no-referrer",
    "Cross-Origin-Opener-Policy": "same-origin",
    "Cross-Origin-Resource-Policy": "same-origin",
    "Permissions-Policy": "camera=(), microphone=(), geolocation=()",
}


class Guard:
    """Refuses what does not come from the desk's own page on this machine.

    A page of another origin can neither read answers (no cross-origin sharing is ever granted), nor reach the desk
    under a name of its own that resolves to this machine (the Host header must be a loopback name), nor change
    anything (every change carries a header that a form or an image cannot send, and an Origin of its own host).

    Parameters
    ----------
    app : ASGIApp
    hosts : iterable of str
        Names beside those of the loopback under which the desk may be asked.
    """

    def __init__(self, app: ASGIApp, hosts: Iterable[str] = ()) -> None:
        self._app = app
        self._hosts = frozenset(host.lower() for host in hosts)

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        if scope["type"] != "http":
            if scope["type"] == "lifespan":
                await self._app(scope, receive, send)
            return
        headers = Headers(scope=scope)
        refusal = self._refusal(scope["method"], headers)
        if refusal is not None:
            status, message = refusal
            await JSONResponse({"message": message, "findings": []}, status_code=status, headers=_HEADERS)(scope, receive, send)
            return

        async def with_headers(message: Message) -> None:
            if message["type"] == "http.response.start":
                found = MutableHeaders(scope=message)
                for name, value in _HEADERS.items():
                    found.setdefault(name, value)
                if scope["path"].startswith("/api/"):
                    found.setdefault("Cache-Control", "no-store")
            await send(message)

        await self._app(scope, _bounded(receive), with_headers)

    def _refusal(self, method: str, headers: Headers) -> tuple[int, str] | None:
        host = headers.get("host", "")
        if not self._is_own(host):
            return 421, "The desk answers under this machine's own name only."
        length = headers.get("content-length", "0")
        if not length.isdigit() or int(length) > LARGEST_BODY:
            return 413, f"A file of up to {LARGEST_BODY // 1_000_000} MB is taken."
        if method in _READING:
            return None
        if headers.get(OWN_HEADER) is None:
            return 403, f"Changes are taken from the desk's own page only (header {OWN_HEADER})."
        origin = headers.get("origin")
        if origin is not None and origin.partition("://")[2] != host:
            return 403, "Changes are taken from the desk's own page only."
        return None

    def _is_own(self, host: str) -> bool:
        name = host.lower()
        name = name[: name.index("]") + 1] if name.startswith("[") and "]" in name else name.partition(":")[0]
        if name in self._hosts or name == "localhost":
            return True
        try:
            return ip_address(name.strip("[]")).is_loopback
        except ValueError:
            return False


def _bounded(receive: Receive) -> Receive:
    """A body without a stated length is cut off where it grows too large."""
    taken = 0

    async def counted() -> Message:
        nonlocal taken
        message = await receive()
        taken += len(message.get("body", b""))
        if taken > LARGEST_BODY:
            return {"type": "http.disconnect"}
        return message

    return counted
