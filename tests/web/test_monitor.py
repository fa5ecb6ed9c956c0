"""The room monitor: nothing before its sensor, alarms from what is shown."""

import pytest

from drillyard.web.monitor_view import alarms
from tests.web.bench import SOCKETS, Bench

ON = {"ECG electrodes": "", "finger probe": "left hand"}


@pytest.mark.parametrize(
    ("shown", "expected"),
    [
        ({"spo2_pct": 97.0, "heart_rate_per_min": 80.0}, []),
        ({"spo2_pct": 88.0, "heart_rate_per_min": 80.0}, ["!! SpO2 low"]),
        ({"spo2_pct": 80.0, "heart_rate_per_min": 130.0}, ["!!! SpO2 low", "!! heart rate high"]),
        ({"spo2_pct": None, "heart_rate_per_min": 80.0}, ["! probe finds no pulse"]),
        ({"spo2_pct": 97.0, "heart_rate_per_min": None}, []),
    ],
)
def test_alarms_by_priority(shown: dict[str, float | None], expected: list[str]) -> None:
    assert alarms(shown, ON, 0, failed=False) == expected


def test_a_lethal_rhythm_alarms_only_through_its_electrodes() -> None:
    assert alarms({}, {}, 1, failed=False) == []
    assert alarms({"spo2_pct": 97.0}, ON, 1, failed=False) == ["!!! ventricular fibrillation"]


def test_nothing_shows_before_its_sensor_is_on_and_the_cuff_has_its_cycle(app: Bench) -> None:
    app.rehearse()
    with app.client.websocket_connect(f"{SOCKETS}/room-1") as socket:
        monitor = app.next(socket, "snapshot")["monitor"]
        assert [row["is_on"] for row in monitor["sensors"]] == [False] * 5
        for name in ("heart_rate", "spo2", "etco2", "respiratory_rate", "temperature", "cuff_text"):
            assert monitor[name] is None, name
        assert app.say(socket, {"do": "enter", "typed": "ecg on"})["type"] == "ack"
        assert app.say(socket, {"do": "enter", "typed": "cuff"})["type"] == "ack"
        app.turn(10.0)
        app.beat()
        during = app.next(socket, "delta")["monitor"]
        assert during["heart_rate"] is not None
        assert during["spo2"] is None
        assert during["cuff_state"] in ("inflating", "measuring")
        assert during["cuff_text"] is None
        app.turn(60.0)
        app.beat()
        after = app.next(socket, "delta")["monitor"]
        assert after["cuff_state"] == "idle"
        systolic, _, diastolic = after["cuff_text"].partition("/")
        assert int(systolic) > int(diastolic) > 0
