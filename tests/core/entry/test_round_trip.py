"""Every kind of action can be typed, and what is typed for an action gives that very action."""

from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from drillyard.core.entry import parse, sentence_of, shorthand_of
from drillyard.core.entry.commands import commands
from tests.core.entry.actions_drawn import DRAWN, KINDS
from tests.core.entry.hand import CASE


def test_every_kind_of_action_is_drawn() -> None:
    assert set(DRAWN) == set(KINDS)


@pytest.mark.parametrize("kind", KINDS, ids=lambda kind: kind.__name__)
def test_what_is_typed_for_an_action_gives_that_action(kind: type) -> None:
    @settings(max_examples=60, deadline=None)
    @given(DRAWN[kind])
    def check(action: Any) -> None:
        typed = shorthand_of(action)
        result = parse(typed, CASE, confirmed=getattr(action, "confirmed_unusual", False))
        assert result.action == action, (typed, result.fault and result.fault.sentence(), result.question)
        assert result.sentence == sentence_of(action)
        assert all(word and word in result.sentence for word in result.emphasis)

    check()


def test_no_phrase_stands_for_two_commands() -> None:
    assert len(commands()) > 60


@settings(max_examples=300, deadline=None)
@given(st.text(max_size=60))
def test_nothing_that_can_be_typed_raises(typed: str) -> None:
    result = parse(typed, CASE)
    answers = [result.is_complete, bool(result.question), result.fault is not None]
    assert sum(answers) == (1 if typed.strip() else 0)


@settings(max_examples=300, deadline=None)
@given(
    st.lists(
        st.sampled_from([*sorted(commands()), "l", "r", "thigh", "5", "0.3", "mg", "iv", "on", "@1:00", "epi"]),
        max_size=6,
    )
)
def test_nothing_made_of_known_words_raises(words: list[str]) -> None:
    parse(" ".join(words), CASE)


@settings(max_examples=100, deadline=None)
@given(st.one_of(*DRAWN.values()), st.integers(0, 40))
def test_a_ghost_goes_on_from_what_is_typed(action: Any, letters: int) -> None:
    typed = shorthand_of(action)[:letters]
    result = parse(typed, CASE)
    if result.ghost:
        assert any(row.insert == typed + result.ghost for row in result.completions)
