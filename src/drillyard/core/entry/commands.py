"""All commands of the entry line by their first words."""

from functools import cache

from drillyard.core.entry.grammar import (
    airway_breath,
    bleeding_chest,
    heart,
    lines_fluids,
    repeats,
    sensors_looks,
    ventilator,
    words_said,
)
from drillyard.core.entry.grammar.common import Command


@cache
def commands() -> dict[str, Command]:
    """First word or phrase -> command.

    Raises:
        ValueError: a phrase stands for two commands (a fault of the grammar, found by the tests).
    """
    table: dict[str, Command] = {}
    for module in (
        lines_fluids, repeats, airway_breath, ventilator, bleeding_chest, heart, sensors_looks, words_said,
    ):  # fmt: skip
        for command in module.COMMANDS:
            for word in command.words:
                if word in table:
                    raise ValueError(f"'{word}' stands for two commands: {table[word].about} and {command.about}")
                table[word] = command
    return table
