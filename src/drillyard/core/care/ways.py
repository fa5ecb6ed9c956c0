"""The ways in which a crew can come by a finding."""

from typing import Literal

How = Literal["on the manikin", "room monitor", "crew's own device", "told", "card", "print", "prop"]
