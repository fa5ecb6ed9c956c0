"""The described interface is the real one: whatever is sent, the answer is one that the description allows."""

from typing import Any

import pytest
import schemathesis
from hypothesis import HealthCheck, given, settings
from schemathesis.core.transport import Response
from schemathesis.specs.openapi.checks import positive_data_acceptance

from tests.web.bench import BASE, Bench, bench

OPERATIONS = (
    ("get", "/api/health"),
    ("get", "/api/home"),
    ("get", "/api/session-form"),
    ("post", "/api/runs"),
    ("post", "/api/people"),
    ("get", "/api/sessions/{session_id}/close"),
    ("post", "/api/sessions/{session_id}/close"),
    ("get", "/api/settings"),
    ("put", "/api/settings"),
    ("post", "/api/room/{room}/parse"),
    ("get", "/api/room/{room}/causes"),
    ("post", "/api/room/{room}/find-cause"),
    ("get", "/api/room/{room}/run-sheet"),
    ("get", "/api/runs/{run_id}/debrief"),
    ("post", "/api/runs/{run_id}/what-if"),
    ("post", "/api/runs/{run_id}/notes"),
    ("delete", "/api/runs/{run_id}/notes/{note_id}"),
    ("post", "/api/runs/{run_id}/end"),
)


@pytest.fixture(scope="module")
def whole() -> Any:
    """One application for the whole module, with a run that has been played a little."""
    with pytest.MonkeyPatch.context() as patch, bench(patch) as made:
        made.rehearse()
        made.turn(8.0)
        yield made


def sent(app: Bench, case: schemathesis.Case) -> Any:
    """The case through the client that goes through the front door."""
    parts = case.as_transport_kwargs(base_url=BASE)
    body = {name: parts[name] for name in ("json",) if name in parts}
    if isinstance(parts.get("data"), bytes | str):
        body["content"] = parts["data"]
    return app.client.request(
        parts["method"], parts["url"], params=parts.get("params"), headers=dict(parts.get("headers") or {}), **body
    )


def test_every_path_of_the_application_is_described_and_tried(whole: Bench) -> None:
    described = whole.client.get("/api/openapi.json").json()["paths"]
    found = {(method, path) for path, operations in described.items() for method in operations}
    assert found == set(OPERATIONS)
    for path, operations in described.items():
        for method, operation in operations.items():
            assert operation["summary"], (method, path)
            assert {"403", "404", "409", "422", "503"} <= set(operation["responses"]), (method, path)


@pytest.mark.parametrize(("method", "path"), OPERATIONS)
def test_whatever_is_sent_the_answer_fits_the_description(whole: Bench, method: str, path: str) -> None:
    schema = schemathesis.openapi.from_dict(whole.client.get("/api/openapi.json").json())
    operation = schema[path][method.upper()]

    @settings(
        max_examples=15, deadline=None, derandomize=True, database=None,
        suppress_health_check=[HealthCheck.too_slow, HealthCheck.filter_too_much, HealthCheck.data_too_large],
    )  # fmt: skip
    @given(case=operation.as_strategy())
    def check(case: schemathesis.Case) -> None:
        answer = sent(whole, case)
        assert answer.status_code < 500 or answer.status_code == 503, answer.text
        # Well-formed words may still be refused by the lab's own rules, with a sentence: no such zone, no such entry.
        case.validate_response(Response.from_any(answer), excluded_checks=[positive_data_acceptance])

    check()
