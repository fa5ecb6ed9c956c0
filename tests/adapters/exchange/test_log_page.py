"""The pages on the run log and the settings hold what the program holds."""

import dataclasses
from pathlib import Path

from drillyard.adapters.exchange import log_page
from drillyard.core.session.codec import KINDS
from drillyard.service.records import LabSettings

DOCS = Path(__file__).parents[3] / "docs"


def test_the_page_of_the_log_is_the_one_made_from_the_records() -> None:
    text = (DOCS / "files" / "log.md").read_text(encoding="utf-8")
    assert text == log_page.page(), "run python -m drillyard.adapters.exchange.log_page"
    assert all(f"### {kind} (version" in text for kind in KINDS)
    assert "drillyard." not in text and "typing." not in text, "types in words"


def test_every_setting_is_documented_with_its_default() -> None:
    rows = {}
    for line in (DOCS / "settings.md").read_text(encoding="utf-8").splitlines():
        cells = [cell.strip() for cell in line.strip("|").split("|")]
        if cells[0].startswith("`"):
            rows[cells[0].strip("`")] = cells[1]
    settings = LabSettings()
    assert list(rows) == [item.name for item in dataclasses.fields(LabSettings)]
    for name, shown in rows.items():
        value = getattr(settings, name)
        words = ", ".join(value) if isinstance(value, tuple) else str(value).lower() if value is True else value
        assert shown == (f"{words:g}" if isinstance(words, float) else words)
