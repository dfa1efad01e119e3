"""Errors in the words of the trade.

EavewellFault                  everything that a person can mend; carries one Fault or many
├── BadQuantity                text that is not a size with a unit we know
├── BadSite                    a site file that cannot be read as a system
├── BadRecord                  a rain record that cannot be trusted
├── BadRoofs                   a table of roofs, or of gauges, that cannot be screened
├── BadPrices                  a price book that cannot be reckoned with
├── BadRules                   an authority's file that cannot be read
├── BadLog                     a log, an entry or a file of readings that cannot be taken
├── BadPicture                 a picture that cannot be laid beneath a plan
├── BadTable                   a published value without a source, or a table row out of shape
├── OutOfRange                 a method asked beyond the range its source states
└── NoConnection               the network could not be reached; says the file way
"""

from collections.abc import Iterable
from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Fault:
    """One thing that is wrong, said so that it can be put right.

    says  : a whole sentence naming the thing, the value and the way out.
    where : the thing it belongs to, e.g. "tank 'main'" or "column 'PRCP'".
    file  : the file it was found in, as the user named it.
    line  : line in that file, counted from 1; None where there is none.
    address : the way down to it in the file, such as ("tank", 0, "each"); empty where it has none.
    """

    says: str
    where: str = ""
    file: str = ""
    line: int | None = None
    address: tuple[str | int, ...] = ()

    def __str__(self) -> str:
        at = self.file if self.line is None else f"{self.file or 'line'}:{self.line}"
        return ": ".join(part for part in (at, self.where, self.says) if part)


class EavewellFault(Exception):
    """Something a person can mend; every fault found is listed, not only the first."""

    def __init__(self, faults: str | Fault | Iterable[Fault]) -> None:
        if isinstance(faults, str):
            faults = Fault(faults)
        self.faults: tuple[Fault, ...] = (faults,) if isinstance(faults, Fault) else tuple(faults)
        super().__init__("\n".join(str(fault) for fault in self.faults))


class BadQuantity(EavewellFault):
    """Text that is not a size with a unit we know."""


class BadSite(EavewellFault):
    """A site file that cannot be read as a system."""


class BadRecord(EavewellFault):
    """A rain record that cannot be trusted."""


class BadRoofs(EavewellFault):
    """A table of roofs, or of gauges, that cannot be screened."""


class BadPrices(EavewellFault):
    """A price book that cannot be reckoned with."""


class BadRules(EavewellFault):
    """An authority's file that cannot be read."""


class BadLog(EavewellFault):
    """A log, an entry or a file of readings that cannot be taken."""


class BadPicture(EavewellFault):
    """A picture that cannot be laid beneath a plan."""


class BadTable(EavewellFault):
    """A published value without a source, or a table row out of shape."""


class OutOfRange(EavewellFault):
    """A method asked beyond the range its source states."""


class NoConnection(EavewellFault):
    """The network could not be reached; the message names the way by file."""
