"""The codec: what goes in comes out, and what cannot be read is refused in one sentence."""

import json
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from drillyard.core.care.actions import GiveDrug
from drillyard.core.quantities.faults import Place, Refusal
from drillyard.core.session import codec
from drillyard.core.session.events import CareGiven, StopWordSaid
from tests.core.session.fakes import event
from tests.core.session.strategies import HAPPENINGS, STRATEGIES, events

OLD = Path(__file__).parents[2] / "data" / "old"
DOSE = event(3, 500, CareGiven(action=GiveDrug(drug="fentanyl", dose=0.1, route="IV"), text="fentanyl 0.1 mg IV"))


def test_every_kind_of_happening_has_a_strategy() -> None:
    assert set(STRATEGIES) == set(HAPPENINGS)
    assert {kind.__dataclass_fields__["kind"].default for kind in HAPPENINGS} == set(codec.KINDS)


@settings(max_examples=300, deadline=None)
@given(events())
def test_an_event_comes_back_the_same(original: Any) -> None:
    assert codec.event_from_line(codec.event_to_line(original)) == original
    assert codec.event_from_dict(codec.event_to_dict(original)) == original


@pytest.mark.parametrize("kind", HAPPENINGS, ids=lambda kind: kind.__name__)
@settings(max_examples=20, deadline=None)
@given(data=st.data())
def test_each_kind_is_told_apart_by_its_word(kind: type, data: st.DataObject) -> None:
    body = data.draw(STRATEGIES[kind])
    assert type(codec.event_from_line(codec.event_to_line(event(1, 0, body))).body) is kind


def test_a_line_is_one_line() -> None:
    text = replace(DOSE, actor="two\nlines")
    assert "\n" not in codec.event_to_line(text)
    assert codec.event_from_line(codec.event_to_line(text)).actor == "two\nlines"


def test_logs_of_every_old_version_are_read() -> None:
    files = sorted(OLD.glob("events_*.jsonl"))
    assert files
    for file in files:
        read = codec.events_from_lines(file.read_text(encoding="utf-8").splitlines(), file.name)
        assert len(read) == len(file.read_text(encoding="utf-8").splitlines())
    kinds = {one.body.kind for one in codec.events_from_lines((OLD / "events_1.jsonl").read_text().splitlines())}
    assert kinds == set(codec.KINDS), "the sample of version 1 holds every kind that version 1 knew"


def test_an_old_shape_walks_up_version_by_version() -> None:
    plain = codec.event_to_dict(event(1, 0, StopWordSaid()))
    plain["body"] = {"kind": "stop word said", "a": 1}
    seen = []

    def first(body: dict[str, Any]) -> dict[str, Any]:
        seen.append(("first", dict(body)))
        return {"kind": body["kind"], "b": body["a"] + 1}

    def second(body: dict[str, Any]) -> dict[str, Any]:
        seen.append(("second", dict(body)))
        return {"kind": body["kind"]}

    read = codec.event_from_dict(
        plain, Place(), {"stop word said": 3}, {("stop word said", 1): first, ("stop word said", 2): second}
    )
    assert [name for name, _ in seen] == ["first", "second"]
    assert seen[1][1] == {"kind": "stop word said", "b": 2}
    assert (read.body, read.version) == (StopWordSaid(), 3)


def refused(line: str) -> str:
    with pytest.raises(Refusal) as caught:
        codec.event_from_line(line, Place(file="log.jsonl", line=4))
    sentence = str(caught.value)
    assert sentence.startswith("log.jsonl, line 4")
    return sentence


def changed(**changes: Any) -> str:
    plain = codec.event_to_dict(DOSE)
    for path, value in changes.items():
        part = plain
        *way, last = path.split("__")
        for step in way:
            part = part[step]
        part[last] = value
    return json.dumps(plain)


def test_a_newer_version_is_refused_with_advice() -> None:
    sentence = refused(changed(version=2))
    assert "version 2" in sentence and "knows 1" in sentence and "newer version of Drillyard" in sentence


def test_an_unknown_kind_is_refused_with_advice() -> None:
    assert "newer version of Drillyard" in refused(changed(body__kind="levitated"))


@pytest.mark.parametrize(
    ("line", "words"),
    [
        (changed(body__action__dose="much"), "body.action.dose"),
        (changed(body__action__colour="red"), "body.action.colour"),
        (changed(step=None), "step"),
        (changed(version=0), "version 0"),
        (codec.event_to_line(DOSE)[:-20], "cut short"),
        ("[1, 2]", "not a JSON object"),
        (changed().replace("0.1", "NaN", 1), "not finite"),
    ],
)
def test_a_fault_is_named(line: str, words: str) -> None:
    assert words in refused(line)


def test_every_fault_of_a_file_is_told_with_its_line() -> None:
    good = codec.event_to_line(DOSE)
    with pytest.raises(Refusal) as caught:
        codec.events_from_lines([good, "", changed(version=9), good, "{"], "log.jsonl")
    assert [fault.place.line for fault in caught.value.faults] == [3, 5]


@pytest.mark.parametrize("dose", [float("nan"), float("inf"), -float("inf")])
def test_a_number_that_json_cannot_hold_is_refused_before_it_is_kept(dose: float) -> None:
    bad = replace(DOSE, body=CareGiven(action=GiveDrug(drug="fentanyl", dose=dose, route="IV"), text=""))
    with pytest.raises(Refusal, match=r"body\.action\.dose"):
        codec.event_to_line(bad)
