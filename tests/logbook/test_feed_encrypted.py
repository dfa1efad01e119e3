"""A feed by an encrypted way, from a broker of the tests' own with a certificate made for it."""

import asyncio
import shutil
import subprocess
import time
from contextlib import contextmanager
from datetime import UTC, datetime

import paho.mqtt.client as mqtt
import pytest
from paho.mqtt.enums import CallbackAPIVersion

from eavewell.faults import BadLog
from eavewell.files.site.new_site import starter_text
from eavewell.files.site.reader import read_site
from eavewell.logbook.alerts import Alert
from eavewell.logbook.store import open_log
from eavewell.logbook.wire import feed
from eavewell.logbook.wire.told import tell

OWN = "EAVEWELL_BROKER_CERTIFICATE"
PASSWORD = "well water"
GAUGES = """
[log]
zone = "America/Chicago"
broker = "{broker}"
[log.tell]
topic = "barn/told"
[[log.gauge]]
name = "house meter"
measures = "meter"
how = "pulse counter"
per_pulse = "5 L"
feed = {{ topic = "barn/pulses" }}
"""


def certificate(folder, servers, *, name):
    """A self-made certificate for a name, such as IP:127.0.0.1, and its key."""
    program = shutil.which("openssl") or servers.unproven("there is no openssl: install openssl")
    kept, key = folder / "broker.crt", folder / "broker.key"
    asked = ["req", "-x509", "-newkey", "rsa:2048", "-nodes", "-days", "2", "-subj", "/CN=barn"]
    files = ["-keyout", key, "-out", kept, "-addext", f"subjectAltName={name}"]
    subprocess.run([program, *asked, *files], check=True, capture_output=True)
    return kept, key


@pytest.fixture
def begun(servers, tmp_path, monkeypatch):
    """Begins a broker that only speaks encrypted; we take its port for the usual one."""
    running = []

    def begin(name="IP:127.0.0.1"):
        kept, key = certificate(tmp_path, servers, name=name)
        lines = (f"certfile {kept}", f"keyfile {key}")
        made = servers.Mosquitto(tmp_path / "broker", *lines)
        monkeypatch.setattr(feed, "_TLS_PORT", made.port)
        monkeypatch.setenv("EAVEWELL_BROKER_USER", "barn")
        monkeypatch.setenv("EAVEWELL_BROKER_PASSWORD", PASSWORD)
        monkeypatch.setenv("EAVEWELL_BROKER_SERVER", made.address)
        made.begin()
        running.append(made)
        return made, str(kept)

    yield begin
    for one in running:
        one.stop()


@pytest.fixture
def site_of(tmp_path):
    def made(broker):
        text = starter_text("whole-house") + GAUGES.format(broker=broker.address)
        (tmp_path / "site.toml").write_text(text, encoding="utf-8")
        return read_site(tmp_path / "site.toml")

    return made


@contextmanager
def sensor(broker, kept):
    """Sends by the encrypted way and waits until the broker has it; keeps what it is told."""
    client, heard = mqtt.Client(CallbackAPIVersion.VERSION2, "sensor"), []
    client.tls_set(ca_certs=kept)
    client.on_message = lambda client, data, message: heard.append(message.payload.decode())
    client.connect("127.0.0.1", broker.port)
    client.subscribe("barn/told", 1)
    client.loop_start()
    try:
        yield client, heard
    finally:
        client.disconnect()
        client.loop_stop()


def listened(site, store, *, until, say):
    """Listens within this process until something is so, or for some seconds."""

    async def run():
        listener = feed.Listener(
            site,
            store,
            clock=lambda: datetime.now(UTC),
            say=say,
            patience=feed.Patience(0.05, 0.1),
        )
        listening = asyncio.create_task(listener.listen())
        end = time.monotonic() + 20
        while not until() and not listening.done() and time.monotonic() < end:
            await asyncio.sleep(0.02)
        listener.stop.set()
        return await listening

    return asyncio.run(run())


def test_readings_come_and_alerts_go_by_the_encrypted_way(begun, site_of, monkeypatch, servers):
    broker, kept = begun()
    monkeypatch.setenv(OWN, kept)
    site, said = site_of(broker), []
    with open_log(site) as store, sensor(broker, kept) as (client, heard):
        listened(site, store, until=lambda: said, say=said.append)  # the broker knows us now
        for pulses in (250, 252):
            client.publish("barn/pulses", str(pulses), 1).wait_for_publish(20)
        found = listened(
            site,
            store,
            until=lambda: store.readings("house meter").count == 2,
            say=said.append,
        )
        assert found.new == 2
        assert all(one.startswith("Listening at") for one in said)
        assert store.readings("house meter").value.tolist() == [1250.0, 1260.0]
        tell(site, store, alerts=[Alert("m", "The tank is dry.")], now=datetime.now(UTC))
        servers.wait_for(lambda: heard, "the alert")
    assert "The tank is dry." in heard[0]


@pytest.mark.parametrize(
    ("name", "own", "why"),
    [("IP:127.0.0.1", False, "self-signed certificate"), ("DNS:barn", True, "mismatch")],
)
def test_nothing_is_sent_where_nobody_vouches_for_it(begun, site_of, monkeypatch, name, own, why):
    broker, kept = begun(name)
    if own:
        monkeypatch.setenv(OWN, kept)
    site, said = site_of(broker), []
    with open_log(site) as store:
        found = listened(site, store, until=lambda: len(said) > 1, say=said.append)
        with pytest.raises(BadLog, match="nobody vouches for its certificate"):
            tell(site, store, alerts=[Alert("m", "The tank is dry.")], now=datetime.now(UTC))
    assert found.new == 0
    assert "nothing was sent to it, as nobody vouches for its certificate" in said[0]
    assert why in said[0] and OWN in said[0]


def test_a_certificate_that_is_none_is_a_sentence(begun, site_of, monkeypatch, tmp_path):
    broker, _ = begun()
    site = site_of(broker)
    none = tmp_path / "none.crt"
    with open_log(site) as store:
        for why in ("No such file", "it is none|no certificate"):
            monkeypatch.setenv(OWN, str(none))
            with pytest.raises(BadLog, match=f"{OWN}: .*none.crt cannot be read.*({why})"):
                listened(site, store, until=lambda: False, say=print)
            none.write_text("hello", encoding="utf-8")


def test_the_broker_of_these_tests_speaks_nothing_in_the_clear(begun):
    broker, _ = begun()
    plain = mqtt.Client(CallbackAPIVersion.VERSION2, "plain")
    plain.connect("127.0.0.1", broker.port)
    for _ in range(10):
        plain.loop(0.1)
    assert not plain.is_connected()
    plain.disconnect()
