"""Alerts told by e-mail or by a message of the broker: each once, until it has ended."""

import asyncio
import json
import smtplib
import ssl
from collections.abc import Sequence
from datetime import datetime
from email.message import EmailMessage

import aiomqtt

from eavewell.faults import BadLog, Fault
from eavewell.logbook.alerts import Alert
from eavewell.logbook.store.store import Store
from eavewell.logbook.wire.encrypted import refusal
from eavewell.logbook.wire.feed import at_broker
from eavewell.logbook.wire.passwords import sign_in
from eavewell.site.site import Site

_TLS_PORT = 465
_PATIENCE_S = 20.0


def tell(site: Site, store: Store, *, alerts: Sequence[Alert], now: datetime) -> tuple[Alert, ...]:
    """Tell whoever the site file names of alerts that nobody was told of yet; these are returned.

    What has ended is forgotten, and is told again when it comes again. Nobody is told where the
    site file names nobody.
    Raises BadLog where it could not be told by every way; it is then tried again the next time.
    """
    told = store.told()
    new = tuple(one for one in alerts if one.mark not in told)
    standing = {one.mark: told[one.mark] for one in alerts if one.mark in told}
    whom = site.log.tell
    if not (whom.mail_to or whom.topic):
        return ()
    faults = _told_by_every_way(site, new, now=now) if new else []
    if not faults:
        standing |= {one.mark: now for one in new}
    if standing != told:
        store.set_told(standing)
    if faults:
        raise BadLog(faults)
    return new


def _told_by_every_way(site: Site, new: Sequence[Alert], *, now: datetime) -> list[Fault]:
    faults: list[Fault] = []
    for wanted, way in ((site.log.tell.mail_to, _mail), (site.log.tell.topic, _publish)):
        try:
            if wanted:
                way(site, new, now=now)
        except BadLog as refused:
            faults += refused.faults
    return faults


def mail_of(site: Site, alerts: Sequence[Alert], *, now: datetime) -> EmailMessage:
    """The e-mail on alerts."""
    mail = EmailMessage()
    things = "1 thing needs doing" if len(alerts) == 1 else f"{len(alerts)} things need doing"
    mail["Subject"] = f"{' '.join(site.name.split())}: {things}"
    mail["From"] = site.log.tell.mail_from
    mail["To"] = ", ".join(site.log.tell.mail_to)
    mail["Date"] = now
    lines = "\n".join(f"- {one.says}" for one in alerts)
    mail.set_content(
        f"{site.name}, {now:%Y-%m-%d %H:%M}\n\n{lines}\n\n"
        "Each of these is told once, until it has ended.\n"
    )
    return mail


def _mail(site: Site, alerts: Sequence[Alert], *, now: datetime) -> None:
    server = site.log.tell.mail_server
    host, _, port = server.rpartition(":")
    mail = mail_of(site, alerts, now=now)
    try:
        with _opened(host.strip("[]"), int(port)) as talk:
            _sign_in(talk, server)
            talk.send_message(mail)
    except (OSError, smtplib.SMTPException) as broken:
        raise BadLog(f"{server} did not take the e-mail: {_plain(broken)}.") from broken


def _opened(host: str, port: int) -> smtplib.SMTP:
    if port == _TLS_PORT:
        return smtplib.SMTP_SSL(
            host, port, timeout=_PATIENCE_S, context=ssl.create_default_context()
        )
    talk = smtplib.SMTP(host, port, timeout=_PATIENCE_S)
    try:
        talk.ehlo()
        if talk.has_extn("starttls"):
            talk.starttls(context=ssl.create_default_context())
            talk.ehlo()
    except BaseException:
        talk.close()
        raise
    return talk


def _sign_in(talk: smtplib.SMTP, server: str) -> None:
    us = sign_in("MAIL", server)
    if not (us.user and us.password):
        return
    if not isinstance(talk.sock, ssl.SSLSocket):
        raise BadLog(f"{server} offers no encryption: the password was not sent, nor the e-mail.")
    talk.login(us.user, us.password)


def _plain(broken: Exception) -> str:
    if isinstance(broken, smtplib.SMTPResponseException):
        said = broken.smtp_error
        return said.decode("utf-8", "replace") if isinstance(said, bytes) else str(said)
    return str(broken).rstrip(".") or type(broken).__name__


def _publish(site: Site, alerts: Sequence[Alert], *, now: datetime) -> None:
    told = {
        "site": site.name,
        "at": now.isoformat(timespec="seconds"),
        "alerts": [{"mark": one.mark, "says": one.says} for one in alerts],
    }
    try:
        asyncio.run(_published(site, json.dumps(told, ensure_ascii=False)))
    except aiomqtt.MqttError as broken:
        raise BadLog(f"{site.log.broker} did not take the message: {refusal(broken)}.") from broken


async def _published(site: Site, words: str) -> None:
    async with at_broker(site) as client:
        await client.publish(site.log.tell.topic, words, qos=1)
