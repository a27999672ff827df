"""Throw generated requests at the real server, as each role, and hold it to its own description.

    python -m tests.fuzz [--examples N] [--seed N] [--both]

Every role on SQLite, and the coordinator, whose requests reach furthest, on PostgreSQL; with
--both, every role on both.

No answer may be a 5xx, undocumented, of another media type or of another shape than described. The
store must balance afterwards, and its coverage must still be answered.
"""

import argparse
import subprocess
import sys
import tempfile
from collections.abc import Mapping
from datetime import UTC, datetime
from functools import partial
from pathlib import Path
from typing import Final

import httpx
from sqlalchemy import Engine

from daysworth.answers.kit_made import answer_kit_plan
from daysworth.answers.kit_plan import kit_plan_json
from daysworth.db import transactions
from daysworth.db.packing_plans import PlanMade, keep_plan
from daysworth.db.snapshots import load_snapshot
from daysworth.domain.built_in_patterns import built_in_patterns
from daysworth.domain.entries import Role
from daysworth.domain.rounds import SPRING_AND_AUTUMN, round_held_on
from daysworth.planners.packing_kinds import PackAsked
from tests.databases import BOTH, SQLITE, migrated
from tests.db.kit_grounds import FISH_AND, kits_balance, pack, to_pack
from tests.grounds import (
    PEANUT_HOME,
    SALMON,
    SHELF,
    STORE_ID,
    begin_ground,
    books_balance,
    box,
    promises_balance,
    put_up,
    small_store,
    someone,
    token_for,
)
from tests.partner_grounds import KITCHEN_ID, add_kitchen, promise_to_kitchen
from tests.servers import Server, serving

CHECKS: Final = (
    "not_a_server_error",
    "status_code_conformance",
    "content_type_conformance",
    "response_headers_conformance",
    "response_schema_conformance",
)


def main() -> int:
    """Run every role against both databases, and tell what did not hold."""
    asked = argparse.ArgumentParser(description=__doc__)
    asked.add_argument("--examples", type=int, default=2)
    asked.add_argument("--seed", type=int, default=1)
    asked.add_argument("--both", action="store_true")
    options = asked.parse_args()
    failed = [
        f"{role} on {kind}"
        for kind in BOTH
        for role in (Role if options.both or kind == SQLITE else [Role.COORDINATOR])
        if not _holds(kind, role, examples=options.examples, seed=options.seed)
    ]
    print("failed: " + ", ".join(failed) if failed else "every role held")
    return bool(failed)


def _holds(kind: str, role: Role, *, examples: int, seed: int) -> bool:
    print(f"\n== as a {role}, on {kind}", flush=True)
    engine = migrated(kind)
    begin_ground(engine, small_store())
    shared, own = put_up(engine, box(5_000), box(5_000, owner=PEANUT_HOME))
    kit, *_ = pack(engine, to_pack((shared, 2)), to_pack((shared, 2)))
    add_kitchen(engine)
    promise = promise_to_kitchen(engine, (shared, 3))
    known = {
        "lot": own.id if role is Role.HOUSEHOLD else shared.id,
        "kit": kit.id,
        "plan": _plan_kept(engine),
        "pattern": next(iter(built_in_patterns())),
        "partner": KITCHEN_ID,
        "promise": promise.id,
        "round": str(round_held_on(SPRING_AND_AUTUMN, on=datetime.now(UTC).date())),
    }
    with serving(engine, token=token_for(engine, role)) as server:
        known |= _calendar(server)
        code = _run(server, known, examples=examples, seed=seed)
        coverage = httpx.get(
            f"{server.address}/v1/stores/{STORE_ID}/coverage", headers=server.headers, timeout=60
        )
    balances = books_balance(engine) and kits_balance(engine) and promises_balance(engine)
    engine.dispose()
    if not balances or coverage.status_code != httpx.codes.OK:
        print(f"the books balance: {balances}; coverage answers {coverage.status_code}")
    return code == 0 and balances and coverage.status_code == httpx.codes.OK


def _calendar(server: Server) -> dict[str, str]:
    """Make a calendar that is read and another that may be revoked, where the role may."""
    address = f"{server.address}/v1/stores/{STORE_ID}/calendar-links"
    made = [
        httpx.post(address, headers=server.headers, json={"label": label}, timeout=60)
        for label in ("read", "revoked")
    ]
    if made[0].status_code == httpx.codes.FORBIDDEN:
        return {}
    read, revoked = (one.raise_for_status().json() for one in made)
    secret = str(read["address"]).rpartition("/")[2].removesuffix(".ics")
    return {"secret": secret, "link": str(revoked["id"])}


def _plan_kept(engine: Engine) -> str:
    """Keep a plan as the service makes one, on the store as it is."""
    at = datetime.now(UTC)
    snapshot = transactions.read(engine, partial(load_snapshot, at=at), store=STORE_ID)
    planned = answer_kit_plan(
        snapshot,
        at.date(),
        asked=[PackAsked(pattern=FISH_AND, wanted=1, persons=2)],
        place=SHELF,
        parcel_numbers={},
    )
    made = PlanMade(
        snapshot=snapshot, place=SHELF, kits=planned.kits, told=kit_plan_json(planned.answer)
    )
    keep = partial(keep_plan, made=made, by=someone(), at=at)
    return transactions.write_beside(engine, keep, store=STORE_ID).id


def _run(server: Server, made: Mapping[str, str], *, examples: int, seed: int) -> int:
    known = {
        "store": STORE_ID,
        "place": SHELF,
        "household": PEANUT_HOME,
        "member": "M-2",
        "food": SALMON,
        **made,
    }
    with tempfile.TemporaryDirectory() as folder:
        config = Path(folder) / "schemathesis.toml"
        lines = [f'"path.{name}" = "{value}"' for name, value in known.items()]
        config.write_text("\n".join(["[parameters]", *lines, ""]))
        return subprocess.run(
            [
                *(sys.executable, "-m", "schemathesis.cli", "--config-file", str(config)),
                *("run", f"{server.address}/v1/openapi.json"),
                *("--header", f"Authorization: Bearer {server.token}"),
                *("--checks", ",".join(CHECKS), "--phases", "examples,coverage,fuzzing"),
                *("--max-examples", str(examples), "--seed", str(seed)),
                *("--warnings", "off", "--no-color"),
            ],
            check=False,
            cwd=folder,
        ).returncode


if __name__ == "__main__":
    sys.exit(main())
