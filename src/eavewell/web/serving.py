"""The door: finds a free port, says where the pages are, serves them until told to stop."""

import socket
import sys
import webbrowser
from contextlib import suppress
from importlib.resources import files
from pathlib import Path
from threading import Timer

from eavewell.faults import EavewellFault
from eavewell.web.guard import is_loopback, state_folder
from eavewell.web.passphrase import has_passphrase, set_passphrase

FIRST_PORT, PORTS = 8080, 20
BUILT = ("htmx.min.js", "uPlot.iife.min.js", "uPlot.min.css")
NOT_BUILT = (
    "The browser libraries are not built, as there was no network at the install. With a network: "
    "run 'python scripts/browser_libraries.py' in the source folder, or install again."
)


def serve(folder: Path, *, port: int | None, browser: bool, share: bool) -> None:
    """Serve the sites of a folder until Ctrl+C; EavewellFault where that cannot be."""
    if not folder.is_dir():
        raise EavewellFault(f"There is no folder {folder}: make one, or name another.")
    if not is_built():
        raise EavewellFault(NOT_BUILT)
    if share:
        ask_passphrase()
    door = listening("0.0.0.0" if share else "127.0.0.1", port)
    at = door.getsockname()[1]
    print(f"The sites of {folder.resolve()} are at http://127.0.0.1:{at}/ - Ctrl+C stops.")
    if share:
        for name in sorted(one for one in own_addresses() if not is_loopback(one)):
            print(f"Shared with the local network: http://{name}:{at}/")
        print("What goes over the network is not encrypted: share only where you trust it.")
    sys.stdout.flush()
    if browser:
        later = Timer(0.5, webbrowser.open, [f"http://127.0.0.1:{at}/"])
        later.daemon = True
        later.start()
    _run(folder, door, share=share)


def _run(folder: Path, door: socket.socket, *, share: bool) -> None:
    import uvicorn

    from eavewell.web.app import LOOPBACK, pages
    from eavewell.web.impatient import Impatient
    from eavewell.web.sign_in import Keys

    hosts = LOOPBACK | own_addresses() if share else LOOPBACK
    keys = Keys(state_folder()) if share else None
    settings = uvicorn.Config(
        pages(folder, hosts=hosts, keys=keys),
        http=Impatient,
        log_level="warning",
        server_header=False,
        proxy_headers=False,
        timeout_keep_alive=10,
        timeout_graceful_shutdown=3,
        limit_concurrency=200,
        ws="none",
    )
    try:
        uvicorn.Server(settings).run(sockets=[door])
    except KeyboardInterrupt:
        pass
    finally:
        door.close()
    print("Stopped.")


def is_built() -> bool:
    """True where what was made at build time is there."""
    folder = files("eavewell.web").joinpath("static", "built")
    return all(folder.joinpath(name).is_file() for name in BUILT)


def listening(host: str, port: int | None) -> socket.socket:
    """A socket that listens on the port asked for, or on the first free one."""
    if port is not None:
        try:
            return _bound(host, port)
        except OSError as refused:
            raise EavewellFault(
                f"Port {port} cannot be used ({refused.strerror}): name another with --port."
            ) from None
    for free in (*range(FIRST_PORT, FIRST_PORT + PORTS), 0):
        try:
            return _bound(host, free)
        except OSError:
            continue
    raise EavewellFault("There is no free port on this computer.")


def _bound(host: str, port: int) -> socket.socket:
    door = socket.socket(socket.AF_INET, socket.SOCK_STREAM)
    try:
        if sys.platform != "win32":
            door.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
        door.bind((host, port))
        door.listen(128)
    except OSError:
        door.close()
        raise
    return door


def ask_passphrase() -> None:
    """Ask for a new passphrase where none was set; EavewellFault where none can be asked for."""
    import getpass

    folder = state_folder()
    if has_passphrase(folder):
        return
    if not sys.stdin.isatty():
        raise EavewellFault("Sharing needs a passphrase: run this once in a terminal, to set one.")
    words = getpass.getpass("A passphrase for those who share, at least 12 letters: ")
    set_passphrase(words, folder=folder)


def own_addresses() -> frozenset[str]:
    """Names and addresses under which the local network reaches this computer."""
    name = socket.gethostname().lower()
    found = {name, f"{name}.local"}
    with suppress(OSError):
        found |= {str(one[4][0]) for one in socket.getaddrinfo(name, None, socket.AF_INET)}
    with suppress(OSError), socket.socket(socket.AF_INET, socket.SOCK_DGRAM) as way:
        way.connect(("192.0.2.1", 9))  # sends nothing; tells which address would be used
        found.add(way.getsockname()[0])
    return frozenset(found)
