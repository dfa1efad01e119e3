"""Listens to a broker for a site until it is told to stop or is killed."""

import asyncio
import signal
import sys
from datetime import UTC, datetime

from eavewell.files.site.reader import read_site
from eavewell.logbook.store import open_log
from eavewell.logbook.wire.feed import Listener, Patience


async def listen(site, store):
    listener = Listener(
        site,
        store,
        clock=lambda: datetime.now(UTC),
        say=lambda words: print(words, flush=True),
        patience=Patience(0.05, 0.2),
    )
    asyncio.get_running_loop().add_signal_handler(signal.SIGTERM, listener.stop.set)
    print((await listener.listen()).words, flush=True)


def main(file):
    site = read_site(file)
    with open_log(site) as store:
        asyncio.run(listen(site, store))


if __name__ == "__main__":
    main(sys.argv[1])
