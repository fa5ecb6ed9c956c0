"""The application of this folder's tests."""

from collections.abc import Iterator

import pytest

from tests.web.bench import Bench, bench


@pytest.fixture
def app(monkeypatch: pytest.MonkeyPatch) -> Iterator[Bench]:
    with bench(monkeypatch) as made:
        yield made
