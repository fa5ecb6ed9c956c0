"""Words shared by files, logs and screens: how a finding is come by, and the phases of a run."""

from typing import Literal

How = Literal["on the manikin", "room monitor", "crew's own device", "told", "card", "print", "prop"]
Phase = Literal["dispatch", "en route", "on scene", "at patient", "leaving scene", "report", "handover", "end"]
WardPhase = Literal["handover received", "at bedside", "help called", "provider called", "transfer", "end"]
