"""What every request must pass: who asks, from where, with which mark, and how much it brings."""

import hmac
import ipaddress
import os
import secrets
from collections.abc import Awaitable, Callable
from pathlib import Path
from urllib.parse import urlsplit

from fastapi import Request, Response
from fastapi.responses import PlainTextResponse

CHANGES = {"POST", "PUT", "PATCH", "DELETE"}
MOST_BYTES = 25_000_000
MARK = "x-eavewell-mark"
# htmx runs without eval and without its own style element; nothing comes from elsewhere
CONTENT_POLICY = (
    "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self' data: blob:; "
    "font-src 'self'; connect-src 'self'; form-action 'self'; base-uri 'none'; "
    "frame-ancestors 'none'; manifest-src 'self'"
)
HEADERS = {
    "Content-Security-Policy": CONTENT_POLICY,
    "X-Content-Type-Options": "nosniff",
    "X-Frame-Options": "DENY",
    "Referrer-Policy": "no-referrer",
    "Cross-Origin-Opener-Policy": "same-origin",
    "Cross-Origin-Resource-Policy": "same-origin",
}
Next = Callable[[Request], Awaitable[Response]]


class Guard:
    """Lets through what comes from our own pages, and nothing else.

    hosts : names under which the pages may be asked for, without port.
    mark  : what a change must carry, so that no other page can make one.
    """

    def __init__(self, hosts: frozenset[str], mark: str) -> None:
        self.hosts, self.mark = hosts, mark

    async def __call__(self, request: Request, call_next: Next) -> Response:
        """Refuse with one sentence, or pass on and set the headers of every answer."""
        says, status = self._refused(request)
        answer = (
            PlainTextResponse(says + "\n", status_code=status) if says else await call_next(request)
        )
        for name, value in HEADERS.items():
            answer.headers.setdefault(name, value)
        if "cache-control" not in answer.headers:
            answer.headers["cache-control"] = "no-store"
        return answer

    def _refused(self, request: Request) -> tuple[str, int]:
        """The sentence and its status; "" where nothing is wrong."""
        if not self._is_host(request.headers.get("host", "")):
            return "These pages are not served under that name.", 400
        return self._change_refused(request) if request.method in CHANGES else ("", 200)

    def _change_refused(self, request: Request) -> tuple[str, int]:
        length = request.headers.get("content-length", "")
        if not length.isdecimal():
            return "How large the upload is must be said beforehand.", 411
        if int(length) > MOST_BYTES:
            return f"That is more than {MOST_BYTES // 1_000_000} MB: too large to bring in.", 413
        if not self._is_ours(request):
            return "That change did not come from one of these pages.", 403
        if not hmac.compare_digest(request.headers.get(MARK, ""), self.mark):
            return "The page is older than this server: load it again, then repeat.", 403
        return "", 200

    def _is_host(self, host: str) -> bool:
        name = urlsplit(f"//{host}").hostname if host else None
        return name in self.hosts

    def _is_ours(self, request: Request) -> bool:
        """Origin, where the browser says it, is this very address; the browser tells no other."""
        if request.headers.get("sec-fetch-site", "same-origin") not in ("same-origin", "none"):
            return False
        origin = request.headers.get("origin")
        return origin is None or urlsplit(origin).netloc == request.headers.get("host")


def mark_of_this_computer() -> str:
    """The mark that our pages carry, kept with the user so that it outlives the server."""
    folder = Path(os.environ.get("XDG_STATE_HOME") or Path.home() / ".local" / "state") / "eavewell"
    file = folder / "mark"
    try:
        folder.mkdir(parents=True, exist_ok=True, mode=0o700)
        if not file.exists():
            handle = os.open(file, os.O_CREAT | os.O_EXCL | os.O_WRONLY, 0o600)
            os.write(handle, secrets.token_urlsafe(32).encode())
            os.close(handle)
        return file.read_text(encoding="ascii") or secrets.token_urlsafe(32)
    except OSError:
        return secrets.token_urlsafe(32)


def is_loopback(host: str) -> bool:
    """True for an address that only this computer reaches."""
    try:
        return ipaddress.ip_address(host).is_loopback
    except ValueError:
        return host == "localhost"
