"""A playbook: events in at their times, and what must be wanted or true, in the order of a run.

It plays the shell: gives numbers and steps, logs what the core wants, posts it back.
"""

from typing import Any

from drillyard.core.session.events import Event, Happening
from drillyard.core.session.run import Run, Wanted
from drillyard.core.session.setup import RunSetup
from drillyard.core.session.timeline import tick_of
from tests.core.session.fakes import event


class Playbook:
    """``at`` posts a happening, ``to`` moves on; ``wanted`` is all that the core has wanted so far."""

    def __init__(self, setup: RunSetup, logs_wanted: bool = True) -> None:
        self.run = Run(setup)
        self.log: list[Event] = []
        self.wanted: list[Wanted] = []
        self._logs_wanted = logs_wanted

    def to(self, t_s: float, chunk_steps: int = 5) -> "Playbook":
        """Moves on, ``chunk_steps`` at a time, as the room loop does."""
        end = tick_of(t_s)
        while True:
            new = self.run.advance_to(min(end, self.run.step + chunk_steps))
            self.wanted += new
            if self._logs_wanted:
                for wanted in new:
                    self._post(wanted.step, wanted.body, source=wanted.source, client_id=wanted.client_id,
                               actor=wanted.actor, tags=wanted.tags)  # fmt: skip
            if self.run.step >= end or self.run.is_ended or self.run.frozen:
                return self

    def at(self, t_s: float, body: Happening, **changes: Any) -> "Playbook":
        """Moves to ``t_s`` and posts ``body`` there."""
        self.to(t_s)
        return self.now(body, **changes)

    def now(self, body: Happening, **changes: Any) -> "Playbook":
        """Posts ``body`` at the step at hand."""
        self.run.check(body, self.run.step)
        self._post(self.run.step, body, **changes)
        self.wanted += (new := self.run.advance_to(self.run.step))
        if self._logs_wanted:
            for wanted in new:
                self._post(wanted.step, wanted.body, source=wanted.source, client_id=wanted.client_id,
                           actor=wanted.actor, tags=wanted.tags)  # fmt: skip
        return self

    def _post(self, step: int, body: Happening, **changes: Any) -> None:
        made = event(len(self.log) + 1, step, body, **changes)
        self.log.append(made)
        self.run.post(made)

    def seq_of(self, kind: str, nth: int = 0) -> int:
        """The number of the nth event of a kind."""
        return [one.seq for one in self.log if one.body.kind == kind][nth]

    def kinds(self) -> list[str]:
        """What has been wanted so far, in words."""
        return [wanted.body.kind for wanted in self.wanted]
