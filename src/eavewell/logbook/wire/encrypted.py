"""An encrypted way to a broker, and who vouches for the certificate that it shows."""

import os
import re
import ssl

import aiomqtt

from eavewell.faults import BadLog

CERTIFICATE = "EAVEWELL_BROKER_CERTIFICATE"
_NOT_VOUCHED_FOR = re.compile(r"CERTIFICATE_VERIFY_FAILED\] certificate verify failed: (.*?)\W*\(_")


class _Closed(ssl.SSLSocket):
    """Closed where the two do not come to terms; the client beneath leaves it open."""

    def do_handshake(self, block: bool = False) -> None:
        try:
            super().do_handshake(block)
        except BaseException:
            self.close()
            raise


def encrypted() -> ssl.SSLContext:
    """The broker is believed by this computer's authorities, or by the certificate of one's own.

    Raises BadLog where the environment names a certificate that cannot be read.
    """
    own = os.environ.get(CERTIFICATE) or None
    try:
        context = ssl.create_default_context(cafile=own)
    except OSError as broken:
        why = "it is none" if isinstance(broken, ssl.SSLError) else broken.strerror
        raise BadLog(f"{CERTIFICATE}: {own} cannot be read as a certificate: {why}.") from None
    context.sslsocket_class = _Closed
    return context


def refusal(broken: aiomqtt.MqttError) -> str:
    """Why a broker was not reached, and for its certificate the way out."""
    found = _NOT_VOUCHED_FOR.search(str(broken))
    if found is None:
        return str(broken)
    return (
        f"nothing was sent to it, as nobody vouches for its certificate ({found[1]}). Where you "
        f"made it yourself, set {CERTIFICATE} to its file"
    )
