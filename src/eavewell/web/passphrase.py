"""The passphrase of sharing: kept as a scrypt hash with the user; wrong ones wait ever longer."""

import hashlib
import hmac
import os
import secrets
from collections.abc import Callable
from dataclasses import dataclass, field
from pathlib import Path
from threading import Lock
from time import monotonic

from eavewell.faults import EavewellFault

FEWEST_LETTERS, MOST_LETTERS = 12, 1_000
COST = {"n": 2**15, "r": 8, "p": 1, "maxmem": 2**26}
FILE = "passphrase"


def set_passphrase(words: str, *, folder: Path) -> None:
    """Keep the hash of a passphrase, readable by the user alone."""
    if not FEWEST_LETTERS <= len(words) <= MOST_LETTERS:
        raise EavewellFault(
            f"A passphrase has at least {FEWEST_LETTERS} letters, at most {MOST_LETTERS}."
        )
    salt = secrets.token_bytes(16)
    beside = folder / f".{FILE}.{secrets.token_hex(4)}"
    handle = os.open(beside, os.O_CREAT | os.O_EXCL | os.O_WRONLY, 0o600)
    with os.fdopen(handle, "w", encoding="ascii") as file:
        file.write(f"{salt.hex()} {_hashed(words, salt).hex()}\n")
    beside.replace(folder / FILE)


def is_passphrase(words: str, *, folder: Path) -> bool:
    """True for the one that was set; compared in constant time."""
    try:
        salt, kept = (folder / FILE).read_text(encoding="ascii").split()
        right, with_salt = bytes.fromhex(kept), bytes.fromhex(salt)
    except (OSError, ValueError):
        return False
    return hmac.compare_digest(_hashed(words[:MOST_LETTERS], with_salt), right)


def has_passphrase(folder: Path) -> bool:
    """True where one was set."""
    return (folder / FILE).is_file()


def _hashed(words: str, salt: bytes) -> bytes:
    return hashlib.scrypt(words.encode("utf-8", "surrogatepass"), salt=salt, **COST)


@dataclass(slots=True)
class _Wrong:
    """Wrong tries in a row, and when the next one is heard."""

    tries: int = 0
    heard_at_s: float = 0.0

    def add(self, now_s: float, *, free: int, longest_s: float) -> None:
        self.tries += 1
        over = self.tries - free
        self.heard_at_s = now_s + (min(2.0 ** min(over, 20), longest_s) if over > 0 else 0.0)


@dataclass(slots=True)
class Waits:
    """How long the next try must wait: by address, and in all, so that many addresses gain nothing.

    free_each, free_all : wrong tries that cost no wait; each one more doubles it.
    """

    clock: Callable[[], float] = monotonic
    free_each: int = 3
    free_all: int = 20
    longest_each_s: float = 900.0
    longest_all_s: float = 60.0
    lock: Lock = field(default_factory=Lock)
    _each: dict[str, _Wrong] = field(default_factory=dict)
    _all: _Wrong = field(default_factory=_Wrong)

    def left_s(self, address: str) -> float:
        """Seconds until a try from this address is heard; 0 for now."""
        one = self._each.get(address, _Wrong())
        return max(0.0, one.heard_at_s - self.clock(), self._all.heard_at_s - self.clock())

    def wrong(self, address: str) -> None:
        """Count a wrong try."""
        now_s = self.clock()
        self._each.setdefault(address, _Wrong()).add(
            now_s, free=self.free_each, longest_s=self.longest_each_s
        )
        self._all.add(now_s, free=self.free_all, longest_s=self.longest_all_s)
        while len(self._each) > 1_000:
            del self._each[next(iter(self._each))]

    def right(self, address: str) -> None:
        """A right one: what was counted is forgotten."""
        self._each.pop(address, None)
        self._all = _Wrong()
