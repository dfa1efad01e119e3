"""The first page stands at once: what only others need is loaded when one of them is asked for."""

from collections.abc import Callable
from threading import Lock
from typing import Any

from starlette.concurrency import run_in_threadpool
from starlette.types import ASGIApp, Scope


class LoadedWhenAsked:
    """Loads the other pages, once, before any address beside those of the first page is looked for.

    load : takes the other pages in.
    """

    def __init__(self, app: ASGIApp, *, load: Callable[[], None]) -> None:
        self.app, self._load = app, load
        self._door, self._loaded = Lock(), False

    async def __call__(self, *asked: Any) -> None:
        """Pass on, when all is there that this may need; others are served meanwhile.

        asked : scope, receive and send, as ASGI hands them.
        """
        scope: Scope = asked[0]
        if not self._loaded and scope["type"] == "http" and not _of_the_first(scope["path"]):
            await run_in_threadpool(self._load_once)
        await self.app(*asked)

    def _load_once(self) -> None:
        with self._door:
            if not self._loaded:
                self._load()
                self._loaded = True


def _of_the_first(path: str) -> bool:
    return path == "/" or path.startswith("/things/")
