"""``drillyard cite``: the sources of a rehearsed run and of a lab's run, and one sentence where there is none."""

import argparse
import json
from pathlib import Path

import pytest

from drillyard.adapters.files.formulary_files import packaged_formulary
from drillyard.cli import cite
from drillyard.core.body.assembly import ORGANS
from drillyard.core.care.actions import GiveDrug
from drillyard.core.care.problems import Bleeding
from drillyard.core.numerics.names import Param
from drillyard.core.quantities.faults import Refusal
from drillyard.core.session.codec import event_to_line
from drillyard.core.session.events import CareGiven, Event, RunStarted
from drillyard.service.citing import cited


def _run(*words: str) -> int:
    parser = argparse.ArgumentParser()
    cite.add_parser(parser.add_subparsers())
    return cite.run(parser.parse_args(["cite", *words]))


def _event(seq: int, body: RunStarted | CareGiven) -> Event:
    return Event(
        seq=seq, step=0, t_sim_s=0.0, t_wall_utc="2026-11-25T14:00:00+00:00", source="entry line", actor="op",
        client_id=f"c{seq}", body=body,
    )  # fmt: skip


STARTED = RunStarted(
    scenario="c5-car-park", scenario_hash="0" * 64, manikin="adult-manikin-a", manikin_hash="0" * 64,
    body_hash="0" * 16, seed=1, purpose="rehearsal", crew=("crew",),
)  # fmt: skip
GIVEN = CareGiven(
    action=GiveDrug(drug="naloxone", dose=0.4, dose_unit="mg", route="IM"), text="naloxone 0.4 mg IM", typed=""
)


def _folder(tmp_path: Path) -> Path:
    lines = [event_to_line(_event(1, STARTED)), event_to_line(_event(2, GIVEN))]
    (tmp_path / "log.jsonl").write_text("\n".join(lines) + "\n", encoding="utf-8")
    (tmp_path / "measures.json").write_text('{"measures": [{"id": 36}]}', encoding="utf-8")
    return tmp_path


def test_a_rehearsed_run_cites_its_drugs_its_problems_and_every_number_of_the_body(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    out = tmp_path / "cite.json"
    assert _run(str(_folder(tmp_path)), "--json", str(out)) == 0
    told = capsys.readouterr()
    assert told.out.startswith("TRAINING - NOT A PATIENT.")
    # the key of naloxone.yaml, spelt out by citations.yaml
    assert (
        "Dowling J et al. Population pharmacokinetics of intravenous, intramuscular, and intranasal naloxone"
        in told.out
    )
    assert "has changed since" in told.err, "the hash in the log is not that of the demonstration case"
    sources = json.loads(out.read_text(encoding="utf-8"))["sources"]
    body = {one["source"] for one in sources if one["part"] == "body"}
    assert body == {name.source for organ in ORGANS for name in organ.NAMES if isinstance(name, Param)}
    drugs = {use for one in sources if one["part"] == "drug" for use in one["used_for"]}
    # fentanyl stands in the case's problems, naloxone in the log; no other drug is named
    assert drugs == {"naloxone", "fentanyl"}


def test_what_is_not_published_is_told_apart() -> None:
    found = cited(
        [_event(1, STARTED)],
        packaged_formulary(),
        {},
        problems=[Bleeding(name="b", rate_ml_per_min=50.0, site="left thigh")],
    )
    by_part = {part: [one for one in found if one.part == part] for part in ("drug", "problem", "body", "measure")}
    assert by_part["drug"] == []
    assert by_part["problem"][0].used_for == ("bleeding",)
    tuned = next(one for one in by_part["body"] if one.source.startswith("tuned"))
    assert not tuned.is_published
    assert any(one.is_published for one in by_part["body"])
    order = [one.is_published for one in by_part["body"]]
    assert order == sorted(order, reverse=True)


def test_what_is_no_run_is_refused_in_one_sentence(tmp_path: Path) -> None:
    with pytest.raises(Refusal, match=r"holds no log\.jsonl"):
        _run(str(tmp_path))
    with pytest.raises(Refusal, match="is no folder"):
        _run("run-1")
    (tmp_path / "log.jsonl").write_text("", encoding="utf-8")
    with pytest.raises(Refusal, match="never started a run"):
        _run(str(tmp_path))
