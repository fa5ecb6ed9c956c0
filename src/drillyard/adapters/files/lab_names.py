"""Names that exist beside the scenario files: drugs of the formulary and measures."""

from drillyard.adapters.files.formulary_files import packaged_formulary
from drillyard.core.measures import MEASURE_IDS
from drillyard.core.scenario.check_conditions import Known


def known_names() -> Known:
    """What a scenario of this lab may name."""
    formulary = packaged_formulary()
    amounts = {name: formulary.get(name).amount_unit for name in formulary}
    return Known(drugs=tuple(formulary), measures=tuple(MEASURE_IDS), amount_units=amounts)
