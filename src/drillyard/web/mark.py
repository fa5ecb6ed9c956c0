"""The training mark: on every screen and on every print."""

from typing import Final

TRAINING_MARK: Final = "Training only. Not for the care of patients."
