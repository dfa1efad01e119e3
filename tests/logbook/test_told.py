"""Alerts: each told once, by e-mail to a server of the tests' own and by a message of a broker."""

import base64
import contextlib
import json
import shutil
import socketserver
import ssl
import subprocess
import threading
from datetime import UTC, datetime, timedelta
from email import message_from_bytes, policy

import paho.mqtt.client as mqtt
import pytest
from paho.mqtt.enums import CallbackAPIVersion

from eavewell.faults import BadLog
from eavewell.logbook.alerts import Alert
from eavewell.logbook.store import open_log
from eavewell.logbook.wire.told import mail_of, tell
from eavewell.site.gauge import Tell

NOW = datetime(2027, 3, 4, 8, 0, tzinfo=UTC)
LOW = Alert("ahead dry soon main", "main: with no rain dry in 9 days.")
LEAK = Alert("leaks leak tank 'main'", "Tank 'main': fell by 40 gal/day.")


class Letters(socketserver.ThreadingTCPServer):
    """Takes e-mail as a server does.

    refuse : what it answers instead. secure : how it encrypts; None not at all.
    """

    allow_reuse_address = True
    daemon_threads = True

    def __init__(self):
        super().__init__(("127.0.0.1", 0), Talk)
        self.came, self.refuse, self.secure, self.signed_in = [], "", None, []
        threading.Thread(target=self.serve_forever, args=(0.02,), daemon=True).start()

    @property
    def address(self):
        return f"127.0.0.1:{self.server_address[1]}"


class Talk(socketserver.StreamRequestHandler):
    def handle(self):
        self.say("220 letters")
        with contextlib.suppress(ssl.SSLError, ConnectionError):
            while line := self.rfile.readline():
                word, _, rest = line.decode().strip().partition(" ")
                if word.upper() == "QUIT":
                    self.say("221 bye")
                    return
                getattr(self, word.lower(), lambda rest: self.say("250 good"))(rest)

    def finish(self):
        with contextlib.suppress(OSError):
            super().finish()
        self.connection.close()

    def ehlo(self, rest):
        more = [] if self.server.secure is None else ["STARTTLS", "AUTH PLAIN"]
        *most, last = ["letters", *more]
        for one in most:
            self.say(f"250-{one}")
        self.say(f"250 {last}")

    def starttls(self, rest):
        self.say("220 go on")
        self.connection = self.server.secure.wrap_socket(self.connection, server_side=True)
        self.rfile, self.wfile = (self.connection.makefile(how) for how in ("rb", "wb"))

    def auth(self, rest):
        self.server.signed_in.append(base64.b64decode(rest.split()[1]).decode().split("\0")[1:])
        self.say("235 good")

    def rcpt(self, rest):
        self.say(self.server.refuse or "250 good")

    def data(self, rest):
        self.say("354 go on")
        letter = b"".join(iter(self.rfile.readline, b".\r\n"))
        self.server.came.append(message_from_bytes(letter, policy=policy.default))
        self.say("250 good")

    def say(self, words):
        self.wfile.write(f"{words}\r\n".encode())
        self.wfile.flush()


@pytest.fixture
def letters():
    server = Letters()
    yield server
    server.shutdown()
    server.server_close()


@pytest.fixture
def by_mail(letters, logged_site):
    whom = Tell(("kay@example.org", "jo@example.org"), "barn@example.org", letters.address)
    return logged_site(tell=whom)


def subjects(letters):
    return [one["Subject"] for one in letters.came]


def test_each_is_told_once_until_it_has_ended(letters, by_mail):
    with open_log(by_mail) as store:
        assert tell(by_mail, store, alerts=[LOW], now=NOW) == (LOW,)
        assert tell(by_mail, store, alerts=[LOW], now=NOW + timedelta(days=1)) == ()
        assert tell(by_mail, store, alerts=[LEAK, LOW], now=NOW + timedelta(days=2)) == (LEAK,)
        assert tell(by_mail, store, alerts=[], now=NOW + timedelta(days=3)) == ()
        assert tell(by_mail, store, alerts=[LOW], now=NOW + timedelta(days=4)) == (LOW,)
    assert subjects(letters) == ["made up: 1 thing needs doing"] * 3
    first = letters.came[0]
    assert first["To"] == "kay@example.org, jo@example.org"
    assert first["From"] == "barn@example.org"
    assert LOW.says in first.get_content()
    assert "told once, until it has ended" in first.get_content()


def test_what_was_not_taken_is_told_the_next_time(letters, by_mail):
    with open_log(by_mail) as store:
        letters.refuse = "550 no such box"
        with pytest.raises(BadLog, match="did not take the e-mail"):
            tell(by_mail, store, alerts=[LOW], now=NOW)
        letters.refuse = ""
        assert tell(by_mail, store, alerts=[LOW], now=NOW) == (LOW,)
    assert len(letters.came) == 1


def test_a_server_that_is_not_there_is_a_sentence(servers, logged_site):
    nobody = f"127.0.0.1:{servers.free_port()}"
    site = logged_site(tell=Tell(("kay@example.org",), "barn@example.org", nobody))
    with open_log(site) as store, pytest.raises(BadLog, match="did not take the e-mail"):
        tell(site, store, alerts=[LOW], now=NOW)


def test_a_password_is_not_sent_where_it_could_be_read(letters, by_mail, monkeypatch):
    monkeypatch.setenv("EAVEWELL_MAIL_USER", "kay")
    monkeypatch.setenv("EAVEWELL_MAIL_PASSWORD", "well water")
    monkeypatch.setenv("EAVEWELL_MAIL_SERVER", letters.address)
    with open_log(by_mail) as store, pytest.raises(BadLog, match="offers no encryption") as says:
        tell(by_mail, store, alerts=[LOW], now=NOW)
    assert "well water" not in str(says.value)
    assert letters.came == []


@pytest.mark.parametrize("ours", [None, "mail.example.org:587"])
def test_a_password_goes_to_no_server_but_its_own(letters, by_mail, monkeypatch, ours):
    monkeypatch.setenv("EAVEWELL_MAIL_USER", "kay")
    monkeypatch.setenv("EAVEWELL_MAIL_PASSWORD", "well water")
    if ours:
        monkeypatch.setenv("EAVEWELL_MAIL_SERVER", ours)
    with open_log(by_mail) as store, pytest.raises(BadLog, match="EAVEWELL_MAIL_SERVER to 127"):
        tell(by_mail, store, alerts=[LOW], now=NOW)
    assert letters.came == []


@pytest.fixture
def certificate(letters, tmp_path, servers):
    """A certificate for the server of letters, made here; nobody vouches for it."""
    openssl = shutil.which("openssl") or servers.unproven("there is no openssl: install it")
    key, made = tmp_path / "key.pem", tmp_path / "made.pem"
    subprocess.run(
        [
            *(openssl, "req", "-x509", "-newkey", "rsa:2048", "-nodes", "-days", "2"),
            *("-keyout", key, "-out", made, "-subj", "/CN=letters"),
            *("-addext", "subjectAltName=IP:127.0.0.1"),
        ],
        check=True,
        capture_output=True,
    )
    letters.secure = ssl.SSLContext(ssl.PROTOCOL_TLS_SERVER)
    letters.secure.load_cert_chain(made, key)
    return made


def test_a_password_goes_encrypted_to_a_server_that_is_vouched_for(
    letters, by_mail, certificate, monkeypatch
):
    monkeypatch.setenv("EAVEWELL_MAIL_USER", "kay")
    monkeypatch.setenv("EAVEWELL_MAIL_PASSWORD", "well water")
    monkeypatch.setenv("EAVEWELL_MAIL_SERVER", letters.address)
    with open_log(by_mail) as store:
        with pytest.raises(BadLog, match=r"did not take the e-mail: .*certificate"):
            tell(by_mail, store, alerts=[LOW], now=NOW)
        assert letters.signed_in == []
        monkeypatch.setenv("SSL_CERT_FILE", str(certificate))
        assert tell(by_mail, store, alerts=[LOW], now=NOW) == (LOW,)
    assert letters.signed_in == [["kay", "well water"]]
    assert subjects(letters) == ["made up: 1 thing needs doing"]


def test_names_with_line_breaks_or_from_elsewhere_make_a_letter(logged_site, letters):
    from dataclasses import replace

    site = replace(logged_site(), name="Küste\r\nBcc: all@example.org")
    mail = mail_of(site, [LOW, LEAK], now=NOW)
    assert mail["Subject"] == "Küste Bcc: all@example.org: 2 things need doing"
    assert mail["Bcc"] is None


def test_nobody_is_told_where_nobody_is_named(logged_site):
    site = logged_site()
    with open_log(site) as store:
        assert tell(site, store, alerts=[LOW], now=NOW) == ()
        assert store.told() == {}


def test_a_message_goes_to_the_broker(servers, logged_site, tmp_path):
    broker = servers.Mosquitto(tmp_path / "broker")
    broker.begin()
    came = []
    watcher = mqtt.Client(CallbackAPIVersion.VERSION2, "watcher")
    watcher.on_message = lambda client, data, message: came.append(json.loads(message.payload))
    try:
        watcher.connect("127.0.0.1", broker.port)
        watcher.subscribe("barn/alerts", 1)
        watcher.loop_start()
        site = logged_site(broker=broker.address, tell=Tell(topic="barn/alerts"))
        with open_log(site) as store:
            assert tell(site, store, alerts=[LOW, LEAK], now=NOW) == (LOW, LEAK)
            servers.wait_for(lambda: came, "the message")
            broker.stop()
            with pytest.raises(BadLog, match="did not take the message"):
                tell(site, store, alerts=[Alert("x", "X.")], now=NOW)
    finally:
        watcher.disconnect()
        watcher.loop_stop()
        broker.stop()
    assert came == [
        {
            "site": "made up",
            "at": "2027-03-04T08:00:00+00:00",
            "alerts": [{"mark": one.mark, "says": one.says} for one in (LOW, LEAK)],
        }
    ]
