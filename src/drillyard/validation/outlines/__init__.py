"""The fourteen outline cases, run untreated and treated beside what their author said."""

import importlib
from functools import lru_cache
from typing import Final

from drillyard.validation.outlines.judged import Outcome, play
from drillyard.validation.outlines.model import Case

__all__ = ["CASE_IDS", "Case", "Outcome", "case", "play"]

CASE_IDS: Final = tuple(f"C{number}" for number in range(1, 15))


@lru_cache(maxsize=14)
def case(case_id: str) -> Case:
    """The case "C1" to "C14".

    Raises:
        ModuleNotFoundError: there is no such case.
    """
    module = importlib.import_module(f"{__name__}.c{int(case_id[1:]):02d}")
    return module.CASE  # type: ignore[no-any-return]
