"""JSON Schema: the stored ones are those that the records make; they accept what the reader accepts."""

import json
from pathlib import Path
from typing import Any

import jsonschema_rs
import pytest
from ruamel.yaml import YAML

from drillyard.adapters.exchange.schemas import schemas, text_of

ROOT = Path(__file__).parents[3]
SCHEMAS = schemas()
FOLDERS = {"scenario": "scenarios", "manikin": "manikins", "kit": "kits", "crew": "crews"}
DEMO = ROOT / "src" / "drillyard" / "data" / "demo_lab"
CAUGHT_BY_A_SCHEMA = (
    "unknown-key", "unit-missing", "missing-key", "unknown-problem-kind", "unknown-effect", "unknown-level",
    "list-wanted",
    "block-wanted", "whole-number-wanted", "true-or-false-wanted", "text-wanted", "dose-without-unit", "unit-in-key",
)  # fmt: skip


def _plain(path: Path) -> Any:
    return json.loads(json.dumps(YAML(typ="safe").load(path.read_text(encoding="utf-8")), default=str))


@pytest.mark.parametrize("name", sorted(SCHEMAS))
def test_the_stored_schema_is_up_to_date(name: str) -> None:
    stored = ROOT / "docs" / "files" / f"{name}.schema.json"
    assert stored.read_text(encoding="utf-8") == text_of(SCHEMAS[name]), (
        "run python -m drillyard.adapters.exchange.schemas"
    )


@pytest.mark.parametrize(("name", "folder"), FOLDERS.items())
def test_the_demo_files_pass_their_schema(name: str, folder: str) -> None:
    files = sorted((DEMO / folder).glob("*.yaml"))
    assert files
    for path in files:
        jsonschema_rs.validate(SCHEMAS[name], _plain(path))


@pytest.mark.parametrize("sample", CAUGHT_BY_A_SCHEMA)
def test_what_an_editor_can_see_without_us_is_caught_by_the_schema(sample: str) -> None:
    path = ROOT / "tests" / "broken" / "scenarios" / f"{sample}.yaml"
    assert not jsonschema_rs.is_valid(SCHEMAS["scenario"], _plain(path))


@pytest.mark.parametrize("name", sorted(FOLDERS))
def test_every_key_is_explained_for_people(name: str) -> None:
    page = (ROOT / "docs" / "files" / f"{name}.md").read_text(encoding="utf-8")
    blocks = [SCHEMAS[name], *SCHEMAS[name].get("$defs", {}).values()]
    missing = sorted({key for block in blocks for key in block.get("properties", ()) if f"`{key}`" not in page})
    assert missing == []
