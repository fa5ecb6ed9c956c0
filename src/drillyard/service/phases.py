"""The phases of a run by setting, and the single key that enters each."""

from typing import Final, get_args

from drillyard.core.care.ways import Phase, WardPhase
from drillyard.core.scenario.model import Scenario

STREET: Final[tuple[str, ...]] = get_args(Phase)
WARD: Final[tuple[str, ...]] = get_args(WardPhase)


def phases_of(scenario: Scenario) -> tuple[str, ...]:
    """The phases in their order.  Phase number n is entered by the key n."""
    return WARD if scenario.setting == "ward" else STREET
