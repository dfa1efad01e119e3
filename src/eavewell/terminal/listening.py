"""Listening to a broker until the terminal, or the system, says that it is enough."""

import asyncio
import signal
from datetime import UTC, datetime

from eavewell.logbook.store.store import Store
from eavewell.logbook.wire.feed import Heard, Listener
from eavewell.site.site import Site


def listened(site: Site, store: Store) -> str:
    """What was heard, in a sentence."""
    return asyncio.run(_listen(site, store)).words


async def _listen(site: Site, store: Store) -> Heard:
    listener = Listener(site, store, clock=lambda: datetime.now(UTC), say=_say)
    loop = asyncio.get_running_loop()
    for word in (signal.SIGINT, signal.SIGTERM):
        try:
            loop.add_signal_handler(word, listener.stop.set)
        except NotImplementedError:  # where the system has no such signals for us
            signal.signal(word, lambda *_: loop.call_soon_threadsafe(listener.stop.set))
    return await listener.listen()


def _say(words: str) -> None:
    print(words, flush=True)
