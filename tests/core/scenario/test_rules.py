"""Rules and cues: held-for, once or again, plain memory, branches, and what an evaluation costs."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from drillyard.core.care.actions import Attach, ControlBleeding, DecompressChest, GiveDrug, Ventilate
from drillyard.core.quantities.faults import Refusal
from drillyard.core.quantities.signals import SIGNALS
from drillyard.core.scenario.conditions import Conditions, compiled
from drillyard.core.scenario.cues import AnswerCard, CueQueue
from drillyard.core.scenario.facts import Facts, action_words
from drillyard.core.scenario.model import Answer, Cue, Rule, TellOperator
from drillyard.core.scenario.rules import RuleSet

TELL = (TellOperator(text="now"),)
LOW = {"spo2_pct": 70.0}
HIGH = {"spo2_pct": 98.0}


def _fired(rules: RuleSet, seconds: str, start_s: int = 0) -> list[int]:
    """Seconds at which something fires; ``seconds`` is one mark a second: L low, H high."""
    facts = Facts()
    times = []
    for i, mark in enumerate(seconds):
        if rules.evaluate(float(start_s + i), LOW if mark == "L" else HIGH, facts):
            times.append(start_s + i)
    return times


def _low(held_for_s: float = 0.0, repeat: bool = False) -> RuleSet:
    return RuleSet([Rule(name="low", when="spo2_pct < 80", held_for_s=held_for_s, repeat=repeat, then=TELL)])


@pytest.mark.parametrize(
    ("held_for_s", "repeat", "seconds", "times"),
    [
        (0.0, False, "HLLHL", [1]),
        (0.0, True, "HLLHLL", [1, 4]),
        (3.0, False, "LLLLL", [3]),
        (3.0, False, "LLLHLLLL", [7]),
        (3.0, True, "LLLLLHLLLL", [3, 9]),
        (3.0, False, "LLHLLH", []),
    ],
)
def test_fires_when_held_without_a_break(held_for_s: float, repeat: bool, seconds: str, times: list[int]) -> None:
    assert _fired(_low(held_for_s, repeat), seconds) == times


@settings(deadline=None)
@given(st.text("LH", max_size=40), st.integers(0, 6), st.booleans())
def test_agrees_with_the_plain_definition(seconds: str, held_for_s: int, repeat: bool) -> None:
    expected, run, has_fired = [], 0, False
    for i, mark in enumerate(seconds):
        run = run + 1 if mark == "L" else 0
        if run == 0 and repeat:
            has_fired = False
        if run > held_for_s and not has_fired:
            expected.append(i)
            has_fired = True
    assert _fired(_low(float(held_for_s), repeat), seconds) == expected


@settings(max_examples=60, deadline=None)
@given(st.text("LH", min_size=1, max_size=30), st.integers(0, 29), st.integers(0, 5), st.booleans())
def test_memory_put_back_goes_on_as_if_nothing_had_been(seconds: str, cut: int, held_for_s: int, repeat: bool) -> None:
    cut = min(cut, len(seconds))
    whole = _fired(_low(float(held_for_s), repeat), seconds)
    first = _low(float(held_for_s), repeat)
    times = _fired(first, seconds[:cut])
    second = _low(float(held_for_s), repeat)
    second.set_state(first.get_state())
    assert times + _fired(second, seconds[cut:], cut) == whole


def test_a_branch_does_not_touch_its_trunk() -> None:
    trunk = _low(3.0)
    _fired(trunk, "LL")
    branch = trunk.copy()
    before = trunk.get_state()
    assert _fired(branch, "LL", 2) == [3]
    assert trunk.get_state() == before


def test_conditions_read_what_was_done_and_obtained() -> None:
    facts = Facts()
    facts.enter_phase("at patient")
    facts.note_action(GiveDrug(drug="naloxone", dose=400.0, dose_unit="ug", route="IM"), 30.0)
    facts.note_action(GiveDrug(drug="naloxone", dose=0.4, dose_unit="mg", route="IV"), 60.0)
    facts.note_action(Ventilate(), 20.0)
    facts.note_obtained("glucose", 50.0)
    true = [
        'done["give drug naloxone IV"]', 'count["give drug naloxone"] == 2.0', 'since_s["give drug naloxone"] == 40.0',
        'dose_mg["naloxone"] > 0.79 && dose_mg["naloxone"] < 0.81',
        'first_s["ventilate"] < first_s["give drug naloxone"]',
        'obtained["glucose"]', 'since_obtained_s["glucose"] == 50.0', 'phase == "at patient"',
        'since_s["shock"] > 1000000.0', '!done["decompress chest left"]', "t_s == 100.0",
    ]  # fmt: skip
    held = Conditions(true).evaluate(100.0, {}, facts)
    assert [source for source, is_true in zip(true, held, strict=True) if not is_true] == []


def test_words_go_from_the_plain_kind_to_the_most_particular() -> None:
    assert action_words(DecompressChest(side="left")) == ("decompress chest", "decompress chest left")
    assert action_words(Attach(sensor="finger probe")) == ("attach", "attach finger probe")
    words = action_words(ControlBleeding(how="tourniquet", site="left thigh"))
    assert words == (
        "control bleeding", "control bleeding tourniquet", "control bleeding left thigh",
        "control bleeding tourniquet left thigh",
    )  # fmt: skip


def test_late_entries_keep_first_and_newest_times_in_order() -> None:
    facts = Facts()
    facts.note_action(Ventilate(), 60.0)
    facts.note_action(Ventilate(), 20.0)
    assert (facts.first_s["ventilate"], facts.last_s["ventilate"]) == (20.0, 60.0)


def test_a_copy_of_the_facts_is_seen_as_its_own() -> None:
    """One context may be shown two states of equally many changes; it must never answer from the other one."""
    conditions = Conditions(['done["ventilate"]'])
    one, other = Facts(), Facts()
    one.note_action(Ventilate(), 0.0)
    other.note_action(Attach(sensor="finger probe"), 0.0)
    assert [conditions.evaluate(1.0, {}, facts)[0] for facts in (one, other, one)] == [True, False, True]


@pytest.mark.parametrize("source", ["done[phase]", "done", 'done["a"] && count', "spo2_pct <", 'phase == "a'])
def test_refuses_what_cannot_be_checked(source: str) -> None:
    with pytest.raises(Refusal):
        compiled(source)


def test_a_condition_that_fails_does_not_hold_and_says_so() -> None:
    conditions = Conditions(["t_s + 1 > 0", "t_s > 0.0"])
    assert conditions.evaluate(1.0, {}, Facts()) == [False, True]
    assert list(conditions.faults) == ["t_s + 1 > 0"]


PARTS = (
    "spo2_pct < 90", "systolic_pressure_mmhg >= 80.5", "t_s > 10", 'phase == "on scene"', 'done["ventilate"]',
    'since_s["ventilate"] > 5.0', '!done["ventilate"]', "heart_rate_per_min > spo2_pct", 'count["ventilate"] > 1.0',
)  # fmt: skip


@given(
    parts=st.lists(st.sampled_from(PARTS), min_size=1, max_size=4),
    joins=st.lists(st.sampled_from([" && ", " && ", " || "]), min_size=4, max_size=4),
    spo2_pct=st.sampled_from([70.0, 90.0, 97.0]),
    pressure_mmhg=st.sampled_from([80.0, 80.5, 120.0]),
    t_s=st.sampled_from([0.0, 10.0, 60.0]),
    phase=st.sampled_from(["on scene", "end"]),
    is_ventilated=st.booleans(),
)
def test_what_is_plain_from_the_text_is_what_the_expression_says(
    parts: list[str],
    joins: list[str],
    spo2_pct: float,
    pressure_mmhg: float,
    t_s: float,
    phase: str,
    is_ventilated: bool,
) -> None:
    source = "".join(part + join for part, join in zip(parts, [*joins[: len(parts) - 1], ""], strict=True))
    signals = {name: signal.high for name, signal in SIGNALS.items()}
    signals |= {"spo2_pct": spo2_pct, "systolic_pressure_mmhg": pressure_mmhg, "heart_rate_per_min": 80.0}
    facts = Facts()
    facts.enter_phase(phase)
    if is_ventilated:
        facts.note_action(Ventilate(rate_per_min=10.0), 0.0)
    worked_out, fault = Conditions([source]).value_of_first(t_s, signals, facts)
    assert fault == ""
    assert Conditions([source]).evaluate(t_s, signals, facts) == [worked_out]


def _queue(**more: object) -> CueQueue:
    return CueQueue([Cue(name="blue", words="He is blue.", when="spo2_pct < 80", **more)])  # type: ignore[arg-type]


def _names(queue: CueQueue, t_s: float, signals: dict[str, float]) -> list[str]:
    return [cue.name for cue in queue.evaluate(t_s, signals, Facts())]


def test_a_cue_waits_while_it_holds_and_drops_out_when_it_does_not() -> None:
    queue = _queue(held_for_s=2.0)
    assert [_names(queue, float(t), LOW) for t in range(3)] == [[], [], ["blue"]]
    assert _names(queue, 3.0, HIGH) == []


def test_a_cue_that_stays_waits_until_it_is_given() -> None:
    queue = _queue(stays=True)
    assert _names(queue, 0.0, LOW) == ["blue"]
    assert _names(queue, 1.0, HIGH) == ["blue"]
    queue.note_given("blue", 1.0)
    assert _names(queue, 2.0, LOW) == []


def test_a_cue_is_given_once_or_again_after_a_while() -> None:
    once, again = _queue(), _queue(again_after_s=10.0)
    for queue in (once, again):
        _names(queue, 0.0, LOW)
        queue.note_given("blue", 0.0)
    assert [_names(queue, 9.0, LOW) for queue in (once, again)] == [[], []]
    assert [_names(queue, 10.0, LOW) for queue in (once, again)] == [[], ["blue"]]


def test_a_cue_put_by_a_rule_waits_whatever_its_condition_says() -> None:
    queue = _queue()
    queue.put("blue")
    assert _names(queue, 0.0, HIGH) == ["blue"]
    twin = queue.copy()
    twin.note_given("blue", 0.0)
    assert _names(twin, 1.0, HIGH) == []
    assert _names(queue, 1.0, HIGH) == ["blue"]


def test_the_answer_card_follows_the_state() -> None:
    card = AnswerCard(
        [
            Answer(asked="How are you?", who="patient", said="Fine.", when="gcs_total >= 13"),
            Answer(asked="How are you?", who="patient", said="(moans)", when="gcs_total < 13"),
        ]
    )
    assert [answer.said for answer in card.now(0.0, {"gcs_total": 9.0}, Facts())] == ["(moans)"]
