"""What every request must pass: who asks, from where, with which mark, and how much it brings."""

import asyncio
import hmac
import ipaddress
import os
import secrets
import sys
import traceback
from pathlib import Path
from typing import Any, cast
from urllib.parse import urlsplit

from starlette.datastructures import Headers, MutableHeaders
from starlette.exceptions import HTTPException
from starlette.responses import JSONResponse, PlainTextResponse, Response
from starlette.types import ASGIApp, Message, Receive, Scope, Send

CHANGES = {"POST", "PUT", "PATCH", "DELETE"}
MOST_BYTES = 25_000_000
MOST_ADDRESS = 4_000
SLOWEST_S = 60.0
MARK = "x-eavewell-mark"
# A form without scripts cannot carry the mark; it must say that it comes from here.
WITHOUT_MARK = {"/sign-in"}
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
    # Another policy than none: a form without scripts is told from a stranger's by its origin.
    "Referrer-Policy": "same-origin",
    "Cross-Origin-Opener-Policy": "same-origin",
    "Cross-Origin-Resource-Policy": "same-origin",
    "Cache-Control": "no-store",
}
TOO_LARGE = f"That is more than {MOST_BYTES // 1_000_000} MB: too large to bring in."
OUR_FAULT = "A fault of ours, not of your input. Nothing was changed that was not said to be."


class Guard:
    """Lets through what comes from our own pages, and nothing else.

    hosts : names under which the pages may be asked for, without port.
    mark  : what a change must carry, so that no other page can make one.
    """

    def __init__(self, app: ASGIApp, *, hosts: frozenset[str], mark: str) -> None:
        self.app, self.hosts, self.mark = app, hosts, mark

    async def __call__(self, *asked: Any) -> None:
        """Refuse with one sentence, or pass on; every answer gets the headers.

        asked : scope, receive and send, as ASGI hands them.
        """
        scope, receive, send = cast(tuple[Scope, Receive, Send], asked)
        if scope["type"] == "lifespan":
            await self.app(scope, receive, send)
            return
        if scope["type"] != "http":
            return
        answer = _Answer(send, bare=scope["method"] == "HEAD")
        says, status = self._refused(scope)
        if says:
            await _told(scope, says, status=status)(scope, receive, answer.send)
            return
        if scope["method"] == "HEAD":
            scope = {**scope, "method": "GET"}
        await self._passed_on(scope, _Body(receive).receive, answer=answer)

    async def _passed_on(self, scope: Scope, receive: Receive, *, answer: "_Answer") -> None:
        try:
            await self.app(scope, receive, answer.send)
        except Exception:
            traceback.print_exc(file=sys.stderr)
            if answer.begun:
                raise
            await _told(scope, OUR_FAULT, status=500)(scope, receive, answer.send)

    def _refused(self, scope: Scope) -> tuple[str, int]:
        """The sentence and its status; "" where nothing is wrong."""
        headers = Headers(scope=scope)
        if not self._is_host(headers.getlist("host")):
            return "These pages are not served under that name.", 400
        if len(scope.get("raw_path") or b"") > MOST_ADDRESS:
            return "That address is too long.", 414
        if scope["method"] not in CHANGES:
            return "", 200
        return self._change_refused(headers, scope["path"])

    def _change_refused(self, headers: Headers, path: str) -> tuple[str, int]:
        length = headers.get("content-length", "0")
        if not (length.isascii() and length.isdecimal()) or "transfer-encoding" in headers:
            return "How large the upload is must be said beforehand.", 411
        if len(length) > 12 or int(length) > MOST_BYTES:
            return TOO_LARGE, 413
        if not _is_ours(headers, must_say=path in WITHOUT_MARK):
            return "That change did not come from one of these pages.", 403
        mark = headers.get(MARK, "").encode()
        if path not in WITHOUT_MARK and not hmac.compare_digest(mark, self.mark.encode()):
            return "The page is older than this server: load it again, then repeat.", 403
        return "", 200

    def _is_host(self, said: list[str]) -> bool:
        """One Host, and one of ours."""
        try:
            return len(said) == 1 and urlsplit(f"//{said[0]}").hostname in self.hosts
        except ValueError:
            return False


def _told(scope: Scope, says: str, *, status: int) -> Response:
    """One sentence, as data where data was asked for."""
    if scope["path"].endswith(".json"):
        return JSONResponse({"says": [says]}, status)
    return PlainTextResponse(says + "\n", status)


def _is_ours(headers: Headers, *, must_say: bool) -> bool:
    """Origin, where the browser says it, is this very address; the browser tells no other."""
    if headers.get("sec-fetch-site", "same-origin") not in ("same-origin", "none"):
        return False
    origin = headers.get("origin")
    if origin is None:
        return not must_say
    try:
        return urlsplit(origin).netloc == headers.get("host")
    except ValueError:
        return False


class _Body:
    """What comes in, counted and timed: a body may lie about its length, or never end."""

    def __init__(self, receive: Receive) -> None:
        self._receive, self._bytes, self._ended = receive, 0, False

    async def receive(self) -> Message:
        """The next piece; HTTPException where it is one too many or does not come."""
        if self._ended:
            return await self._receive()
        try:
            message = await asyncio.wait_for(self._receive(), SLOWEST_S)
        except TimeoutError:
            raise HTTPException(408, "The upload came too slowly and was given up.") from None
        self._bytes += len(message.get("body", b""))
        self._ended = not message.get("more_body", False)
        if self._bytes > MOST_BYTES:
            raise HTTPException(413, TOO_LARGE)
        return message


class _Answer:
    """What goes out: with our headers; bare : without its body, as HEAD asks."""

    def __init__(self, send: Send, *, bare: bool) -> None:
        self._send, self._bare, self.begun = send, bare, False

    async def send(self, message: Message) -> None:
        """One piece of the answer."""
        if message["type"] == "http.response.start":
            self.begun = True
            headers = MutableHeaders(scope=message)
            for name, value in HEADERS.items():
                headers.setdefault(name, value)
        elif self._bare:
            message = {**message, "body": b""}
        await self._send(message)


def state_folder() -> Path:
    """Where what belongs to the user rather than to a site is kept; made where missing."""
    folder = Path(os.environ.get("XDG_STATE_HOME") or Path.home() / ".local" / "state") / "eavewell"
    folder.mkdir(parents=True, exist_ok=True, mode=0o700)
    return folder


def mark_of_this_computer() -> str:
    """The mark that our pages carry, kept with the user so that it outlives the server."""
    try:
        file = state_folder() / "mark"
        if not file.exists():
            handle = os.open(file, os.O_CREAT | os.O_EXCL | os.O_WRONLY, 0o600)
            os.write(handle, secrets.token_urlsafe(32).encode())
            os.close(handle)
        return file.read_text(encoding="ascii") or secrets.token_urlsafe(32)
    except (OSError, ValueError):
        return secrets.token_urlsafe(32)


def is_loopback(host: str) -> bool:
    """True for an address that only this computer reaches."""
    try:
        return ipaddress.ip_address(host).is_loopback
    except ValueError:
        return host == "localhost"
