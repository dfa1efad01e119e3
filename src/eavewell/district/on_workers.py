"""Tasks on several processes of this machine, or on a cluster."""

import logging
from collections.abc import Iterable, Iterator
from concurrent.futures import CancelledError
from contextlib import contextmanager
from importlib import import_module
from importlib.util import find_spec
from itertools import islice
from signal import SIG_IGN, SIGINT, signal
from threading import current_thread, main_thread
from typing import Any
from uuid import uuid4

from eavewell.district.tasks import Done, Task, do
from eavewell.faults import EavewellFault, NoConnection

# Tasks that wait at a worker, so that none stands idle and no more lie in memory.
WAITING_EACH = 3
# Workers that may die over one task before it is given up.
DEATHS = 10
CONNECT_S = "20s"
_STAYS = "What is done stays; run it again to go on."


def is_installed() -> bool:
    """Whether work can be shared among processes."""
    return find_spec("distributed") is not None


def on_workers(tasks: Iterable[Task], *, workers: int, scheduler: str = "") -> Iterator[list[Done]]:
    """Run the tasks on so many processes here, or on the workers of a scheduler.

    scheduler : such as tcp://host:8786; its workers must see the same folders. "" starts one here.
    A worker that dies loses nothing: what it had not finished is given to another.
    """
    distributed: Any = import_module("distributed")
    with _client(workers, scheduler) as client:
        waiting = iter(tasks)
        room = WAITING_EACH * max(1, len(client.scheduler_info()["workers"]) or workers)
        begun = distributed.as_completed(_sent(client, islice(waiting, room)))
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
                client = distributed.Client(scheduler, timeout=CONNECT_S)
            except (OSError, ValueError, ImportError):
                raise NoConnection(f"No scheduler answers at {scheduler}.") from None
            with client:
                yield client
            return
        with _deaf():
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


@contextmanager
def _deaf() -> Iterator[None]:
    """Processes begun meanwhile leave Ctrl+C to this one, which stops them."""
    if current_thread() is not main_thread():
        yield
        return
    before = signal(SIGINT, SIG_IGN)
    try:
        yield
    finally:
        signal(SIGINT, before)
