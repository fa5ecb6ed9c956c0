"""A hold is let go over the time that the control room sets."""

import pytest
from pydantic import ValidationError

from drillyard.core.session.events import HoldReleased
from drillyard.web import command_messages as m
from drillyard.web.commands import happenings


class Desk:
    """Only what letting go needs of the desk."""

    def release(self, what: str, over_s: float | None) -> list[HoldReleased]:
        return [HoldReleased(what=what, over_s=10.0 if over_s is None else over_s)]


@pytest.mark.parametrize(("sent", "over_s"), [({}, 10.0), ({"over_s": 45.0}, 45.0), ({"over_s": 0.0}, 0.0)])
def test_the_time_of_a_release_is_that_of_the_wire(sent: dict[str, float], over_s: float) -> None:
    asked = m.ReleaseHold(what="heart rate", **sent)
    assert happenings(Desk(), asked) == [HoldReleased(what="heart rate", over_s=over_s)]


@pytest.mark.parametrize("over_s", [-1.0, 601.0])
def test_a_time_that_cannot_be_is_refused(over_s: float) -> None:
    with pytest.raises(ValidationError):
        m.ReleaseHold(what="heart rate", over_s=over_s)
