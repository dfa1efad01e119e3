"""A line on which nobody finishes asking is given up."""

import asyncio

from uvicorn.protocols.http.h11_impl import H11Protocol

LONGEST_S = 15.0


class Impatient(H11Protocol):
    """Closes a line whose first request has not been asked in full within LONGEST_S."""

    def connection_made(self, transport: asyncio.Transport) -> None:  # type: ignore[override]
        """Someone has come to the door."""
        super().connection_made(transport)
        self.loop.call_later(LONGEST_S, self._give_up)

    def _give_up(self) -> None:
        asked = getattr(self, "cycle", None)
        if asked is None and not self.transport.is_closing():
            self.transport.close()
