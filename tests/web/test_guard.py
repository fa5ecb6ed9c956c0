"""Only the lab's own pages may talk to the server."""

import pytest
from starlette.datastructures import Headers

from drillyard.web.guard import Doors, refusal_sentence

DOORS = Doors.of(9137, ["lab-desk.test"])


@pytest.mark.parametrize("host", ["127.0.0.1:9137", "localhost:9137", "[::1]:9137", "LAB-DESK.test:9137"])
def test_own_addresses_pass(host: str) -> None:
    assert refusal_sentence(DOORS, Headers({"host": host}), "GET", False) == ""


@pytest.mark.parametrize(
    "host",
    ["evil.test:9137", "127.0.0.1:9138", "127.0.0.1", "localhost.evil.test:9137", "", "[::2]:9137", "127.0.0.1.:9137"],
)
def test_other_hosts_are_refused_even_for_reading(host: str) -> None:
    assert "not one of the lab's own" in refusal_sentence(DOORS, Headers({"host": host}), "GET", False)


def test_two_host_headers_are_refused() -> None:
    headers = Headers(raw=[(b"host", b"127.0.0.1:9137"), (b"host", b"evil.test")])
    assert refusal_sentence(DOORS, headers, "GET", False)


@pytest.mark.parametrize(
    "origin",
    [
        "http://evil.test",
        "http://127.0.0.1:9138",
        "null",
        "file://",
        "http://127.0.0.1:9137.evil.test",
        "ftp://127.0.0.1:9137",
    ],
)
@pytest.mark.parametrize("is_socket", [False, True])
def test_pages_of_other_origins_change_nothing_and_open_no_socket(origin: str, is_socket: bool) -> None:
    headers = Headers({"host": "127.0.0.1:9137", "origin": origin})
    assert "another address" in refusal_sentence(DOORS, headers, "GET" if is_socket else "POST", is_socket)


def test_own_origin_and_clients_without_pages_pass() -> None:
    own = Headers({"host": "127.0.0.1:9137", "origin": "http://localhost:9137"})
    assert refusal_sentence(DOORS, own, "POST", False) == ""
    assert refusal_sentence(DOORS, Headers({"host": "127.0.0.1:9137"}), "POST", False) == ""


def test_a_browser_that_hides_the_origin_of_a_foreign_page_is_refused() -> None:
    headers = Headers({"host": "127.0.0.1:9137", "sec-fetch-site": "cross-site"})
    assert refusal_sentence(DOORS, headers, "POST", False)


def test_default_port_may_be_left_out_only_on_port_80() -> None:
    assert Doors.of(80).knows_host("localhost")
    assert Doors.of(80).knows_origin("http://localhost")
    assert not DOORS.knows_host("localhost")
