"""``drillyard serve`` as a program: what it prints, what it refuses, and that nothing acknowledged is lost."""

import argparse
import json
import os
import signal
import socket
import subprocess
import sys
import time
import urllib.error
import urllib.request
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

import pytest
from websockets.sync.client import connect

from drillyard.cli import serve
from drillyard.core.quantities.faults import Refusal

SERVE = (
    "import argparse, sys; from drillyard.cli import serve; p = argparse.ArgumentParser(); "
    "serve.add_parser(p.add_subparsers()); sys.exit(serve.run(p.parse_args(sys.argv[1:])))"
)


def free_port() -> int:
    with socket.socket() as taken:
        taken.bind(("127.0.0.1", 0))
        return int(taken.getsockname()[1])


@contextmanager
def served(folder: Path, port: int) -> Iterator["subprocess.Popen[str]"]:
    command = [sys.executable, "-c", SERVE, "serve", str(folder), "--port", str(port), "--no-browser"]
    server = subprocess.Popen(command, stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True, env=dict(os.environ))
    try:
        yield server
    finally:
        server.kill()
        server.communicate()


def answer(port: int, path: str, host: str | None = None) -> tuple[int, bytes]:
    """What the server answers, waiting until there is one."""
    until_s = time.monotonic() + 60.0
    while True:
        request = urllib.request.Request(f"http://127.0.0.1:{port}{path}", headers={"Host": host} if host else {})
        try:
            with urllib.request.urlopen(request, timeout=60.0) as got:
                return got.status, got.read()
        except urllib.error.HTTPError as wrong:
            return wrong.code, wrong.read()
        except OSError:
            assert time.monotonic() < until_s
            time.sleep(0.05)


def parsed(*words: str) -> argparse.Namespace:
    parser = argparse.ArgumentParser()
    serve.add_parser(parser.add_subparsers())
    return parser.parse_args(["serve", *words])


def test_an_empty_folder_becomes_the_demonstration_lab_and_every_screen_has_its_address(tmp_path: Path) -> None:
    port = free_port()
    with served(tmp_path / "lab", port) as server:
        status, page = answer(port, "/")
        assert status in (200, 503)
        assert b"Drillyard" in page
        home = json.loads(answer(port, "/api/home")[1])
        assert home["is_demo"] and home["cases"]
        assert answer(port, "/api/home", host="evil.test")[0] == 403
        assert (tmp_path / "lab" / "lab.db").exists()
        with served(tmp_path / "lab", free_port()) as second:
            out, err = second.communicate(timeout=60)
            assert second.returncode == 2
            assert err.count("\n") == 1 and "is in use by process" in err
        server.send_signal(signal.SIGINT)
        out, err = server.communicate(timeout=30)
        assert f"http://127.0.0.1:{port}/control/room-1" in out
        assert f"http://127.0.0.1:{port}/monitor/room-1" in out
        assert "training only" in out
        assert "Traceback" not in err


def test_a_port_in_use_is_one_sentence(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    with socket.socket() as taken:
        taken.bind(("127.0.0.1", 0))
        taken.listen()
        port = taken.getsockname()[1]
        assert serve.run(parsed(str(tmp_path / "lab"), "--port", str(port), "--no-browser")) == 2
    said = capsys.readouterr().err
    assert said.count("\n") == 1
    assert f"port {port} on 127.0.0.1 cannot be used" in said
    assert "choose another with --port" in said
    assert not (tmp_path / "lab").exists(), "nothing is made where it cannot start"


@pytest.mark.parametrize("port", ["70000", "-1"])
def test_a_number_that_is_no_port_is_one_sentence(port: str, capsys: pytest.CaptureFixture[str]) -> None:
    assert serve.run(parsed(f"--port={port}", "--no-browser")) == 2
    assert "is no port; allowed: 1 to 65535" in capsys.readouterr().err


def test_a_folder_that_is_no_lab_is_one_sentence(tmp_path: Path) -> None:
    (tmp_path / "letters").mkdir()
    (tmp_path / "letters" / "mine.txt").write_text("not a lab", encoding="utf-8")
    with served(tmp_path / "letters", free_port()) as server:
        _, err = server.communicate(timeout=60)
        assert server.returncode == 2
    assert "is not a lab folder" in err
    assert "Traceback" not in err
    assert sorted(path.name for path in (tmp_path / "letters").iterdir()) == ["mine.txt"]


def test_addresses_name_every_screen_of_every_room() -> None:
    lines = serve.addresses("127.0.0.1", 8765, ("bay-1", "bay-2"))
    assert [address for _, address in lines] == [
        "http://127.0.0.1:8765/",
        "http://127.0.0.1:8765/control/bay-1",
        "http://127.0.0.1:8765/monitor/bay-1",
        "http://127.0.0.1:8765/control/bay-2",
        "http://127.0.0.1:8765/monitor/bay-2",
    ]


def test_an_address_of_another_machine_cannot_be_listened_on() -> None:
    with pytest.raises(Refusal, match="cannot be used"):
        serve.listen("203.0.113.9", 8765)


def wait_for_body(port: int, server: "subprocess.Popen[str]") -> None:
    """The compiled body is loaded in the background; where it is not compiled yet, that takes a while."""
    until_s = time.monotonic() + 900.0
    while json.loads(answer(port, "/api/health")[1])["body"] != "ready":
        assert server.poll() is None
        assert time.monotonic() < until_s
        time.sleep(0.1)


def started(port: int) -> str:
    asked = {"scenario": "c8-tractor", "manikin": "adult-manikin-a", "room": "room-1", "seed": 3}
    request = urllib.request.Request(
        f"http://127.0.0.1:{port}/api/runs", json.dumps(asked).encode(), {"content-type": "application/json"}
    )
    with urllib.request.urlopen(request, timeout=60.0) as got:
        return str(json.loads(got.read())["run_id"])


@contextmanager
def screen(port: int) -> Iterator[Callable[[dict[str, object] | None, str], dict[str, Any]]]:
    """A control room: sends a command, if any, and gives the next message of a kind."""
    with connect(f"ws://127.0.0.1:{port}/ws/room/room-1", open_timeout=60.0, max_size=None) as link:

        def ask(command: dict[str, object] | None, kind: str) -> dict[str, Any]:
            if command is not None:
                link.send(json.dumps({"type": "command", **command}))
            while True:
                message: dict[str, Any] = json.loads(link.recv(timeout=60.0))
                if message["type"] == kind:
                    return message

        yield ask


def test_kill_9_in_the_middle_of_a_run_loses_nothing_that_was_acknowledged(tmp_path: Path) -> None:
    folder, port = tmp_path / "lab", free_port()
    with served(folder, port) as server:
        wait_for_body(port, server)
        run_id = started(port)
        acknowledged = []
        with screen(port) as ask:
            ask(None, "snapshot")
            for number in range(25):
                note = {"do": "note", "text": f"note {number}"}
                acknowledged.append(ask({"client_id": f"desk-{number:05d}", "command": note}, "ack")["seq"])
            ask({"client_id": "desk-99999", "command": {"do": "enter", "typed": "tourniquet left thigh"}}, "ack")
        server.kill()
        server.wait(timeout=30)
    with served(folder, port) as server:
        wait_for_body(port, server)
        with screen(port) as ask:
            snapshot = ask(None, "snapshot")
            assert snapshot["run"]["run_id"] == run_id
            assert snapshot["run"]["is_running"] is True
            texts = [line["text"] for line in snapshot["log"]]
            assert [text for text in texts if text.startswith("note ")] == [f"note {number}" for number in range(25)]
            assert any("ourniquet" in text for text in texts)
            again = {"client_id": "desk-00007", "command": {"do": "note", "text": "note 7"}}
            assert ask(again, "ack")["seq"] == acknowledged[7]
