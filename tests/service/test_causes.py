"""What may be searched for and set by hand, and the search from time zero of a case that is being written."""

import pytest

from drillyard.adapters.files.case_files import CaseFiles
from drillyard.adapters.files.formulary_files import packaged_formulary
from drillyard.adapters.files.lab_folder import DEMO, LabFolder
from drillyard.adapters.files.lab_names import known_names
from drillyard.adapters.kernel import load_kernel
from drillyard.core.care.problems import Bleeding, DrugTaken
from drillyard.core.quantities.faults import Refusal
from drillyard.core.scenario.check_numbers import size_limits
from drillyard.core.session.course import SIZE_FIELDS
from drillyard.core.session.find_cause import Goal
from drillyard.core.session.run import Run
from drillyard.core.session.setup import PrerollStore
from drillyard.core.session.state import ProblemState, RunState
from drillyard.service.case import open_case
from drillyard.service.causes import choice_of, choices, find_in_case, size_field, sized

FORMULARY = packaged_formulary()


def test_every_kind_of_problem_with_a_size_can_be_chosen_and_keeps_its_limits() -> None:
    made = choices(FORMULARY)
    kinds = {type(choice.problem) for choice in made}
    assert {kind for kind, sizes in SIZE_FIELDS.items() if sizes} <= kinds
    for choice in made:
        limits = size_limits(choice.problem, size_field(choice.problem))
        if limits is not None and not isinstance(choice.problem, DrugTaken):
            assert limits[0] <= choice.least < choice.most <= limits[1], choice
    assert len({choice.id for choice in made}) == len(made)


def test_what_is_there_already_comes_first_and_is_changed_not_doubled() -> None:
    wound = Bleeding(name="thigh", rate_ml_per_min=120.0, site="left thigh")
    state = RunState(problems=(ProblemState(problem=wound, set_t_s=0.0),))
    first = choices(FORMULARY, state)[0]
    assert first.is_present
    problem = sized(first, 300.0, 60.0)
    assert problem == Bleeding(name="thigh", rate_ml_per_min=300.0, site="left thigh", start_s=60.0)


def test_a_second_dose_has_a_name_of_its_own() -> None:
    first = choice_of("drug: fentanyl", FORMULARY).problem
    state = RunState(problems=(ProblemState(problem=first, set_t_s=0.0),))
    again = choice_of("drug: fentanyl", FORMULARY, state).problem
    assert again.name == f"{first.name} 2"


def test_what_cannot_be_is_refused() -> None:
    with pytest.raises(Refusal, match="there is no problem 'bleding by hand'"):
        choice_of("bleding by hand", FORMULARY)
    with pytest.raises(Refusal, match="cannot have the size 5000 mL/min"):
        sized(choice_of("bleeding by hand", FORMULARY), 5000.0, 0.0)
    with pytest.raises(Refusal, match="cannot have the size -1"):
        sized(choice_of("shunt by hand", FORMULARY), -1.0, 0.0)


def test_a_case_that_is_being_written_is_searched_from_its_time_zero() -> None:
    case = open_case(CaseFiles(LabFolder(DEMO, known_names())), "c8-tractor", "adult-manikin-a")
    kernel, preroll = load_kernel(), PrerollStore()
    run = Run(case.setup("own", 1, kernel, preroll, is_live=False))
    state = RunState(problems=tuple(ProblemState(problem=p, set_t_s=0.0) for p in case.scenario.problems))
    wound = next(c for c in choices(FORMULARY, state) if isinstance(c.problem, Bleeding) and c.is_present)
    goal = Goal(signal="blood_lost_ml", value=1500.0, in_s=180.0)
    found = find_in_case(case, kernel, preroll, wound, goal)
    assert found.is_reached
    lost = run.signals()["blood_lost_ml"]
    assert (1500.0 - lost) / 3.0 < found.size, "a wound bleeds less as pressure falls"
    assert found.ahead is not None
    assert found.ahead.from_s <= 1.0
