"""The units that a command prints in."""

from typing import Annotated, Any

import typer

from eavewell.faults import EavewellFault

ShowIn = Annotated[str, typer.Option("--show", help="us or metric; left out: as the site says.")]


def shown_system(asked: str, usual: str) -> Any:
    """What was asked for, else what is usual; EavewellFault for another word."""
    chosen = asked or usual
    if chosen not in ("us", "metric"):
        raise EavewellFault(f"--show {chosen!r} is not known: say us or metric.")
    return chosen
