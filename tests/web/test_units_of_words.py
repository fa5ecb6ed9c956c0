"""Words that name a number follow the lab's unit, and units are printed as people write them."""

from drillyard.core.session.look_ahead import LIMITS
from drillyard.service.records import LabSettings
from drillyard.web.rows import limit_text
from drillyard.web.units import unit_printed


def test_a_threshold_is_named_in_the_labs_unit() -> None:
    words = {limit_text(limit, LabSettings(pressure_unit="kPa")) for limit in LIMITS}
    # 90 mmHg = 11.999 kPa (1 mmHg = 133.322 Pa, BIPM, The International System of Units, 8th edition 2006, table 8)
    assert "pressure below 12.0 kPa" in words
    assert not any("mmHg" in word for word in words if "ressure" in word)


def test_a_threshold_keeps_its_words_where_the_unit_is_the_cores() -> None:
    assert [limit_text(limit, LabSettings()) for limit in LIMITS] == [limit.text for limit in LIMITS]


def test_units_are_printed_as_people_write_them() -> None:
    assert [unit_printed(part) for part in ("per_min", "ml", "frac")] == ["/min", "mL", "1"]
