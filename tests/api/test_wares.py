"""Claims about wares over the API: they come in, are counted, and are never fewer than none."""

import pytest

from daysworth.domain.entries import Role
from tests.api.clients import Api, Json, problem, told
from tests.api.test_lots import objects
from tests.db.kit_grounds import pack, stock_wares, with_wares
from tests.grounds import CELLAR, SHELF, put_up, version_of


def units(answer: dict[str, Json]) -> dict[tuple[Json, Json], Json]:
    """Give the units of each ware in each place."""
    return {(one["kind"], one["place"]): one["units"] for one in objects(answer, "items")}


def totals(answer: dict[str, Json]) -> dict[Json, tuple[Json, Json]]:
    """Give of each ware how many are free, and how many are in kits."""
    return {
        one["kind"]: (one["units_free"], one["units_in_kits"]) for one in objects(answer, "totals")
    }


def test_wares_come_in_and_are_counted(api: Api) -> None:
    lines = [
        {"kind": "fork", "place": SHELF, "units": 40},
        {"kind": "opener", "place": CELLAR, "units": 3},
    ]
    api.post("wares/receive", {"lines": lines}, role=Role.VOLUNTEER)
    after = api.post("wares/receive", {"lines": lines[:1], "why": "a gift"})
    assert units(after) == {("fork", SHELF): 80, ("opener", CELLAR): 3}
    counts = [{"kind": "fork", "units": 70}, {"kind": "spoon", "units": 0}]
    counted = api.post("wares/count", {"place": SHELF, "counts": counts}, role=Role.VOLUNTEER)
    assert units(counted) == {("fork", SHELF): 70, ("opener", CELLAR): 3}
    assert api.get("wares", role=Role.SCRIPT) == counted
    names = {one["kind"]: one["name"] for one in objects(counted, "totals")}
    assert (names["opener"], len(names)) == ("tin openers", 7)


def test_what_is_in_kits_is_told_apart(api: Api) -> None:
    (lot,) = put_up(api.engine)
    stock_wares(api.engine)
    pack(api.engine, with_wares((lot, 2)))
    assert totals(api.get("wares"))["fork"] == (8, 2)


def test_the_same_key_receives_once(api: Api) -> None:
    body = {"lines": [{"kind": "bag", "place": SHELF, "units": 5}]}
    first = api.ask("POST", "wares/receive", body=body, key="bags-1")
    again = api.ask("POST", "wares/receive", body=body, key="bags-1")
    assert told(first, 201) == told(again, 201)
    assert units(api.get("wares")) == {("bag", SHELF): 5}


@pytest.mark.parametrize(
    ("to", "body", "status"),
    [
        ("receive", {"lines": []}, 422),
        ("receive", {"lines": [{"kind": "fork", "place": SHELF, "units": 0}]}, 422),
        ("receive", {"lines": [{"kind": "chopstick", "place": SHELF, "units": 1}]}, 422),
        ("receive", {"lines": [{"kind": "fork", "place": "attic", "units": 1}]}, 404),
        ("receive", {"lines": [{"kind": "fork", "place": SHELF, "units": 1_000_000}] * 2}, 422),
        ("count", {"place": SHELF, "counts": [{"kind": "fork", "units": -1}]}, 422),
        ("count", {"place": SHELF, "counts": [{"kind": "fork", "units": 1}] * 2}, 422),
        ("count", {"place": "attic", "counts": [{"kind": "fork", "units": 1}]}, 404),
    ],
)
def test_wares_that_cannot_be_are_refused_and_change_nothing(
    api: Api, to: str, body: dict[str, Json], status: int
) -> None:
    before = version_of(api.engine)
    problem(api.ask("POST", f"wares/{to}", body=body), status)
    assert version_of(api.engine) == before
    assert units(api.get("wares")) == {}
