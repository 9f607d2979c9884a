"""Who may ask for what: hosts, origins, sizes, devices; asked of the guard alone."""

from __future__ import annotations

import asyncio
from typing import Any

import pytest

from airweft.web.guard import MOST_UPLOADED, Guard, host_name
from airweft.web.sharing import COOKIE, Sharing

HOST = ("host", "127.0.0.1:7420")


async def _app(scope: Any, receive: Any, send: Any) -> None:
    """A page that reads all it is sent and says so."""
    taken = 0
    while scope["type"] == "http":
        message = await receive()
        taken += len(message.get("body", b""))
        if message["type"] == "http.disconnect":
            taken = -1
        if not message.get("more_body"):
            break
    told = dict(scope["headers"])
    headers = [(b"x-taken", b"%d" % taken)]
    await send({"type": "http.response.start", "status": 200, "headers": headers})
    await send({"type": "http.response.body", "body": repr(sorted(told)).encode()})


def ask(
    *headers: tuple[str, str],
    method: str = "GET",
    path: str = "/",
    kind: str = "http",
    client: str = "127.0.0.1",
    server: str = "127.0.0.1",
    sharing: Sharing | None = None,
    bodies: tuple[bytes, ...] = (b"",),
) -> tuple[int, dict[str, str], str]:
    """Status (1008 for a websocket that is closed), headers and body of the answer."""
    scope = {
        "type": kind,
        "method": method,
        "path": path,
        "headers": [(n.encode(), v.encode("latin-1")) for n, v in headers],
        "client": (client, 5555),
        "server": (server, 7420),
    }
    sent: list[Any] = []
    left = list(bodies)

    async def receive() -> Any:
        body = left.pop(0)
        return {"type": "http.request", "body": body, "more_body": bool(left)}

    async def send(message: Any) -> None:
        sent.append(message)

    asyncio.run(Guard(_app, sharing, ["shed.local"])(scope, receive, send))
    first = sent[0]
    if first["type"] == "websocket.close":
        return first["code"], {}, ""
    answer = {n.decode(): v.decode() for n, v in first["headers"]}
    return first["status"], answer, sent[1]["body"].decode()


def test_its_own_pages_pass_with_headers_that_keep_everything_here() -> None:
    for host in ("127.0.0.1:7420", "localhost:7420", "LOCALHOST", "[::1]:7420"):
        status, headers, _ = ask(("host", host))
        assert status == 200, host
    policy = headers["content-security-policy"]
    assert "default-src 'self'" in policy and "frame-ancestors 'none'" in policy
    assert "http:" not in policy and "https:" not in policy and "*" not in policy
    assert headers["x-content-type-options"] == "nosniff"
    assert headers["x-frame-options"] == "DENY"


@pytest.mark.parametrize(
    "host",
    [
        "evil.example",
        "evil.example:7420",
        "127.0.0.1.evil.example",
        "localhost.evil.example",
        "",
        "user@127.0.0.1",
        "127.0.0.1:bad",
        "127.0.0.1/..",
        "127.0.0.1 evil",
        "192.168.7.7:7420",
        "shed.local",
        "0.0.0.0",
        "[::1",
        "127.0.0.1,evil.example",
        "127.0.0.1%00",
    ],
)
def test_other_names_are_refused(host: str) -> None:
    assert ask(("host", host))[0] == 421
    assert ask(("host", host), ("origin", f"http://{host}"), kind="websocket")[0] == 1008


def test_no_host_and_two_hosts_are_refused() -> None:
    assert ask()[0] == 421
    assert ask(HOST, ("host", "evil.example"))[0] == 421


@pytest.mark.parametrize(
    "origin",
    [
        "http://evil.example",
        "null",
        "http://localhost:7420",
        "http://127.0.0.1:80",
        "",
        "file://",
        "http://127.0.0.1:7420.evil.example",
        "http://127.0.0.1:7420, http://evil.example",
    ],
)
def test_other_origins_are_refused_on_pages_and_websockets(origin: str) -> None:
    assert ask(HOST, ("origin", origin))[0] == 403
    assert ask(HOST, ("origin", origin), method="POST")[0] == 403
    assert ask(HOST, ("origin", origin), kind="websocket")[0] == 1008


def test_what_changes_something_has_to_name_its_page() -> None:
    assert ask(HOST, method="POST")[0] == 403
    assert ask(HOST, kind="websocket")[0] == 1008
    own = ("origin", "http://127.0.0.1:7420")
    assert ask(HOST, own, method="POST")[0] == 200
    assert ask(HOST, own, kind="websocket")[0] == 200


def test_other_sites_may_lead_here_but_take_nothing() -> None:
    site = ("sec-fetch-site", "cross-site")
    assert ask(HOST, site, ("sec-fetch-mode", "navigate"))[0] == 200
    assert ask(HOST, site, ("sec-fetch-mode", "no-cors"))[0] == 403
    assert ask(HOST, ("sec-fetch-site", "same-site"), ("sec-fetch-mode", "cors"))[0] == 403


def test_too_much_is_refused_whether_announced_or_not() -> None:
    own = ("origin", "http://127.0.0.1:7420")
    for length in (str(MOST_UPLOADED + 1), "9" * 30, "-1", "1e3", "x"):
        assert ask(HOST, own, ("content-length", length), method="POST")[0] == 413, length
    piece = b"x" * (MOST_UPLOADED // 4)
    _, headers, _ = ask(HOST, own, method="POST", bodies=(piece,) * 4)
    assert headers["x-taken"] == str(4 * len(piece))
    _, headers, _ = ask(HOST, own, method="POST", bodies=(piece,) * 6)
    assert headers["x-taken"] == "-1"  # the page is told that the other side went away


def test_what_a_proxy_would_say_is_not_believed() -> None:
    body = ask(HOST, ("x-forwarded-prefix", "/evil"), ("forwarded", "for=1"), ("x-own", "1"))[2]
    assert "x-own" in body and "forward" not in body


def tablet(
    sharing: Sharing, *headers: tuple[str, str], path: str = "/", kind: str = "http"
) -> tuple[int, dict[str, str], str]:
    """What another device in the network is answered."""
    return ask(
        *headers, path=path, kind=kind, sharing=sharing, client="192.168.7.20", server="192.168.7.7"
    )


class TestShared:
    """With --share: other devices, which have to give the code first."""

    HOST = ("host", "192.168.7.7:7420")

    def test_a_device_is_led_to_the_code_and_let_in_with_its_cookie(self) -> None:
        sharing = Sharing()
        html = ("accept", "text/html,*/*")
        status, headers, _ = tablet(sharing, self.HOST, html)
        assert (status, headers["location"]) == (303, "/join")
        assert tablet(sharing, self.HOST)[0] == 401
        assert tablet(sharing, self.HOST, path="/join")[0] == 200
        value = sharing.try_code(sharing.code, "192.168.7.20").cookie
        for cookie, wanted in ((value, 200), (value + "x", 401), ("", 401), (";;=", 401)):
            header = ("cookie", f"other=1; {COOKIE}={cookie}")
            assert tablet(sharing, self.HOST, header)[0] == wanted

    def test_a_websocket_needs_the_cookie_too(self) -> None:
        sharing = Sharing()
        own = ("origin", "http://192.168.7.7:7420")
        assert tablet(sharing, self.HOST, own, kind="websocket")[0] == 1008
        value = sharing.try_code(sharing.code, "192.168.7.20").cookie
        cookie = ("cookie", f"{COOKIE}={value}")
        assert tablet(sharing, self.HOST, own, cookie, kind="websocket")[0] == 200
        evil = ("origin", "http://evil.example")
        assert tablet(sharing, self.HOST, evil, cookie, kind="websocket")[0] == 1008
        sharing.forget_devices()
        assert tablet(sharing, self.HOST, own, cookie, kind="websocket")[0] == 1008

    def test_only_this_computer_needs_no_code_and_sees_it(self) -> None:
        sharing = Sharing()
        assert ask(HOST, path="/share", sharing=sharing)[0] == 200
        value = sharing.try_code(sharing.code, "192.168.7.20").cookie
        cookie = ("cookie", f"{COOKIE}={value}")
        for path in ("/share", "/share/x"):
            assert tablet(sharing, self.HOST, cookie, path=path)[0] == 403
        # A device that calls itself by the name that only this computer may use.
        assert tablet(sharing, HOST)[0] == 401

    def test_the_address_reached_and_the_names_of_this_computer_are_known(self) -> None:
        html = ("accept", "text/html")
        for host, wanted in (
            ("192.168.7.7", 303),
            ("shed.local:7420", 303),
            ("192.168.7.8", 421),
            ("evil.example", 421),
        ):
            assert tablet(Sharing(), ("host", host), html)[0] == wanted, host


def test_names_of_hosts() -> None:
    assert host_name("LocalHost:80") == "localhost" and host_name("[::1]:80") == "::1"
    for wrong in ("", "a b", "a/b", "a@b", "a:99999", "a?b", "[::1"):
        assert host_name(wrong) is None, wrong
