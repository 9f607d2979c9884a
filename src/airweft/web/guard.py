"""What stands before every page and websocket: who may ask, from where, and how much."""

from __future__ import annotations

import ipaddress
from collections.abc import Awaitable, Callable, Iterable, MutableMapping
from http.cookies import CookieError, SimpleCookie
from typing import Any
from urllib.parse import urlsplit

from airweft.web.sharing import COOKIE, Sharing

Scope = MutableMapping[str, Any]
Message = MutableMapping[str, Any]
Receive = Callable[[], Awaitable[Message]]
Send = Callable[[Message], Awaitable[None]]
App = Callable[[Scope, Receive, Send], Awaitable[None]]

MOST_UPLOADED = 64 * 1024 * 1024
"""Bytes of one request; a model of 200,000 faces has about 10 MB."""
OPEN_TO_ALL = ("/join",)
"""What a device may ask for before it has given the code."""
ONLY_HERE = ("/share",)
"""What only the screen of this computer shows: the code is on it."""
_LOOPBACK_NAMES = {"localhost", "127.0.0.1", "::1"}
_ASKING = {"GET", "HEAD", "OPTIONS"}

# Everything comes from this server: the browser itself refuses what would leave it. The page
# builder needs inline scripts and templates that it compiles; names reach them escaped.
_POLICY = (
    "default-src 'self'; script-src 'self' 'unsafe-inline' 'unsafe-eval'; "
    "style-src 'self' 'unsafe-inline'; img-src 'self' data: blob:; font-src 'self' data:; "
    "connect-src 'self' ws://{host}; object-src 'none'; base-uri 'none'; form-action 'self'; "
    "frame-ancestors 'none'"
)


class Guard:
    """ASGI middleware, the outermost: refuses before any page is built.

    `sharing` is None while only this computer is served. `names` are further names by which
    this computer may be called where it is shared.
    """

    def __init__(self, app: App, sharing: Sharing | None, names: Iterable[str] = ()) -> None:
        self.app = app
        self._sharing = sharing
        self._names = _LOOPBACK_NAMES | ({name.lower() for name in names} if sharing else set())

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Answer one request or websocket, or pass it on."""
        if scope["type"] == "lifespan":
            await self.app(scope, receive, send)
            return
        headers = _headers(scope)
        refusal = self._refusal(scope, headers)
        if refusal is not None:
            await _refuse(scope, send, *refusal)
            return
        # What a proxy would add is not believed: there is none, and paths could be made from it.
        scope["headers"] = [
            (name, value)
            for name, value in scope["headers"]
            if not name.startswith(b"x-forwarded-") and name != b"forwarded"
        ]
        if scope["type"] == "websocket":
            await self.app(scope, receive, send)
            return
        host = headers["host"]
        await self.app(scope, _limited(receive), _with_headers(send, host, scope["path"]))

    def _refusal(self, scope: Scope, headers: dict[str, str]) -> tuple[int, str, str] | None:
        """Status, words and where to go instead; None if the request may pass."""
        host = headers.get("host", "")
        if not self._is_us(host, scope):
            return 421, "This name is not one of airweft's. Use the address it printed.", ""
        origin = headers.get("origin")
        if origin is not None and origin.lower() not in (f"http://{host}", f"https://{host}"):
            return 403, "Another site asked for this. airweft answers its own pages only.", ""
        changes = scope["type"] == "websocket" or scope.get("method") not in _ASKING
        if changes and origin is None:
            return 403, "A request that changes something has to say which page it is from.", ""
        foreign = headers.get("sec-fetch-site", "none") in ("cross-site", "same-site")
        if foreign and (headers.get("sec-fetch-mode") != "navigate" or changes):
            return 403, "Another site asked for this. airweft answers its own pages only.", ""
        length = headers.get("content-length", "0")
        if not length.isdecimal() or len(length) > 15 or int(length) > MOST_UPLOADED:
            most = MOST_UPLOADED // 2**20
            return 413, f"That is more than {most} MB at once. Use a smaller file.", ""
        return self._not_let_in(scope, headers, host)

    def _not_let_in(
        self, scope: Scope, headers: dict[str, str], host: str
    ) -> tuple[int, str, str] | None:
        if self._sharing is None or _is_here(scope, host):
            return None
        path = scope["path"]
        if path in ONLY_HERE or path.startswith(tuple(f"{one}/" for one in ONLY_HERE)):
            return 403, "This page is shown only on the computer that airweft runs on.", ""
        if path in OPEN_TO_ALL and scope["type"] == "http":
            return None
        if self._sharing.knows(_cookie(headers.get("cookie", ""))):
            return None
        wants_page = scope["type"] == "http" and "text/html" in headers.get("accept", "")
        return 401, "This device has not given the code yet.", "/join" if wants_page else ""

    def _is_us(self, host: str, scope: Scope) -> bool:
        """Whether the name asked for is this computer's: other names are another site's trick."""
        name = host_name(host)
        if name is None:
            return False
        if name in self._names:
            return True
        # The address that the connection really reached cannot be given another name for.
        server = scope.get("server")
        return self._sharing is not None and server is not None and _same(name, server[0])


def host_name(host: str) -> str | None:
    """The name in a Host header without its port, in small letters; None if it is not one."""
    if not host or any(mark in host for mark in "/\\@?# \t,%"):
        return None
    try:
        parts = urlsplit(f"//{host}")
        _ = parts.port  # raises where it is no number
    except ValueError:
        return None
    return parts.hostname


def _same(name: str, address: str) -> bool:
    try:
        return ipaddress.ip_address(name) == ipaddress.ip_address(address)
    except ValueError:
        return False


def _is_here(scope: Scope, host: str) -> bool:
    """Whether the request comes from this very computer, under a name that only it can use."""
    return host_name(host) in _LOOPBACK_NAMES and from_here(scope)


def from_here(scope: Scope) -> bool:
    """Whether the connection was made by this very computer."""
    client = scope.get("client")
    if client is None:
        return False
    try:
        return ipaddress.ip_address(client[0]).is_loopback
    except ValueError:
        return False


def _headers(scope: Scope) -> dict[str, str]:
    """Names in small letters; of a header given twice, one that will be refused."""
    found: dict[str, str] = {}
    for raw, value in scope["headers"]:
        name = raw.decode("latin-1").lower()
        text = value.decode("latin-1")
        twice = name in found and name in ("host", "origin", "content-length")
        found[name] = f"{found[name]},{text}" if twice else text
    return found


def _cookie(header: str) -> str:
    try:
        morsel = SimpleCookie(header).get(COOKIE)
    except CookieError:
        return ""
    return "" if morsel is None else morsel.value


def _limited(receive: Receive) -> Receive:
    taken = 0

    async def receiving() -> Message:
        nonlocal taken
        message = await receive()
        taken += len(message.get("body", b""))
        if taken > MOST_UPLOADED:
            # As if the other side had gone: what was sent so far is dropped.
            return {"type": "http.disconnect"}
        return message

    return receiving


def _with_headers(send: Send, host: str, path: str) -> Send:
    added = [
        (b"content-security-policy", _POLICY.format(host=host).encode("latin-1")),
        (b"x-content-type-options", b"nosniff"),
        (b"x-frame-options", b"DENY"),
        (b"referrer-policy", b"same-origin"),
        (b"cross-origin-opener-policy", b"same-origin"),
        (b"cross-origin-resource-policy", b"same-origin"),
    ]

    async def sending(message: Message) -> None:
        if message["type"] == "http.response.start":
            have = {name.lower() for name, _ in message.get("headers", ())}
            message["headers"] = [
                *message.get("headers", ()),
                *(pair for pair in added if pair[0] not in have),
            ]
        await send(message)

    return sending


async def _refuse(scope: Scope, send: Send, status: int, words: str, instead: str) -> None:
    if scope["type"] == "websocket":
        await send({"type": "websocket.close", "code": 1008, "reason": ""})
        return
    headers = [
        (b"content-type", b"text/plain; charset=utf-8"),
        (b"cache-control", b"no-store"),
        (b"x-content-type-options", b"nosniff"),
    ]
    if instead:
        status = 303
        headers.append((b"location", instead.encode("ascii")))
    if scope.get("method") != "HEAD":
        body = words.encode()
    else:
        body = b""
    await send({"type": "http.response.start", "status": status, "headers": headers})
    await send({"type": "http.response.body", "body": body})
