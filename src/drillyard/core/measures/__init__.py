"""Measures: one function a measure, the log in, a value with its uncertainty out.

In:       the log of a run, its tracks, its scenario.
Out:      ``MeasureResult``: value, uncertainty, met / not met / cannot say / not applicable, target, source, evidence.
Assumes:  what the crew could know is what is scored; measures 12 and 13 alone read the body, and say so.
Left out: compression quality (24 to 31), scores (22), kappa between raters.  Never a total score.
"""

from drillyard.core.measures.catalogue import GENERAL, MEASURE_IDS, MEASURES, compute
from drillyard.core.measures.result import Definition, MeasureResult

__all__ = ["GENERAL", "MEASURES", "MEASURE_IDS", "Definition", "MeasureResult", "compute"]
