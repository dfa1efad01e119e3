"""Writes into a log until it is killed, saying on its output what it was told is on the disk."""

import os
import sys
from datetime import UTC, datetime, timedelta

import alembic.command  # noqa: F401 - so that it is there before the writers are begun
import numpy as np

from eavewell.logbook.kept import ManyReadings
from eavewell.logbook.store import open_log
from eavewell.logbook.store.arriving import Origin
from eavewell.site.entry import Note, Reading
from eavewell.site.gauge import Log
from eavewell.site.place import Place
from eavewell.site.rain import Rain
from eavewell.site.site import Site

START = datetime(2027, 1, 1, tzinfo=UTC)
QUARTER = timedelta(minutes=15)
FILE_ROWS = 1_500
MS = FILE_ROWS * 15 * 60 * 1000  # from the first of a file to the first of the next


def site_in(folder):
    log = Log(zone="America/Chicago")
    return Site("w", Place(30.0, -98.0, 400.0), Rain("r"), (), (), (), folder=folder, log=log)


def file_of(number):
    """A whole import: one gauge's readings of some weeks."""
    at = np.datetime64("2020-01-01", "ms") + (
        np.arange(FILE_ROWS) + number * FILE_ROWS
    ) * np.timedelta64(15, "m")
    return ManyReadings("file", at, np.arange(FILE_ROWS) + float(number), how="ultrasonic")


def write_on(folder, first):
    """One reading and one note, a whole file at every third, and so on without end."""
    with open_log(site_in(folder)) as store:
        say("open")
        number = first
        while True:
            at = START + number * QUARTER
            store.add([Reading("stick", at, float(number)), Note(at, f"note {number}")])
            say(f"wrote {number}")
            if number % 3 == 0:
                store.add([file_of(number)], origin=Origin(f"{number}.csv", f"digest {number}"))
                say(f"brought {number}")
            number += 1


def say(words):
    os.write(1, f"{words}\n".encode())


def main():
    """Begin a writer for every number and folder read, and say when it was killed."""
    for line in sys.stdin:
        first, _, folder = line.strip().partition(" ")
        if not (one := os.fork()):
            write_on(folder, int(first))
        say(f"begun {one}")
        os.waitpid(one, 0)
        say("ended")


if __name__ == "__main__":
    main()
