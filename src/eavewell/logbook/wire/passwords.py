"""Names and passwords from the environment, each for one server and sent to no other."""

import os
from dataclasses import dataclass

from eavewell.faults import BadLog


@dataclass(frozen=True, slots=True)
class SignIn:
    """Who we are to a server; None where nothing is stated."""

    user: str | None
    password: str | None


def sign_in(what: str, server: str) -> SignIn:
    """What the environment says for a server, such as EAVEWELL_MAIL_USER for "MAIL".

    A site file may come from anybody: a password goes only to the server that the environment
    names beside it.
    Raises BadLog where that is another, or none.
    """
    user, password, ours = (
        os.environ.get(f"EAVEWELL_{what}_{name}") for name in ("USER", "PASSWORD", "SERVER")
    )
    if (user or password) and server != ours:
        raise BadLog(
            f"EAVEWELL_{what}_PASSWORD is not sent to {server}, as a site file may come from "
            f"anybody: set EAVEWELL_{what}_SERVER to {server} if it is meant for that."
        )
    return SignIn(user or None, password or None)
