"""A database and a message broker of the tests' own, on free ports, gone when they are done."""

import os
import pwd
import shutil
import socket
import subprocess
import tempfile
import time
from contextlib import contextmanager, suppress
from pathlib import Path

import pytest

LOOPBACK = "127.0.0.1"
LONGEST_S = 20.0


def unproven(says):
    """Where a program is missing: failed where proof is asked, left out elsewhere."""
    if os.environ.get("CI"):
        pytest.fail(says)
    pytest.skip(says)


def free_port():
    with socket.socket() as free:
        free.bind((LOOPBACK, 0))
        return free.getsockname()[1]


def wait_for(there, what):
    end = time.monotonic() + LONGEST_S
    while not there():
        assert time.monotonic() < end, f"{what} did not come"
        time.sleep(0.02)


def listens(port):
    with suppress(OSError), socket.create_connection((LOOPBACK, port), timeout=1):
        return True
    return False


def _program(name, package, *folders):
    found = shutil.which(name) or next((f for one in folders for f in Path("/").glob(one)), None)
    return found or unproven(f"there is no {name}: install {package}")


class Postgres:
    """A cluster in a folder of its own; run by another user where we are root."""

    def __init__(self, folder):
        initdb = _program("initdb", "postgresql", "usr/lib/postgresql/*/bin/initdb")
        self.server = Path(initdb).resolve().parent / "postgres"
        self.folder, self.port = folder, free_port()
        self.as_user = self._another() if os.geteuid() == 0 else {}
        if self.as_user:
            shutil.chown(folder, "postgres")
        self._run([initdb, "-D", folder / "data", "-U", "eavewell", "-A", "trust", "--no-sync"])

    @staticmethod
    def _another():
        """The user that the package made: a database server refuses to be run by root."""
        try:
            pwd.getpwnam("postgres")
        except KeyError:
            unproven("there is no user postgres by whom the database could be run")
        return {"user": "postgres", "group": "postgres", "extra_groups": []}

    def _run(self, words):
        subprocess.run(
            words, check=True, stdout=subprocess.DEVNULL, cwd=self.folder, **self.as_user
        )

    @contextmanager
    def running(self):
        at = ["-p", str(self.port), "-k", self.folder, "-h", LOOPBACK, "-F"]
        with (self.folder / "said").open("wb") as said:
            server = subprocess.Popen(
                [self.server, "-D", self.folder / "data", *at],
                stdout=said,
                stderr=said,
                cwd=self.folder,
                **self.as_user,
            )
        try:
            wait_for(lambda: listens(self.port) and self._ready(), "the database")
            yield self
        finally:
            server.terminate()
            server.wait(LONGEST_S)

    def _ready(self):
        return "ready to accept" in (self.folder / "said").read_text(errors="replace")

    def database(self, name):
        """The address of a new database."""
        with self.speaking() as connection:
            connection.autocommit = True
            connection.cursor().execute(f'CREATE DATABASE "{name}"')
        return f"postgresql://eavewell@{LOOPBACK}:{self.port}/{name}"

    @contextmanager
    def speaking(self, database="postgres"):
        import pg8000.dbapi

        connection = pg8000.dbapi.connect(
            "eavewell", host=LOOPBACK, port=self.port, database=database
        )
        try:
            yield connection
        finally:
            connection.close()


@contextmanager
def postgres():
    folder = Path(tempfile.mkdtemp(prefix="eavewell-"))
    try:
        with Postgres(folder).running() as running:
            yield running
    finally:
        shutil.rmtree(folder)


class Mosquitto:
    """A broker that keeps what it holds in a file, so that it can be stopped and begun again."""

    def __init__(self, folder, *lines):
        self.program = _program("mosquitto", "mosquitto", "usr/sbin/mosquitto")
        self.folder, self.port, self.server = Path(folder), free_port(), None
        self.folder.mkdir(exist_ok=True)
        self.settings = self.folder / "mosquitto.conf"
        told = [f"listener {self.port} {LOOPBACK}", "allow_anonymous true", "persistence true"]
        if os.geteuid() == 0:
            told.append("user root")
        kept = f"persistence_location {self.folder}/"
        self.settings.write_text("\n".join([*told, kept, *lines, ""]))

    @property
    def address(self):
        return f"{LOOPBACK}:{self.port}"

    def begin(self):
        with (self.folder / "said").open("ab") as said:
            self.server = subprocess.Popen(
                [self.program, "-c", self.settings], stdout=said, stderr=said
            )
        wait_for(lambda: listens(self.port), "the broker")

    def stop(self):
        """As a computer is shut down: what it holds is written first."""
        if self.server is not None:
            self.server.terminate()
            self.server.wait(LONGEST_S)
            self.server = None
