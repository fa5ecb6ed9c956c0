"""Faults as data: one clear sentence each - what, where, the allowed range, how to mend."""

from dataclasses import dataclass


@dataclass(frozen=True, slots=True, kw_only=True)
class Place:
    """Where a fault is: file (relative to the lab folder), line and column from 1, and the path of the field."""

    file: str = ""
    line: int | None = None
    column: int | None = None
    field: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Fault:
    """One thing that is wrong with what somebody wrote or typed.

    ``code`` names the kind of fault in words ("unknown drug", "out of range"); ``said`` is the sentence's first
    part; ``allowed`` the allowed values or range; ``remedy`` what to do; ``near`` close matches of a
    misspelt word.
    """

    code: str
    said: str
    place: Place = Place()
    value: str = ""
    allowed: str = ""
    remedy: str = ""
    near: tuple[str, ...] = ()
    is_warning: bool = False

    def sentence(self) -> str:
        """The fault as one clear sentence, ready for a screen or a terminal."""
        where = self.place.file
        if self.place.line is not None:
            where += f", line {self.place.line}" if where else f"line {self.place.line}"
        if self.place.field:
            where += f", {self.place.field}" if where else self.place.field
        parts = [f"{where}: {self.said}" if where else self.said]
        if self.allowed:
            parts.append(f"allowed: {self.allowed}")
        if self.near:
            parts.append("did you mean " + " or ".join(f"'{word}'" for word in self.near) + "?")
        if self.remedy:
            parts.append(self.remedy)
        # A part that ends its own sentence needs no second stop: "did you mean 'x'? Or write ...".
        text = parts[0]
        for part in parts[1:]:
            text += f" {part[:1].upper()}{part[1:]}" if text[-1] in ".?!" else f"; {part}"
        return text if text[-1] in ".?!" else text + "."


class Refusal(Exception):
    """Raised where input cannot be used; carries the faults, never a bare string."""

    def __init__(self, *faults: Fault) -> None:
        self.faults = faults
        super().__init__(" ".join(fault.sentence() for fault in faults))
