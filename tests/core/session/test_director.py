"""The director: cues that are due, findings asked for, scripted findings."""

from drillyard.core.scenario.model import Cue, EndFinding, GiveCue, Rule, ScriptedFinding, ShowFinding
from drillyard.core.session.director import due_cues, scripted_now
from drillyard.core.session.events import CueGiven, EntryUndone, FindingAsked, FindingObtained
from tests.core.session.fakes import scenario, setup
from tests.core.session.playbook import Playbook

CASE = scenario(
    cues=(
        Cue(name="pale", words="He is pale.", when="t_s >= 5.0 && t_s < 40.0", why="skin is not shown"),
        Cue(name="wife", words="Is he all right?", when="false", how="prop"),
    ),
    rules=(
        Rule(name="arrives", when="t_s >= 10.0", then=(GiveCue(cue="wife"), ShowFinding(name="rash"))),
        Rule(name="fades", when="t_s >= 30.0", then=(EndFinding(name="rash"),)),
    ),
    scripted=(
        ScriptedFinding(name="rash", finding="rash", words="hives", waits=True),
        ScriptedFinding(name="patch", finding="patch", words="a patch", from_s=5.0, until_s=25.0),
    ),
)


def due(book: Playbook) -> list[str]:
    director = book.run.director
    assert director is not None
    ways = {"skin colour": "told", "radial pulse": "on the manikin"}
    return [cue.id for cue in due_cues(director.waiting, book.run.state, book.run.signals(), ways)]  # type: ignore[arg-type]


def test_cues_come_by_condition_and_by_rule_and_go_when_given() -> None:
    book = Playbook(setup(CASE, has_director=True)).to(4.0)
    assert due(book) == []
    assert due(book.to(6.0)) == ["pale"]
    assert due(book.to(12.0)) == ["pale", "wife"]
    book.now(CueGiven(cue="pale", text="He is pale."))
    assert due(book) == ["wife"]
    assert due(book.to(20.0)) == ["wife"], "given once"
    book.now(EntryUndone(target_seq=book.seq_of("cue given"), effect="record only"))
    assert due(book.to(21.0)) == ["pale", "wife"]


def test_a_finding_asked_for_waits_until_it_is_supplied_unless_the_manikin_shows_it() -> None:
    book = Playbook(setup(CASE, has_director=True)).to(2.0)
    book.now(FindingAsked(finding="radial pulse", text="pulse?")).now(FindingAsked(finding="skin colour", text="skin?"))
    assert due(book) == ["finding skin colour"]
    (cue,) = due_cues((), book.run.state, book.run.signals(), {"radial pulse": "on the manikin"})
    assert (cue.words, cue.why, cue.how) == ("normal", "asked skin?", "told")
    book.at(4.0, FindingObtained(finding="skin colour", text="pale", how="told"))
    assert due(book) == []
    assert [asked.answered_t_s for asked in book.run.state.asked] == [None, 4.0]


def test_scripted_findings_follow_their_times_and_rules() -> None:
    book = Playbook(setup(CASE, has_director=True)).to(40.0)

    def there(t_s: float) -> list[str]:
        return [scripted.name for scripted in scripted_now(CASE, book.run.state.rules, t_s)]

    assert [there(t_s) for t_s in (2.0, 7.0, 12.0, 26.0, 35.0)] == [[], ["patch"], ["rash", "patch"], ["rash"], []]


def test_a_replayed_director_knows_the_same_cues() -> None:
    from drillyard.core.session.run import replay

    book = Playbook(setup(CASE, has_director=True)).at(12.0, CueGiven(cue="pale", text="He is pale.")).to(20.0)
    again = replay(setup(CASE, has_director=True), book.log, 2000)
    assert again.director is not None and book.run.director is not None
    assert [cue.name for cue in again.director.waiting] == ["wife"] == [cue.name for cue in book.run.director.waiting]
