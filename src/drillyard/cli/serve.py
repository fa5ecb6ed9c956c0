"""``drillyard serve``: open a lab folder and serve its screens."""

import argparse
import contextlib
import http.client
import logging
import socket
import sys
import threading
import time
import webbrowser
from http import HTTPStatus
from pathlib import Path
from typing import Any, Final

from drillyard.core.quantities.faults import Fault, Refusal

PORT: Final = 8765
HOST: Final = "127.0.0.1"
LOOPBACK: Final = ("127.0.0.1", "localhost", "::1")
EVERY_ADDRESS: Final = ("0.0.0.0", "::")  # noqa: S104 - recognised, never the default
LARGEST_MESSAGE: Final = 64 * 1024


def add_parser(subparsers: "argparse._SubParsersAction[argparse.ArgumentParser]") -> None:
    """Add the verb to the command line."""
    parser = subparsers.add_parser("serve", help="open a lab folder and serve its screens")
    parser.add_argument("folder", metavar="LAB", nargs="?", type=Path, help="the lab folder (default: lab)")
    parser.add_argument("--lab", metavar="FOLDER", type=Path, help="the lab folder, where it is not named above")
    parser.add_argument("--port", type=int, default=PORT, help=f"port to listen on (default: {PORT})")
    parser.add_argument("--host", default=HOST, help="address to listen on (default: this machine only)")
    parser.add_argument(
        "--name",
        action="append",
        default=[],
        metavar="NAME",
        help="a further name or number under which browsers reach this machine; may be given several times",
    )
    parser.add_argument("--no-browser", action="store_true", help="do not open a browser")


def run(args: argparse.Namespace) -> int:
    """Serve until stopped; 0 after a stop, 2 where it cannot start."""
    folder = args.folder or args.lab or Path("lab")
    logging.basicConfig(level=logging.WARNING, format="%(levelname)s %(name)s: %(message)s")
    try:
        listener = listen(args.host, args.port)
    except Refusal as refusal:
        print(str(refusal), file=sys.stderr)
        return 2
    try:
        return _serve(folder, listener, args)
    except Refusal as refusal:
        for fault in refusal.faults:
            print(fault.sentence(), file=sys.stderr)
        return 2
    finally:
        listener.close()


def listen(host: str, port: int) -> socket.socket:
    """The socket to serve on, taken before anything is opened.

    Raises:
        Refusal: the port is in use, not allowed, or the address is none of this machine's.
    """
    try:
        family = socket.AF_INET6 if ":" in host else socket.AF_INET
        listener = socket.socket(family, socket.SOCK_STREAM)
        if sys.platform != "win32":
            listener.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
        listener.bind((host, port))
        listener.listen(128)
    except (OSError, OverflowError) as wrong:
        listener.close()
        raise Refusal(_fault_of(host, port, wrong)) from None
    return listener


def _fault_of(host: str, port: int, wrong: Exception) -> Fault:
    if isinstance(wrong, OverflowError):
        return Fault(code="bad port", said=f"{port} is no port", allowed="1 to 65535, or 0 for any free one")
    remedy = "stop the program that uses it (perhaps another Drillyard), or choose another with --port"
    said = getattr(wrong, "strerror", None) or str(wrong)
    return Fault(code="port in use", said=f"port {port} on {host} cannot be used ({said})", remedy=remedy)


def _serve(folder: Path, listener: socket.socket, args: argparse.Namespace) -> int:
    import uvicorn

    from drillyard.web.front_door import front_door
    from drillyard.web.guard import Doors

    port = listener.getsockname()[1]
    names = tuple(name for name in (args.host, *args.name) if name not in (*LOOPBACK, *EVERY_ADDRESS))
    name = names[-1] if names else "127.0.0.1"
    wrong: list[Exception] = []
    with contextlib.ExitStack() as stack:

        def open_inside() -> Any:
            from drillyard.cli.wiring import open_lab
            from drillyard.web.app import create_app

            opened = stack.enter_context(open_lab(folder))
            if opened.backup is not None:
                print(f"The lab's database was brought up to date; a copy of the old one is {opened.backup}.")
            print(f"Drillyard, training only. Lab folder: {folder}")
            for label, address in addresses(name, port, opened.lab.settings.rooms):
                print(f"  {label:<22}{address}", flush=True)
            return create_app(opened.lab)

        def failed(fault: Exception) -> None:
            wrong.append(fault)
            server.should_exit = True

        config = uvicorn.Config(
            front_door(open_inside, Doors.of(port, names), on_failure=failed),
            log_level="warning",
            access_log=False,
            ws_per_message_deflate=False,
            ws_max_size=LARGEST_MESSAGE,
            server_header=False,
            timeout_graceful_shutdown=3,
        )
        server = uvicorn.Server(config)
        if args.host not in LOOPBACK:
            print("Other machines in this network can reach this server. It has no sign-in yet: use a closed network.")
        if not args.no_browser:
            threading.Thread(target=open_when_ready, args=(f"http://{name}:{port}/",), daemon=True).start()
        # The server shuts down in order first and then passes the interrupt on.
        with contextlib.suppress(KeyboardInterrupt):
            server.run(sockets=[listener])
    if wrong:
        raise wrong[0]
    return 0


def addresses(name: str, port: int, rooms: tuple[str, ...]) -> list[tuple[str, str]]:
    """One address a screen: label and address."""
    base = f"http://{name}:{port}"
    lines = [("Home", f"{base}/")]
    for room in rooms:
        lines += [(f"Control, {room}", f"{base}/control/{room}"), (f"Room monitor, {room}", f"{base}/monitor/{room}")]
    return lines


def open_when_ready(address: str, wait_s: float = 20.0) -> None:
    """Opens a browser once the lab is open; where there is no browser, nothing happens."""
    name, _, port = address.removeprefix("http://").rstrip("/").rpartition(":")
    until_s = time.monotonic() + wait_s
    while time.monotonic() < until_s:
        status = _status(name, int(port), wait_s)
        if status is not None:
            if status == HTTPStatus.OK:
                webbrowser.open(address)
            return
        time.sleep(0.1)


def _status(name: str, port: int, wait_s: float) -> int | None:
    """What the lab answers, None while nobody answers."""
    link = http.client.HTTPConnection(name, port, timeout=wait_s)
    try:
        link.request("GET", "/api/health")
        return link.getresponse().status
    except OSError:
        return None
    finally:
        link.close()
