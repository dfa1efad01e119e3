"""Readings that sensors send to a message broker, taken into the log as they come.

What a sensor sent with quality of service 1 or 2 is acknowledged to the broker only when it is on
the disk of the log. The broker keeps for us, by a name that stays, what comes while we are away or
it is begun anew; it does so up to its own limit. So nothing is lost, but after a break a message
may come twice: where it carries its own time it is once in the log all the same.
"""

import asyncio
from collections import Counter
from collections.abc import AsyncIterator, Callable, Mapping, Sequence
from contextlib import AbstractAsyncContextManager, asynccontextmanager
from dataclasses import dataclass, field, replace
from datetime import datetime, timedelta
from hashlib import sha256
from typing import Any, Protocol

import aiomqtt

from eavewell.faults import BadLog
from eavewell.logbook.store.arriving import Added
from eavewell.logbook.wire.encrypted import encrypted, refusal
from eavewell.logbook.wire.messages import Message, fed, reading_in
from eavewell.logbook.wire.passwords import sign_in
from eavewell.site.entry import Reading
from eavewell.site.gauge import Gauge
from eavewell.site.site import Site

_TLS_PORT = 8883
_ANSWERS_WITHIN_S = 10.0
_AT_ONCE, _GATHERED_S = 200, 0.05
_STATES = {"here": "listening", "gone": "not listening", "lost": "lost"}


class Keeps(Protocol):
    """What readings are written into."""

    def add(self, entries: Sequence[Reading], *, now: datetime) -> Added:
        """Write them; on return they are on the disk."""
        ...


@dataclass(frozen=True, slots=True)
class Patience:
    """How long is waited before the broker, or the disk, is tried again: longer each time."""

    first_s: float = 1.0
    most_s: float = 60.0

    def after(self, waited_s: float) -> float:
        """The next wait."""
        return min(self.most_s, 2.0 * waited_s) if waited_s else self.first_s


@dataclass(slots=True)
class Heard:
    """What was heard so far.

    new, already : readings written, and those that were in the log. left_out : messages by the
    reason's first words, and sentences that were said of them.
    """

    new: int = 0
    already: int = 0
    left_out: Counter[str] = field(default_factory=Counter)

    @property
    def words(self) -> str:
        """A sentence."""
        left = sum(self.left_out.values())
        out = f" {left:,} messages were left out." if left else ""
        return f"{self.new:,} readings were written, {self.already:,} were there already.{out}"


@dataclass(slots=True)
class Listener:
    """Takes what a broker says into a log until it is told to stop.

    clock : tells now, with its offset. say : is given sentences for whoever reads them.
    """

    site: Site
    store: Keeps
    clock: Callable[[], datetime]
    say: Callable[[str], None]
    patience: Patience = field(default_factory=Patience)
    heard: Heard = field(default_factory=Heard)
    stop: asyncio.Event = field(default_factory=asyncio.Event)
    _latest: dict[str, datetime] = field(default_factory=dict)

    async def listen(self) -> Heard:
        """Listen, and come back to a broker that went away.

        Raises BadLog where the site has no broker or no gauge is fed.
        """
        topics = fed(self.site)
        if not self.site.log.broker or not topics:
            raise BadLog(
                "Nothing is fed: give [log] its broker, and a gauge its feed, in the site file."
            )
        waited_s = 0.0
        while not self.stop.is_set():
            try:
                async with _listening(self.site) as client:
                    waited_s = 0.0
                    await self._greet(client, topics)
                    await self._take_all(client, topics)
                    await client.publish(status_topic(self.site), _STATES["gone"], 1, retain=True)
            except aiomqtt.MqttError as broken:
                if self.stop.is_set():
                    break
                waited_s = self.patience.after(waited_s)
                self.say(
                    f"{self.site.log.broker}: {refusal(broken)}; tried again in {waited_s:g} s."
                )
                await self._rest(waited_s)
        return self.heard

    async def _greet(self, client: aiomqtt.Client, topics: Mapping[str, Sequence[Gauge]]) -> None:
        await client.subscribe([(topic, 1) for topic in topics])
        await client.publish(status_topic(self.site), _STATES["here"], 1, retain=True)
        self.say(f"Listening at {self.site.log.broker} to {', '.join(topics)}.")

    async def _take_all(
        self, client: aiomqtt.Client, topics: Mapping[str, Sequence[Gauge]]
    ) -> None:
        stopped: asyncio.Future[Any] = asyncio.ensure_future(self.stop.wait())
        waiting: asyncio.Future[Any] = asyncio.ensure_future(anext(client.messages))
        try:
            while not self.stop.is_set():
                await asyncio.wait({waiting, stopped}, return_when=asyncio.FIRST_COMPLETED)
                gathered: list[aiomqtt.Message] = []
                while waiting.done() and not waiting.exception() and len(gathered) < _AT_ONCE:
                    gathered.append(waiting.result())
                    waiting = asyncio.ensure_future(anext(client.messages))
                    await asyncio.wait({waiting}, timeout=_GATHERED_S)
                if gathered and await self._write(gathered, topics):
                    _acknowledge(client, gathered)
                if waiting.done() and (gone := waiting.exception()):
                    raise gone
        finally:
            stopped.cancel()
            waiting.cancel()
            await asyncio.gather(stopped, waiting, return_exceptions=True)

    async def _write(
        self, gathered: Sequence[aiomqtt.Message], topics: Mapping[str, Sequence[Gauge]]
    ) -> bool:
        """Write what came; tried again while the log cannot take it, False where that was ended."""
        readings = [one for message in gathered for one in self._readings(message, topics)]
        waited_s = 0.0
        while readings:
            try:
                added = await asyncio.to_thread(self.store.add, readings, now=self.clock())
            except BadLog as refused:
                waited_s = self.patience.after(waited_s)
                self.say(f"{refused} The broker keeps what comes; tried again in {waited_s:g} s.")
                await self._rest(waited_s)
                if self.stop.is_set():
                    return False
            else:
                self._count(added)
                break
        return True

    def _readings(
        self, message: aiomqtt.Message, topics: Mapping[str, Sequence[Gauge]]
    ) -> list[Reading]:
        topic = str(message.topic)
        payload = message.payload if isinstance(message.payload, bytes) else b""
        one = Message(topic, payload, self.clock(), kept=message.retain)
        found = []
        for gauge in topics.get(topic, ()):
            try:
                reading = reading_in(one, gauge, zone=self.site.log.zone)
                found.append(self._apart(reading, gauge))
            except BadLog as refused:
                self._leave_out(str(refused))
        return found

    def _apart(self, reading: Reading, gauge: Gauge) -> Reading:
        """What arrives in one instant was not measured in one: each is set a little later."""
        if gauge.feed is None or gauge.feed.time_at:
            return reading
        latest = self._latest.get(gauge.name)
        at = reading.at
        if latest is not None and at < latest + timedelta(milliseconds=1):
            at = latest + timedelta(milliseconds=1)
        self._latest[gauge.name] = at
        return replace(reading, at=at)

    def _leave_out(self, says: str) -> None:
        reason = says.rpartition(": ")[0]
        if reason not in self.heard.left_out:
            self.say(f"{says} More of the same are counted, not told.")
        self.heard.left_out[reason] += 1

    def _count(self, added: Added) -> None:
        self.heard.new += added.new
        self.heard.already += added.already
        for one in added.differs:
            self._leave_out(
                f"{one.gauge}: another reading stands at the time it gives: "
                f"'{one.at:%Y-%m-%d %H:%M:%S}' was left out."
            )

    async def _rest(self, seconds: float) -> None:
        try:
            await asyncio.wait_for(self.stop.wait(), seconds)
        except TimeoutError:
            return


def status_topic(site: Site) -> str:
    """Where it stands whether somebody listens."""
    return f"eavewell/{_name(site)}/log"


def _name(site: Site) -> str:
    """The name by which the broker knows us again: of the site and where its log is kept."""
    return sha256(f"{site.name} {site.log.kept_in}".encode()).hexdigest()[:12]


@asynccontextmanager
async def at_broker(
    site: Site, *, written_first: bool = False, **settings: Any
) -> AsyncIterator[aiomqtt.Client]:
    """A client connected with the site's broker, encrypted on its usual port for that.

    written_first : messages are acknowledged by who takes them, not when they are handed over.
    Raises aiomqtt.MqttError where it cannot be reached, or goes away.
    """
    us = sign_in("BROKER", site.log.broker)
    host, _, port = site.log.broker.rpartition(":")
    if int(port) == _TLS_PORT:
        settings["tls_context"] = encrypted()
    client = aiomqtt.Client(
        host.strip("[]"),
        int(port),
        username=us.user,
        password=us.password,
        timeout=_ANSWERS_WITHIN_S,
        **settings,
    )
    client._client.manual_ack_set(written_first)
    try:
        async with client:
            yield client
    finally:
        # a broker that took the call and said nothing would be left on the line
        client._client.disconnect()


def _listening(site: Site) -> AbstractAsyncContextManager[aiomqtt.Client]:
    return at_broker(
        site,
        written_first=True,
        identifier=f"eavewell-{_name(site)}",
        clean_session=False,
        will=aiomqtt.Will(status_topic(site), _STATES["lost"], qos=1, retain=True),
    )


def _acknowledge(client: aiomqtt.Client, written: Sequence[aiomqtt.Message]) -> None:
    """Tell the broker, in the order in which they came, that they need not be kept."""
    for message in written:
        if message.qos:
            client._client.ack(message.mid, message.qos)
