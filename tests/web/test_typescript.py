"""The screens' types are made from the messages and never drift from them."""

from pathlib import Path

import pytest

from drillyard.web import typescript


def test_the_stored_types_are_those_of_the_messages() -> None:
    assert typescript.TARGET.read_text(encoding="utf-8") == typescript.proto_text()


def test_check_says_what_to_do_where_they_differ(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    target = tmp_path / "proto.ts"
    target.write_text(typescript.proto_text().replace("clock_s", "clock"), encoding="utf-8")
    assert typescript.main(["--check", "--out", str(target)]) == 1
    assert "run: python -m drillyard.web.typescript" in capsys.readouterr().err
    assert typescript.main(["--out", str(target)]) == 0
    assert typescript.main(["--check", "--out", str(target)]) == 0


def test_what_the_server_sends_has_every_field_and_what_a_client_sends_may_leave_out_defaults() -> None:
    text = typescript.proto_text()
    assert "  cues: CueView[];" in text
    assert "  confirmed?: boolean;" in text
    assert '  do: "enter";' in text


def test_a_schema_of_an_unknown_kind_is_refused_not_guessed() -> None:
    with pytest.raises(ValueError, match="no TypeScript"):
        typescript.type_text({"type": "mystery"})
