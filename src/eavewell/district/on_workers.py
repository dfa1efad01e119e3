"""Tasks on several processes of this machine, or on a cluster."""

import logging
import sys
from collections.abc import Iterable, Iterator
from concurrent.futures import CancelledError, Future, ThreadPoolExecutor
from contextlib import ExitStack, contextmanager
from importlib import import_module
from importlib.util import find_spec
from itertools import islice
from multiprocessing import resource_tracker
from signal import SIGINT
from typing import Any
from uuid import uuid4

from eavewell.district.tasks import Done, Task, do
from eavewell.faults import EavewellFault, NoConnection

if sys.platform != "win32":
    from signal import SIG_BLOCK, pthread_sigmask

# Tasks that wait at a worker, so that none stands idle and no more lie in memory.
WAITING_EACH = 3
# Workers that may die over one task before it is given up.
DEATHS = 10
CONNECT_S = "20s"
_STAYS = "What is done stays; run it again to go on."


def is_installed() -> bool:
    """Whether work can be shared among processes."""
    return find_spec("distributed") is not None


class Team:
    """Workers that are called together while the table is still read, and leave meanwhile too.

    workers, scheduler : so many processes here, or the workers of a scheduler, such as
    tcp://host:8786, which must see the same folders; "" starts one here.
    Use it in a with statement, which waits until all have left.
    """

    def __init__(self, workers: int, scheduler: str = "") -> None:
        self._workers, self._scheduler = workers, scheduler
        self._caller, self._left = ThreadPoolExecutor(1), ExitStack()
        self._called: Future[Any] | None = None

    def __enter__(self) -> "Team":
        return self

    def __exit__(self, *_: object) -> None:
        with self._caller:
            self._caller.submit(self._left.close).result()

    def call(self) -> None:
        """Call them together, and wait for nothing."""
        if self._called is None:
            self._called = self._caller.submit(self._together)

    def _together(self) -> Any:
        _deaf()
        return self._left.enter_context(_client(self._workers, self._scheduler))

    def done(self, tasks: Iterable[Task]) -> Iterator[list[Done]]:
        """Share the tasks out; what is done, as it is done.

        A worker that dies loses nothing: what it had not finished is given to another.
        """
        distributed: Any = import_module("distributed")
        self.call()
        assert self._called is not None
        client, waiting = self._called.result(), iter(tasks)
        room = WAITING_EACH * max(1, len(client.scheduler_info()["workers"]) or self._workers)
        begun = distributed.as_completed(_sent(client, islice(waiting, room)), loop=client.loop)
        for future in begun:
            try:
                yield future.result()
            except CancelledError:
                raise NoConnection(f"The scheduler was lost. {_STAYS}") from None
            except distributed.KilledWorker:
                raise EavewellFault(
                    f"{DEATHS} workers died over the same roofs: is there enough memory? {_STAYS}"
                ) from None
            for more in _sent(client, islice(waiting, 1)):
                begun.add(more)
        self._caller.submit(self._left.close)


def _sent(client: Any, tasks: Iterable[Task]) -> list[Any]:
    return [client.submit(do, task, key=uuid4().hex) for task in tasks]


def _hush() -> None:
    """What happens to workers is told in our own words, and only what a person can mend."""
    for name in list(logging.root.manager.loggerDict):
        if name.partition(".")[0] == "distributed":
            logging.getLogger(name).setLevel(logging.CRITICAL)


@contextmanager
def _client(workers: int, scheduler: str) -> Iterator[Any]:
    dask, distributed = import_module("dask"), import_module("distributed")
    _hush()
    quiet = {
        "distributed.scheduler.allowed-failures": DEATHS,
        "distributed.admin.large-graph-warning-threshold": "1GB",
        # nobody looks at these measurements, and taking them costs a tenth of a core
        "distributed.worker.profile.enabled": False,
        "distributed.admin.tick.interval": "1s",
        "distributed.admin.system-monitor.interval": "10s",
    }
    with dask.config.set(quiet):
        if scheduler:
            try:
                # one that is no address is refused before there is a client to be closed
                distributed.comm.get_address_host_port(scheduler)
                client = distributed.Client(scheduler, timeout=CONNECT_S)
            except (OSError, ValueError, ImportError):
                raise NoConnection(f"No scheduler answers at {scheduler}.") from None
            with client:
                yield client
            return
        cluster = distributed.LocalCluster(
            n_workers=workers,
            threads_per_worker=1,
            processes=True,
            # no page of its own, and whatever port is free
            dashboard_address="127.0.0.1:0",
            scheduler_kwargs={"dashboard": False},
            memory_limit=0,
        )
        with cluster, distributed.Client(cluster) as client:
            client.run(_hush)
            yield client


def _deaf() -> None:
    """What this thread begins leaves Ctrl+C to the main thread, which stops it."""
    if sys.platform != "win32":
        # where it is begun later, it lets the signal through again
        resource_tracker.ensure_running()
        pthread_sigmask(SIG_BLOCK, {SIGINT})
