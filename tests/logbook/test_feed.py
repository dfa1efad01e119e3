"""A feed from a broker of the tests' own: nothing lost while it, or the listener, is away."""

import asyncio
import gc
import json
import random
import signal
import socket
import subprocess
import sys
import threading
import time
from contextlib import contextmanager
from datetime import UTC, datetime, timedelta
from pathlib import Path

import paho.mqtt.client as mqtt
import pytest
from paho.mqtt.enums import CallbackAPIVersion

from eavewell.faults import BadLog
from eavewell.files.site.new_site import starter_text
from eavewell.files.site.reader import read_site
from eavewell.logbook.store import open_log
from eavewell.logbook.store.arriving import Added
from eavewell.logbook.wire import feed
from eavewell.logbook.wire.feed import Listener, Patience, status_topic

LISTENER = Path(__file__).parent / "listener.py"
START = datetime(2024, 3, 4, tzinfo=UTC)
GAUGES = """
[log]
zone = "America/Chicago"
broker = "{broker}"
[[log.gauge]]
name = "eye"
measures = "level"
of = "main"
how = "ultrasonic"
zero = "3 m"
unit = "mm"
least = 100
feed = {{ topic = "barn/eye", at = "tank.distance", scale = 10, time = "at" }}
[[log.gauge]]
name = "house meter"
measures = "meter"
how = "pulse counter"
per_pulse = "5 L"
feed = {{ topic = "barn/pulses" }}
"""


@pytest.fixture
def broker(servers, tmp_path):
    made = servers.Mosquitto(tmp_path / "broker")
    made.begin()
    yield made
    made.stop()


@pytest.fixture
def site(broker, tmp_path):
    folder = tmp_path / "site"
    folder.mkdir()
    text = starter_text("whole-house") + GAUGES.format(broker=broker.address)
    (folder / "site.toml").write_text(text, encoding="utf-8")
    return read_site(folder / "site.toml")


class Sensor:
    """Sends with quality of service 1, and waits until the broker has it."""

    def __init__(self, broker):
        self.client = mqtt.Client(CallbackAPIVersion.VERSION2, "sensor")
        self.client.connect("127.0.0.1", broker.port)
        self.client.loop_start()

    def say(self, topic, words, **how):
        sent = self.client.publish(topic, words, **{"qos": 1} | how)
        sent.wait_for_publish(20)

    def eye(self, number, cm=150.0):
        at = (START + number * timedelta(minutes=15)).isoformat()
        self.say("barn/eye", json.dumps({"tank": {"distance": cm + number / 100}, "at": at}))

    def close(self):
        self.client.disconnect()
        self.client.loop_stop()


@contextmanager
def sensor(broker):
    one = Sensor(broker)
    try:
        yield one
    finally:
        one.close()


class Running:
    """A listener in a process of its own, and what it said."""

    def __init__(self, site):
        self.process = subprocess.Popen(
            [sys.executable, LISTENER, f"{site.folder}/site.toml"],
            stdout=subprocess.PIPE,
            text=True,
        )
        self.said = []
        self.reader = threading.Thread(target=self._read)
        self.reader.start()

    def _read(self):
        for line in self.process.stdout:
            self.said.append(line.strip())

    def heard(self, words):
        return any(words in line for line in self.said)

    def end(self, by=signal.SIGTERM):
        self.process.send_signal(by)
        self.process.wait(20)
        self.reader.join()
        self.process.stdout.close()


@pytest.fixture
def running(site, servers):
    """Begins listeners; whatever still runs at the end is ended."""
    begun = []

    def begin():
        one = Running(site)
        begun.append(one)
        servers.wait_for(lambda: one.heard("Listening at"), "the listener")
        return one

    yield begin
    for one in begun:
        if one.process.poll() is None:
            one.end(signal.SIGKILL)


def numbers(store):
    """Which of the sensor's messages are in the log, by their time; each instant is there once."""
    since = store.readings("eye").at_utc.astype("datetime64[s]").astype(object)
    return [int((at.replace(tzinfo=UTC) - START) / timedelta(minutes=15)) for at in since]


def test_json_and_plain_numbers_come_into_the_log(broker, site, running, servers):
    listener = running()
    with sensor(broker) as sends, open_log(site) as store:
        sends.eye(3)
        for pulses in (250, 250, 252):
            sends.say("barn/pulses", str(pulses))
        sends.say("barn/pulses", "unavailable")
        sends.say("barn/pulses", "unavailable")
        sends.say("barn/eye", "{}")
        sends.say("barn/eye", '{"tank": {"distance": 1}, "at": "2024-03-04T00:00Z"}')
        servers.wait_for(lambda: store.readings("house meter").count == 3, "the pulses")
        assert store.last("eye").value == pytest.approx(1.5003)
        assert store.last("eye").at == START + timedelta(minutes=45)
        assert store.readings("house meter").value.tolist() == [1250.0, 1250.0, 1260.0]
        age = datetime.now(UTC) - store.last("house meter").at
        assert abs(age) < timedelta(minutes=1)
    listener.end()
    assert listener.process.returncode == 0
    assert listener.said[-1] == (
        "4 readings were written, 0 were there already. 4 messages were left out."
    )
    assert sum("barn/pulses: its figure is no number" in line for line in listener.said) == 1


def test_what_the_broker_kept_comes_when_the_listener_is_back(broker, site, running, servers):
    running().end()
    with sensor(broker) as sends:
        for number in range(150):
            sends.eye(number)
    # the broker is begun anew too: it has written down what it keeps
    broker.stop()
    broker.begin()
    running()
    with open_log(site) as store:
        servers.wait_for(lambda: len(numbers(store)) == 150, "what was kept")
        assert numbers(store) == list(range(150))


def test_a_broker_begun_anew_under_the_listener_loses_nothing(broker, site, running, servers):
    listener = running()
    for part in range(2):
        with sensor(broker) as sends:
            for number in range(40 * part, 40 * part + 40):
                sends.eye(number)
        broker.stop()
        broker.begin()
    with open_log(site) as store:
        servers.wait_for(lambda: len(numbers(store)) == 80, "everything")
        assert numbers(store) == list(range(80))
    assert listener.heard("tried again in")


def test_killed_again_and_again_every_message_is_once_in_the_log(broker, site, running, servers):
    lots = random.Random(20270304)
    running().end()
    with sensor(broker) as sends:
        sending = threading.Thread(target=lambda: [sends.eye(number) for number in range(250)])
        sending.start()
        for _ in range(3):
            listener = running()
            time.sleep(lots.uniform(0.0, 0.15))
            listener.end(signal.SIGKILL)
        sending.join()
    running()
    with open_log(site) as store:
        servers.wait_for(lambda: len(numbers(store)) == 250, "everything")
        assert numbers(store) == list(range(250))


def test_the_broker_tells_whether_somebody_listens(broker, site, running, servers):
    told = []
    watcher = mqtt.Client(CallbackAPIVersion.VERSION2, "watcher")
    watcher.on_message = lambda client, data, message: told.append(message.payload.decode())
    watcher.connect("127.0.0.1", broker.port)
    watcher.subscribe(status_topic(site), 1)
    watcher.loop_start()
    try:
        listener = running()
        servers.wait_for(lambda: told[-1:] == ["listening"], "word of it")
        listener.end(signal.SIGKILL)
        servers.wait_for(lambda: told[-1:] == ["lost"], "the last will")
        running().end()
        servers.wait_for(lambda: told[-1:] == ["not listening"], "the end")
    finally:
        watcher.disconnect()
        watcher.loop_stop()


def known_to_broker(site, store):
    """The broker keeps from now on what comes for the site."""
    said = []
    listened(site, store, until=lambda: said, say=said.append)


class Refusing:
    """Cannot write at first, as on a full disk; what was told to it is kept."""

    def __init__(self, store, times):
        self.store, self.times, self.asked = store, times, 0

    def add(self, entries, *, now):
        self.asked += 1
        if self.asked <= self.times:
            raise BadLog("There is no room left on the disk.")
        return self.store.add(entries, now=now)


def listened(site, store, *, until, say=lambda words: None):
    """Listens within this process until something is so, or for some seconds."""

    async def run():
        listener = Listener(
            site, store, clock=lambda: datetime.now(UTC), say=say, patience=Patience(0.05, 0.1)
        )
        listening = asyncio.create_task(listener.listen())
        end = time.monotonic() + 20
        while not until() and not listening.done() and time.monotonic() < end:
            await asyncio.sleep(0.02)
        listener.stop.set()
        return await listening

    return asyncio.run(run())


def test_a_full_disk_holds_the_messages_at_the_broker(broker, site):
    said = []
    with open_log(site) as store:
        known_to_broker(site, store)
        with sensor(broker) as sends:
            for number in range(30):
                sends.eye(number)
        # ended while it cannot write: nothing was acknowledged
        full = Refusing(store, 10_000)
        listened(site, full, until=lambda: full.asked > 2, say=said.append)
        assert any("no room left" in one and "The broker keeps what comes" in one for one in said)
        assert numbers(store) == []
        better = Refusing(store, 2)
        heard = listened(site, better, until=lambda: len(numbers(store)) == 30)
        assert numbers(store) == list(range(30))
        assert heard.new == 30


def test_the_same_instant_is_set_apart_and_another_value_at_a_told_time_is_left_out(broker, site):
    said = []
    with open_log(site) as store, sensor(broker) as sends:
        known_to_broker(site, store)
        for pulses in range(20):
            sends.say("barn/pulses", str(pulses))
        sends.eye(1)
        sends.eye(1, cm=140.0)
        listened(
            site,
            store,
            until=lambda: store.readings("eye").count == 1 and said,
            say=lambda words: said.append(words) if "another reading" in words else None,
        )
        assert store.readings("house meter").count == 20
        assert "eye: another reading stands at the time it gives" in said[0]


def test_a_broker_that_is_not_there_is_told_and_tried_again(servers, site, broker):
    broker.stop()
    said = []
    heard = listened(site, Refusing(None, 0), until=lambda: len(said) > 2, say=said.append)
    assert heard.new == 0
    assert all("tried again in" in one for one in said)


def test_a_broker_that_takes_the_call_and_says_nothing_is_not_left_on_the_line(
    servers, site, broker, monkeypatch
):
    broker.stop()
    monkeypatch.setattr(feed, "_ANSWERS_WITHIN_S", 0.1)
    said = []
    gc.disable()  # or it may close what nobody else did
    try:
        with socket.create_server(("127.0.0.1", broker.port)) as silent:
            listened(site, Refusing(None, 0), until=lambda: len(said) > 2, say=said.append)
            calls = [silent.accept()[0] for _ in said]
            ends = [_heard_to_its_end(one) for one in calls]
    finally:
        gc.enable()
    assert all("tried again in" in one for one in said)
    assert len(ends) > 2 and all(ends)


def _heard_to_its_end(call):
    """Whether whoever called has hung up."""
    with call:
        call.settimeout(1)
        try:
            while call.recv(1000):
                pass
        except TimeoutError:
            return False
    return True


def test_a_site_without_a_feed_is_a_sentence(making):
    with pytest.raises(BadLog, match="Nothing is fed"):
        listened(making.site(), None, until=lambda: True)


def test_what_was_heard_is_a_sentence():
    from eavewell.logbook.wire.feed import Heard

    heard = Heard(new=1_200, already=3)
    assert heard.words == "1,200 readings were written, 3 were there already."
    assert Added(1) + Added(2, 3) == Added(3, 3)


def test_a_password_goes_to_no_broker_but_its_own(site, monkeypatch):
    monkeypatch.setenv("EAVEWELL_BROKER_PASSWORD", "well water")
    monkeypatch.setenv("EAVEWELL_BROKER_SERVER", "barn:1883")
    with open_log(site) as store, pytest.raises(BadLog, match="EAVEWELL_BROKER_SERVER to 127"):
        listened(site, store, until=lambda: False)


def test_the_command_listens_until_it_is_interrupted(broker, site, servers):
    words = [sys.executable, "-m", "eavewell", "log", "listen", "--site", site.folder]
    command = subprocess.Popen(words, stdout=subprocess.PIPE, text=True)
    try:
        assert command.stdout.readline().startswith(f"Listening at {broker.address} to barn/eye")
        with sensor(broker) as sends, open_log(site) as store:
            sends.eye(1)
            servers.wait_for(lambda: store.readings("eye").count, "the reading")
        command.send_signal(signal.SIGINT)
        assert command.stdout.read().strip() == "1 readings were written, 0 were there already."
        assert command.wait(20) == 0
    finally:
        command.kill()
        command.wait()
        command.stdout.close()
