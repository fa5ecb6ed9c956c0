"""What parsing one line gives: an action, or a question, or a fault - and what helps to type on."""

from dataclasses import dataclass

from drillyard.core.care.actions import Action
from drillyard.core.quantities.faults import Fault


@dataclass(frozen=True, slots=True, kw_only=True)
class Completion:
    """``insert`` is the whole line as it would read; ``label`` says what it means."""

    insert: str
    label: str


@dataclass(frozen=True, slots=True, kw_only=True)
class ParseResult:
    """One line, understood or not.

    ``sentence`` is the entry in full, ``emphasis`` the words of it that deserve weight (side, dose, unit),
    ``reckoned`` what its dose was reckoned from ("250 mL of 10 %");
    ``ghost`` continues what is typed; ``question`` is asked where something is missing or could be read in two ways;
    ``fault`` says what cannot be used; ``warning`` stands beside a usable entry and, with ``needs_confirmation``,
    asks for a second Enter (parse again with ``confirmed``); ``warned`` is the part of it that is about this manikin,
    which the log keeps.  ``late_t_s`` is the time of a late entry in seconds from time zero.  ``undo`` takes
    back the newest entry.
    """

    action: Action | None = None
    sentence: str = ""
    reckoned: str = ""
    emphasis: tuple[str, ...] = ()
    ghost: str = ""
    completions: tuple[Completion, ...] = ()
    warning: str = ""
    warned: str = ""
    question: str = ""
    fault: Fault | None = None
    needs_confirmation: bool = False
    not_modelled: bool = False
    late_t_s: float | None = None
    undo: bool = False

    @property
    def echo(self) -> str:
        """What is shown before Enter: the sentence, and what its dose was reckoned from."""
        return f"{self.sentence} ({self.reckoned})" if self.reckoned else self.sentence

    @property
    def is_complete(self) -> bool:
        """Whether Enter would log something, at once or after a second confirmation."""
        return self.undo or self.action is not None
