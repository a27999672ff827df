"""A server's plans have the limit it is given; the command itself takes as long as it takes."""

import json

import httpx
import pytest

from daysworth.answers.snapshot_file import write_snapshot
from daysworth.db.snapshots import load_snapshot
from daysworth.domain.entries import Role
from tests.cli.process import done
from tests.databases import SQLITE, migrated
from tests.grounds import NOON, STORE_ID, begin_ground, box, look, put_up, small_store, token_for
from tests.servers import serving

NEXT_TO_NOTHING = "0.000001"
"""Seconds; a store is not even read in that time."""


def test_the_setting_limits_a_server_and_no_command(monkeypatch: pytest.MonkeyPatch) -> None:
    engine = migrated(SQLITE)
    begin_ground(engine, small_store())
    put_up(engine, box(60))
    monkeypatch.setenv("DAYSWORTH_PLANNING_SECONDS", NEXT_TO_NOTHING)
    with serving(engine, token=token_for(engine, Role.COORDINATOR)) as server:
        asked = f"{server.address}/v1/stores/{STORE_ID}/coverage"
        stopped = httpx.get(asked, headers=server.headers, timeout=60)
    assert stopped.status_code == 503
    assert stopped.json()["type"] == "/v1/problems/plan-stopped"
    assert "longer than 1e-06 seconds" in stopped.json()["detail"]
    snapshot = write_snapshot(look(engine, lambda reading: load_snapshot(reading, at=NOON)))
    planned = json.loads(done("plan", "coverage", "-", "--running-water", "--json", given=snapshot))
    assert planned["person_days"] > 0
    engine.dispose()
