"""A short chaos with threads; the long one with processes is tests/bench/bench_chaos.py."""

import pytest

import db.exchange
import kiosk.exchange
from tests.chaos import MUTANTS, run_chaos
from tests.proxy import Fault, Proxy


@pytest.fixture
def quick(monkeypatch):
    monkeypatch.setattr(db.exchange, "WATCHDOG_S", 0.2)
    for name, value in {"EVERY_S": 0.2, "FIRST_WAIT_S": 0.02, "LONGEST_WAIT_S": 0.2}.items():
        monkeypatch.setattr(kiosk.exchange, name, value)


def chaos(prepared, folder, **more):
    return run_chaos(
        prepared, folder, seconds=3, seed=11, kiosks="KM", hold_s=(0.05, 0.3), apart=False, **more
    )


def test_nothing_is_lost_or_doubled_whatever_fails(prepared, tmp_path, quick):
    found = chaos(prepared, tmp_path, per_s=40)
    assert found.is_sound, found
    assert found.acknowledged > 20
    assert len(found.faults) >= 5


def test_a_kiosk_that_marks_too_early_is_caught(prepared, tmp_path, quick, monkeypatch):
    monkeypatch.setattr(kiosk.exchange, "swap", MUTANTS["sent-early"])
    cut = Proxy.do
    # only what cuts a request matters here, so that each fault does
    monkeypatch.setattr(
        Proxy, "do", lambda self, fault, at=b"": cut(self, Fault.AFTER_REQUEST, at=b"INSERT")
    )
    found = chaos(prepared, tmp_path, per_s=40)
    assert found.lost > 0
