"""Signing in, where the pages are shared: a page of its own, and a cookie that cannot be made."""

import hmac
import secrets
from dataclasses import dataclass, field
from hashlib import sha256
from math import ceil
from pathlib import Path
from time import time
from typing import Annotated, Any, cast

from fastapi import APIRouter, Form, Request
from fastapi.responses import HTMLResponse, JSONResponse, RedirectResponse, Response
from starlette.requests import HTTPConnection
from starlette.types import ASGIApp, Receive, Scope, Send

from eavewell.files.plain_file import reading_within
from eavewell.web.pages import Pages
from eavewell.web.passphrase import Waits, is_passphrase

COOKIE = "eavewell"
LASTS_S = 12 * 3600
# What the sign-in page itself is made of
OPEN = ("/sign-in", "/things/")


@dataclass(slots=True)
class Keys:
    """Who is signed in: cookies are signed by a secret of this run; those signed out are named.

    folder : where the hash of the passphrase lies.
    """

    folder: Path
    waits: Waits = field(default_factory=Waits)
    _secret: bytes = field(default_factory=lambda: secrets.token_bytes(32))
    _ended: set[str] = field(default_factory=set)

    def cookie(self) -> str:
        """A new one, good for LASTS_S."""
        said = f"{int(time()) + LASTS_S}.{secrets.token_hex(16)}"
        return f"{said}.{self._signed(said)}"

    def is_good(self, cookie: str) -> bool:
        """True for one of ours that has neither run out nor been signed out."""
        said, _, signed = cookie.rpartition(".")
        if not hmac.compare_digest(signed.encode(), self._signed(said).encode()):
            return False
        return _lasts_to(said) > time() and said not in self._ended

    def end(self, cookie: str) -> None:
        """Sign out."""
        if self.is_good(cookie):
            self._ended = {one for one in self._ended if _lasts_to(one) > time()}
            self._ended.add(cookie.rpartition(".")[0])

    def try_words(self, words: str, *, address: str) -> float | None:
        """None where the passphrase is right; else the seconds until the next try is heard."""
        with self.waits.lock:
            if left_s := self.waits.left_s(address):
                return left_s
            if is_passphrase(words, folder=self.folder):
                self.waits.right(address)
                return None
            self.waits.wrong(address)
            return self.waits.left_s(address)

    def _signed(self, said: str) -> str:
        return hmac.new(self._secret, said.encode(), sha256).hexdigest()


def _lasts_to(said: str) -> int:
    """Until when a cookie is good, s."""
    return int(said.partition(".")[0])


class ReadWithin:
    """For those who share, nothing is read that lies outside the folder of sites."""

    def __init__(self, app: ASGIApp, folder: Path) -> None:
        self.app, self.folder = app, folder

    async def __call__(self, *asked: Any) -> None:
        """Pass on; asked : scope, receive, send."""
        with reading_within(self.folder):
            await self.app(*cast(tuple[Scope, Receive, Send], asked))


class SignedIn:
    """Lets through who is signed in; others reach the sign-in page alone."""

    def __init__(self, app: ASGIApp, keys: Keys) -> None:
        self.app, self.keys = app, keys

    async def __call__(self, *asked: Any) -> None:
        """Pass on, or send to the sign-in page; asked : scope, receive, send."""
        scope, receive, send = cast(tuple[Scope, Receive, Send], asked)
        if scope["type"] != "http" or scope["path"].startswith(OPEN):
            await self.app(scope, receive, send)
            return
        if self.keys.is_good(HTTPConnection(scope).cookies.get(COOKIE, "")):
            await self.app(scope, receive, send)
            return
        await _sent_to_sign_in(HTTPConnection(scope))(scope, receive, send)


def _sent_to_sign_in(asked: HTTPConnection) -> Response:
    if asked.url.path.endswith(".json"):
        return JSONResponse({"says": ["Sign in first."]}, status_code=401)
    if asked.headers.get("hx-request"):
        return Response(status_code=401, headers={"hx-redirect": "/sign-in"})
    return RedirectResponse("/sign-in", status_code=303)


def router(pages: Pages, keys: Keys) -> APIRouter:
    """The sign-in page, signing in and out."""
    routes = APIRouter(include_in_schema=False)
    pages.templates.globals["shared"] = True

    @routes.get("/sign-in")
    def page() -> HTMLResponse:
        return HTMLResponse(pages.html("sign_in.html", says=""))

    @routes.post("/sign-in")
    def sign_in(request: Request, *, words: Annotated[str, Form()] = "") -> Response:
        address = request.client.host if request.client else ""
        left_s = keys.try_words(words, address=address)
        if left_s is None:
            answer = RedirectResponse("/", status_code=303)
            answer.set_cookie(
                COOKIE, keys.cookie(), max_age=LASTS_S, httponly=True, samesite="strict"
            )
            return answer
        return _not_yet(pages, left_s)

    @routes.post("/sign-out")
    def sign_out(request: Request) -> Response:
        keys.end(request.cookies.get(COOKIE, ""))
        answer = Response(status_code=204, headers={"hx-redirect": "/sign-in"})
        answer.delete_cookie(COOKIE, httponly=True, samesite="strict")
        return answer

    return routes


def _not_yet(pages: Pages, left_s: float) -> HTMLResponse:
    wait_s = ceil(left_s)
    says = "That is not the passphrase."
    if wait_s:
        says = f"Not heard, or not the passphrase: the next try is heard in {wait_s} s."
    headers = {"retry-after": str(wait_s)} if wait_s else {}
    page = pages.html("sign_in.html", says=says)
    return HTMLResponse(page, status_code=429 if wait_s else 403, headers=headers)
