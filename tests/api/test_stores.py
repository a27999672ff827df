"""Claims about a store's settings and places, and its snapshot out of one and into another."""

import json
from datetime import date
from functools import partial

import httpx
import pytest

from daysworth.answers.snapshot_file import read_snapshot, write_snapshot
from daysworth.db import transactions
from daysworth.db.snapshots import load_snapshot
from daysworth.db.stores import begin_store
from daysworth.demo.neighbourhood import neighbourhood
from daysworth.domain.entries import Role
from daysworth.domain.label_dates import LabelKind
from daysworth.domain.labels import LabelReading, Regime
from daysworth.domain.restrictions import Substance
from daysworth.domain.rounds import SPRING_AND_AUTUMN
from daysworth.domain.settings import StoreSettings
from tests.api.clients import Api, Json, problem, told
from tests.grounds import (
    CELLAR,
    NOON,
    OTHER_HOME,
    OTHER_STORE,
    PEANUT_HOME,
    SALMON,
    SHELF,
    STORE_ID,
    books_balance,
    box,
    look,
    lots_of,
    put_up,
    token_for,
    version_of,
)

THERE = f"/v1/stores/{OTHER_STORE}"
SETTINGS: dict[str, Json] = {
    "timezone": "UTC",
    "water_l_per_person_day": 3.785,
    "water_l_per_pet_day": 3.785,
    "extras_share": 0.15,
    "grace_days": {},
    "needs_basis": "reference",
    "floor_days": 14,
    "rounds_rule": SPRING_AND_AUTUMN,
    "locale": "en-US",
    "notice_bands_days": [7, 30, 56],
    "meal_rules": {
        "share_of_day": 1 / 3,
        "keeps_months": 6,
        "bag_l": 7.6,
        "pack_g_each": 400.0,
    },
}
NEW: dict[str, Json] = {
    "timezone": "America/Chicago",
    "water_l_per_person_day": 2.0,
    "water_l_per_pet_day": 1.5,
    "extras_share": 0.1,
    "grace_days": {"fish": 90},
    "needs_basis": "flat",
    "floor_days": 21,
    "rounds_rule": "FREQ=MONTHLY;BYDAY=1SA",
    "locale": "en-GB",
    "notice_bands_days": [3, 14],
    "meal_rules": {"share_of_day": 0.5, "keeps_months": 4, "bag_l": 10.0, "pack_g_each": 300.0},
}
MEAL = (SALMON, "soda_crackers", "peaches_in_juice_tinned", "water_bottled")
NO_PEANUT = LabelReading(
    not_declared=frozenset({Substance.PEANUT}), is_whole=True, regime=Regime.US_FDA
)


class Elsewhere:
    """An empty store beside the first one, and a coordinator's requests to it."""

    def __init__(self, api: Api) -> None:
        self._api = api
        begun = partial(
            begin_store, store=OTHER_STORE, name="Empty", settings=StoreSettings(), at=NOON
        )
        transactions.write_beside(api.engine, begun, store=OTHER_STORE)
        self._bearer = f"Bearer {token_for(api.engine, Role.COORDINATOR, store=OTHER_STORE)}"

    def ask(
        self, method: str, path: str = "", *, raw: bytes | None = None, **headers: str
    ) -> httpx.Response:
        """Ask the other store; a header's name is written with underscores."""
        sent = {name.replace("_", "-"): value for name, value in headers.items()}
        sent["Authorization"] = self._bearer
        return self._api.ask(method, f"{THERE}{path}", role=None, raw=raw, headers=sent)


def exported(api: Api) -> bytes:
    answer = api.ask("GET", "snapshot")
    assert answer.status_code == 200
    return answer.content


def full_store(api: Api) -> None:
    """Put up stock of every sort: shared, kept, past, undated, in both places."""
    put_up(
        api.engine,
        *(box(40, food=food, reading=NO_PEANUT) for food in MEAL),
        box(4, place=CELLAR, owner=PEANUT_HOME),
        box(2, owner=OTHER_HOME, is_shared=False),
        box(3, printed="2026-05"),
        box(1, label_kind=LabelKind.UNLABELLED, printed=None),
    )


def change(api: Api, *, settings: dict[str, Json], tag: str | None = '"r2"') -> httpx.Response:
    headers = {} if tag is None else {"If-Match": tag}
    body = {"name": "Fernhollow hall", "settings": settings}
    return api.ask("PUT", api.store, body=body, headers=headers)


def test_a_store_tells_its_name_version_and_settings(api: Api) -> None:
    store = {
        "id": STORE_ID,
        "name": "Fernhollow (invented)",
        "version": version_of(api.engine),
        "settings": SETTINGS,
    }
    for role in Role:
        assert api.get(api.store, role=role) == store
        assert api.get("/v1/stores", role=role) == {"items": [store]}


def test_settings_are_changed_whole_at_the_revision_that_was_seen(api: Api) -> None:
    before = version_of(api.engine)
    answer = change(api, settings=NEW)
    told_of = {"id": STORE_ID, "name": "Fernhollow hall", "version": before + 1, "settings": NEW}
    assert told(answer, 200) == told_of
    assert answer.headers["ETag"] == f'"r3.{before + 1}"'
    assert problem(change(api, settings={}), 412)["type"] == "/v1/problems/not-as-it-was"
    assert problem(change(api, settings={}, tag=None), 428)["type"] == (
        "/v1/problems/revision-missing"
    )
    assert api.get(api.store) == told_of
    assert told(change(api, settings={}, tag='"r3.1"'), 200)["settings"] == SETTINGS


@pytest.mark.parametrize("role", [Role.VOLUNTEER, Role.HOUSEHOLD, Role.SCRIPT])
def test_only_a_coordinator_changes_settings_and_places(api: Api, role: Role) -> None:
    before = version_of(api.engine)
    body = {"name": "Ours", "settings": NEW}
    tag = {"If-Match": '"r1"'}
    problem(api.ask("PUT", api.store, role=role, body=body, headers=tag), 403)
    problem(api.ask("POST", "places", role=role, body={"name": "Attic"}), 403)
    path = f"places/{SHELF}"
    problem(api.ask("PUT", path, role=role, body={"name": "Attic"}, headers=tag), 403)
    problem(api.ask("GET", "snapshot", role=role), 403)
    assert version_of(api.engine) == before


@pytest.mark.parametrize(
    ("wrong", "where", "what"),
    [
        (
            {"timezone": "Fern/Hollow"},
            "settings",
            "there is no time zone 'Fern/Hollow' in the IANA database",
        ),
        (
            {"timezone": "America"},
            "settings",
            "there is no time zone 'America' in the IANA database",
        ),
        ({"extras_share": 1.5}, "settings > extras_share", "must be 1 or less"),
        (
            {"water_l_per_person_day": 0},
            "settings > water_l_per_person_day",
            "must be more than 0",
        ),
        ({"floor_days": 7.5}, "settings > floor_days", "must be a whole number"),
        ({"colour": "blue"}, "settings > colour", "is not a field that this request has"),
    ],
)
def test_settings_that_cannot_be_are_refused(
    api: Api, wrong: dict[str, Json], where: str, what: str
) -> None:
    before = api.get(api.store)
    refused = problem(change(api, settings={**NEW, **wrong}), 422)
    assert refused["faults"] == [{"where": where, "what": what}]
    assert api.get(api.store) == before


@pytest.mark.parametrize("rule", ["FREQ=SOMETIMES", "every spring", "", "FREQ=MONTHLY;BYMONTH=13"])
def test_a_rule_that_makes_no_rounds_is_refused(api: Api, rule: str) -> None:
    before = api.get(api.store)
    refused = problem(change(api, settings={**NEW, "rounds_rule": rule}), 422)
    assert "'where': 'settings'" in str(refused["faults"])
    assert api.get(api.store) == before


def test_a_store_that_the_asker_has_is_not_sent_again_until_its_version_changes(api: Api) -> None:
    tag = api.ask("GET", api.store).headers["ETag"]
    assert api.ask("GET", api.store, headers={"If-None-Match": tag}).status_code == 304
    put_up(api.engine)
    again = api.ask("GET", api.store, headers={"If-None-Match": tag})
    assert told(again, 200)["version"] == version_of(api.engine)


def test_a_place_is_added_and_renamed(api: Api) -> None:
    answer = api.ask("POST", "places", body={"name": " Attic "})
    made = told(answer, 201)
    assert made == {"id": made["id"], "name": "Attic", "walk_position": 0}
    path = answer.headers["Location"]
    assert path == f"{api.store}/places/{made['id']}"
    assert api.get(path) == made
    assert api.ask("GET", path, headers={"If-None-Match": '"r1"'}).status_code == 304
    loft: dict[str, Json] = {"name": "Loft", "walk_position": 3}
    renamed = api.ask("PUT", path, body=loft, headers={"If-Match": '"r1"'})
    assert told(renamed, 200) == {"id": made["id"], **loft}
    assert renamed.headers["ETag"] == '"r2"'
    problem(api.ask("PUT", path, body={"name": "Roof"}, headers={"If-Match": '"r1"'}), 412)
    problem(api.ask("PUT", path, body={"name": "Roof"}), 428)
    listed = api.get("places", role=Role.SCRIPT)
    assert isinstance(listed["items"], list)
    names = {one["id"]: one["name"] for one in listed["items"] if isinstance(one, dict)}
    assert names == {CELLAR: "Cellar", SHELF: "Shelf", made["id"]: "Loft"}


def test_a_place_without_a_name_or_that_is_not_there_is_refused(api: Api) -> None:
    before = version_of(api.engine)
    for name in ("", "  ", "two\nlines", "x" * 121, 7):
        problem(api.ask("POST", "places", body={"name": name}), 422)
    problem(api.ask("GET", "places/attic"), 404)
    tag = {"If-Match": '"r1"'}
    problem(api.ask("PUT", "places/attic", body={"name": "Loft"}, headers=tag), 404)
    assert version_of(api.engine) == before


def test_an_export_is_the_snapshot_of_the_store(api: Api) -> None:
    full_store(api)
    answer = api.ask("GET", "snapshot")
    kept = look(api.engine, partial(load_snapshot, at=NOON))
    assert len(kept.lots) == 8
    assert read_snapshot(answer.content) == kept
    assert answer.headers["Cache-Control"] == "private, no-store"


def test_an_import_fills_an_empty_store(api: Api) -> None:
    there = Elsewhere(api)
    demo = neighbourhood(NOON.date())
    answer = there.ask("POST", "/snapshot", raw=write_snapshot(demo))
    store = told(answer, 201)
    assert (store["id"], store["name"]) == (OTHER_STORE, demo.store_name)
    assert store["version"] == version_of(api.engine, OTHER_STORE)
    assert told(there.ask("GET"), 200) == store
    assert len(lots_of(api.engine, OTHER_STORE)) == len(demo.lots)
    assert books_balance(api.engine, OTHER_STORE)
    ledger = told(there.ask("GET", "/ledger?limit=1"), 200)["items"]
    assert isinstance(ledger, list)
    entry = ledger[0]
    assert isinstance(entry, dict)
    assert (entry["kind"], entry["why"], entry["by"]) == (
        "received",
        "from a snapshot",
        "a coordinator",
    )


def test_a_store_that_was_filled_is_not_as_it_was(api: Api) -> None:
    there = Elsewhere(api)
    seen = there.ask("GET").headers["ETag"]
    assert there.ask("POST", "/snapshot", raw=exported(api)).status_code == 201
    assert there.ask("GET", If_None_Match=seen).status_code == 200
    body = json.dumps({"name": "Empty", "settings": {}}).encode()
    problem(there.ask("PUT", raw=body, If_Match=seen), 412)


def test_a_store_that_holds_something_takes_no_import(api: Api) -> None:
    before = exported(api)
    refused = problem(api.ask("POST", "snapshot", raw=before), 409)
    assert refused["type"] == "/v1/problems/store-occupied"
    assert exported(api) == before


def test_a_snapshot_that_contradicts_itself_fills_nothing(api: Api) -> None:
    there = Elsewhere(api)
    full_store(api)
    snapshot = json.loads(exported(api))
    lot = snapshot["lots"][1]
    lot["place"] = "attic"
    refused = problem(there.ask("POST", "/snapshot", raw=json.dumps(snapshot).encode()), 422)
    wrong = f"lot '{lot['id']}'"
    assert refused["faults"] == [
        {"where": wrong, "what": "its place 'attic' is not in the snapshot"}
    ]
    problem(there.ask("POST", "/snapshot", raw=b"{"), 422)
    assert (lots_of(api.engine, OTHER_STORE), version_of(api.engine, OTHER_STORE)) == ({}, 0)


def test_an_export_and_its_import_give_the_same_coverage(api: Api) -> None:
    there = Elsewhere(api)
    full_store(api)
    made = told(there.ask("POST", "/snapshot", raw=exported(api)), 201)
    for asked in ("heating=true&running_water=true", f"stock=all&without_place={CELLAR}"):
        here = api.get(f"coverage?{asked}&as_of={date(2026, 9, 10)}")
        other = told(there.ask("GET", f"/coverage?{asked}&as_of=2026-09-10"), 200)
        assert isinstance(here["everyone_fed_days"], float)
        assert here["everyone_fed_days"] > 1
        assert other == {**here, "store": OTHER_STORE, "version": made["version"]}
