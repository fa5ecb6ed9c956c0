"""A slow screen gets a fresh snapshot instead of a backlog, and never loses an answer without noticing."""

import asyncio

import pytest

from drillyard.web.outbox import ANSWER_LIMIT, STATE_LIMIT, Outbox, ScreenTooSlowError


def taken(box: Outbox, n: int) -> list[str | bytes]:
    async def take() -> list[str | bytes]:
        return [await asyncio.wait_for(box.take(), 1.0) for _ in range(n)]

    return asyncio.run(take())


def test_the_first_message_is_a_snapshot_and_changes_before_it_are_dropped() -> None:
    box = Outbox(lambda: "snapshot")
    box.put_state("old")
    assert taken(box, 1) == ["snapshot"]
    box.put_state("new")
    assert taken(box, 1) == ["new"]


def test_a_full_queue_becomes_one_snapshot_made_when_it_is_sent() -> None:
    made: list[int] = []

    def snapshot() -> str:
        made.append(len(made))
        return f"snapshot {len(made)}"

    box = Outbox(snapshot)
    taken(box, 1)
    for number in range(STATE_LIMIT + 5):
        box.put_state(f"change {number}")
    assert made == [0]
    assert taken(box, 1) == ["snapshot 2"]
    assert box.n_resyncs == 1
    box.put_state("after")
    assert taken(box, 1) == ["after"]


def test_answers_come_first_and_survive_a_resync() -> None:
    box = Outbox(lambda: "snapshot")
    box.put_answer("ack")
    box.resync()
    assert taken(box, 2) == ["ack", "snapshot"]


def test_too_many_answers_close_the_connection() -> None:
    box = Outbox(lambda: "snapshot")
    for _ in range(ANSWER_LIMIT):
        box.put_answer("ack")
    with pytest.raises(ScreenTooSlowError):
        box.put_answer("one more")
