"""The page of the entry line and its examples."""

from pathlib import Path

import pytest

from drillyard.core.entry import parse
from drillyard.core.entry.commands import commands
from drillyard.core.entry.page import entry_page
from tests.core.entry.hand import CASE

PAGE = Path(__file__).parents[3] / "docs" / "entry-line.md"
EXAMPLES = sorted({example for command in commands().values() for example in command.examples})


def test_the_page_is_what_the_commands_say() -> None:
    assert PAGE.read_text(encoding="utf-8") == entry_page()


@pytest.mark.parametrize("example", EXAMPLES)
def test_every_example_can_be_entered(example: str) -> None:
    result = parse(example, CASE)
    assert result.is_complete and not result.needs_confirmation
    assert result.not_modelled == example.startswith("other")


@pytest.mark.parametrize("line", ["epi 0.3 mg im r thigh", "txa 1 g iv over 10 min", "nlx 1 ml iv", "@2:10 tq l thigh"])
def test_the_lines_in_its_text_can_be_entered(line: str) -> None:
    assert line in PAGE.read_text(encoding="utf-8")
    assert parse(line, CASE).is_complete
