"""Who may talk to this server: Host and Origin checks, and the headers that every answer carries.

A web page from anywhere that is open in the same browser can reach a server on this machine.  So a request must name
one of the lab's own addresses as its Host (a page cannot forge that, and rebinding a name to 127.0.0.1 does not help
it), and a socket or a request that changes something must not come from a page of another origin.
"""

import json
from collections.abc import Iterable, MutableMapping
from dataclasses import dataclass, field
from typing import Any, Final

from starlette.datastructures import Headers
from starlette.types import ASGIApp, Message, Receive, Scope, Send

LOOPBACK_NAMES: Final = ("127.0.0.1", "localhost", "[::1]")
SAFE_METHODS: Final = frozenset({"GET", "HEAD", "OPTIONS"})

# Canvases and tracks are placed by style attributes; style sheets still come from this server alone.
CONTENT_POLICY: Final = (
    "default-src 'self'; img-src 'self' data: blob:; font-src 'self' data:; style-src 'self'; "
    "style-src-attr 'unsafe-inline'; object-src 'none'; base-uri 'none'; form-action 'self'; frame-ancestors 'none'"
)
HEADERS: Final[dict[str, str]] = {
    "content-security-policy": CONTENT_POLICY,
    "x-content-type-options": "nosniff",
    "x-frame-options": "DENY",
    "referrer-policy": "same-origin",
    "cross-origin-opener-policy": "same-origin",
    "cross-origin-resource-policy": "same-origin",
    "permissions-policy": "geolocation=(), payment=(), usb=()",
}


@dataclass(frozen=True, slots=True)
class Doors:
    """The addresses under which this server may be spoken to: names without port, and its own port."""

    port: int
    names: frozenset[str] = field(default_factory=lambda: frozenset(LOOPBACK_NAMES))

    @classmethod
    def of(cls, port: int, more_names: Iterable[str] = ()) -> "Doors":
        """Loopback and ``more_names`` (a machine's name or number in the lab's network)."""
        return cls(port=port, names=frozenset(LOOPBACK_NAMES) | {name.lower() for name in more_names if name})

    def knows_host(self, host: str) -> bool:
        """Whether a ``Host`` header names this server."""
        name, port = _split(host.strip().lower())
        return name in self.names and (port or "80") == str(self.port)

    def knows_origin(self, origin: str) -> bool:
        """Whether an ``Origin`` header is a page of this server."""
        scheme, mark, host = origin.strip().lower().partition("://")
        if not mark or scheme not in ("http", "https"):
            return False
        name, port = _split(host)
        default = "443" if scheme == "https" else "80"
        return name in self.names and (port or default) == str(self.port)


def _split(host: str) -> tuple[str, str]:
    """Name and port; a number in brackets keeps its brackets."""
    if host.startswith("["):
        name, _, rest = host.partition("]")
        return f"{name}]", rest.removeprefix(":")
    name, _, port = host.partition(":")
    return name, port


def refusal_sentence(doors: Doors, headers: Headers, method: str, is_socket: bool) -> str:
    """Why a request is refused, as one sentence; empty when it may pass."""
    hosts = headers.getlist("host")
    if len(hosts) != 1 or not doors.knows_host(hosts[0]):
        return "This address is not one of the lab's own; open the address that 'drillyard serve' printed."
    if not is_socket and method in SAFE_METHODS:
        return ""
    origin = headers.get("origin")
    if origin is not None and not doors.knows_origin(origin):
        return "A page from another address may not change anything here; open the lab's own page."
    if origin is None and headers.get("sec-fetch-site", "none") not in ("none", "same-origin"):
        return "A page from another address may not change anything here; open the lab's own page."
    return ""


class Guard:
    """ASGI middleware around the whole application."""

    def __init__(self, app: ASGIApp, doors: Doors) -> None:
        self.app, self.doors = app, doors

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        if scope["type"] not in ("http", "websocket"):
            await self.app(scope, receive, send)
            return
        is_socket = scope["type"] == "websocket"
        sentence = refusal_sentence(self.doors, Headers(scope=scope), scope.get("method", "GET"), is_socket)
        if sentence and is_socket:
            # Closing before the handshake is accepted is answered with 403 by the server.
            await receive()
            await send({"type": "websocket.close", "code": 1008, "reason": "origin or host refused"})
            return
        if sentence:
            await _answer_403(sentence, send)
            return
        await self.app(scope, receive, send if is_socket else _with_headers(scope["path"], send))


async def _answer_403(sentence: str, send: Send) -> None:
    body = json.dumps({"sentence": sentence, "faults": []}).encode()
    headers = [(b"content-type", b"application/json"), (b"content-length", str(len(body)).encode())]
    headers += [(name.encode(), value.encode()) for name, value in HEADERS.items()]
    await send({"type": "http.response.start", "status": 403, "headers": headers})
    await send({"type": "http.response.body", "body": body})


def _with_headers(path: str, send: Send) -> Send:
    async def sender(message: Message) -> None:
        if message["type"] == "http.response.start":
            _add_headers(message, path)
        await send(message)

    return sender


def _add_headers(message: MutableMapping[str, Any], path: str) -> None:
    present = {name.lower() for name, _ in message.get("headers", ())}
    added = dict(HEADERS)
    if path.startswith("/api/"):
        added["cache-control"] = "no-store"
    message["headers"] = [
        *message.get("headers", ()),
        *((name.encode(), value.encode()) for name, value in added.items() if name.encode() not in present),
    ]
