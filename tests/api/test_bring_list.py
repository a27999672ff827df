"""Claims about the public list: published, read by anyone, replaced, withdrawn; it tells little."""

import json
from typing import Final

import pytest
from sqlalchemy import func, select

from daysworth.db.bring_lists import MOST_WITHDRAWN
from daysworth.db.tables import BRING_LIST
from daysworth.domain.entries import Role
from tests.api.clients import Api, Json, problem, told
from tests.grounds import OTHER_STORE, STORE_ID, begin_ground, look, small_store

PASTA: Final = {"food": "pasta_dry", "units": 12}
WATER: Final = {"food": "water_bottled", "units": 40}
LIST: Final[dict[str, object]] = {
    "title": "What to bring on Saturday",
    "note": "To the hall, from ten.",
    "lines": [WATER, PASTA],
}


def publish(api: Api, **changed: object) -> dict[str, Json]:
    return api.post("bring-list", {**LIST, **changed})


def read(api: Api, published: dict[str, Json]) -> dict[str, Json]:
    return told(api.ask("GET", str(published["address"]), role=None), 200)


def test_anyone_reads_a_published_list_by_the_names_of_foods(api: Api) -> None:
    published = publish(api)
    found = read(api, published)
    assert (found["title"], found["note"]) == (LIST["title"], LIST["note"])
    lines = found["lines"]
    assert isinstance(lines, list)
    assert [(one["food_name"], one["units"]) for one in lines] == [  # type: ignore[call-overload, index]
        ("Drinking water, bottled", 40),
        ("Pasta, dry", 12),
    ]
    assert str(published["address"]).startswith(f"/v1/bring/{STORE_ID}/")
    assert str(published["page"]).startswith(f"/bring/{STORE_ID}/")


def test_the_order_of_foods_is_that_of_their_names(api: Api) -> None:
    turned = read(api, publish(api, lines=[PASTA, WATER]))
    assert turned["lines"] == read(api, publish(api))["lines"]


def test_a_public_list_says_nothing_of_who_is_fed_or_who_published_it(api: Api) -> None:
    answer = api.ask("GET", str(publish(api)["address"]), role=None)
    assert set(answer.json()) == {
        "store_name",
        "title",
        "note",
        "lines",
        "published_at",
        "what_to_mind",
        "cautions",
    }
    assert {key for line in answer.json()["lines"] for key in line} == {
        "food_name",
        "units",
        "unit_mass_g",
        "keeps_months",
        "is_water",
    }
    assert answer.headers["cache-control"] == "no-store"
    assert "noindex" in answer.headers["x-robots-tag"]
    assert "peanut" not in json.dumps(answer.json()["lines"]).casefold()


def test_published_again_it_is_replaced_at_the_same_address(api: Api) -> None:
    first = publish(api)
    second = publish(api, title="What to bring in June", lines=[PASTA])
    assert second["address"] == first["address"]
    assert read(api, first)["title"] == "What to bring in June"


def test_withdrawn_it_opens_nothing_and_its_words_are_gone(api: Api) -> None:
    published = publish(api)
    assert api.ask("DELETE", "bring-list").status_code == 204
    gone = api.ask("GET", str(published["address"]), role=None)
    assert "taken down" in str(problem(gone, 404)["detail"])
    problem(api.ask("GET", "bring-list"), 404)
    problem(api.ask("DELETE", "bring-list"), 404)
    rows = look(api.engine, lambda r: repr(r.connection.execute(select(BRING_LIST)).all()))
    assert "Saturday" not in rows
    assert "pasta" not in rows.casefold()
    assert publish(api)["address"] != published["address"]


def test_only_so_many_withdrawn_addresses_are_remembered(api: Api) -> None:
    for _ in range(MOST_WITHDRAWN + 3):
        publish(api, lines=[PASTA])
        assert api.ask("DELETE", "bring-list").status_code == 204
    counted = select(func.count()).select_from(BRING_LIST)
    assert look(api.engine, lambda r: r.connection.execute(counted).scalar_one()) == MOST_WITHDRAWN


def test_sent_twice_under_one_key_it_is_published_once(api: Api) -> None:
    first = api.ask("POST", "bring-list", body=LIST, key="spring")
    again = api.ask("POST", "bring-list", body=LIST, key="spring")
    assert (first.status_code, first.content) == (201, again.content)
    problem(api.ask("POST", "bring-list", body={**LIST, "title": "x"}, key="spring"), 422)
    problem(api.ask("POST", "bring-list", body=LIST, key=None), 400)


def test_a_coordinator_reads_where_it_is_and_who_published_it(api: Api) -> None:
    published = publish(api)
    assert api.get("bring-list") == published


def test_food_for_infants_is_published_only_when_confirmed(api: Api) -> None:
    formula = {"food": "infant_formula_milk_powder", "units": 3}
    body = {**LIST, "lines": [formula]}
    refused = problem(api.ask("POST", "bring-list", body=body), 422)
    assert "is for infants" in str(refused["faults"])
    assert publish(api, lines=[formula], confirms_infant_food=True)["lines"]


@pytest.mark.parametrize(
    ("changed", "where"),
    [
        ({"lines": []}, "lines"),
        ({"lines": [PASTA, PASTA]}, "lines number 2 > food"),
        ({"lines": [{"food": "ambrosia", "units": 1}]}, "lines number 1 > food"),
        ({"lines": [{"food": "pasta_dry", "units": 0}]}, "lines number 1 > units"),
        ({"lines": [{"food": "pasta_dry", "units": 1.5}]}, "lines number 1 > units"),
        ({"lines": [{"food": "pasta_dry", "units": 2_000_000}]}, "lines number 1 > units"),
        ({"lines": [PASTA] * 201}, "lines"),
        ({"title": ""}, "title"),
        ({"title": "a\nb"}, "title"),
        ({"note": "n" * 401}, "note"),
        ({"household": "H-peanut"}, "household"),
    ],
)
def test_what_is_no_list_is_refused_and_nothing_is_published(
    api: Api, changed: dict[str, object], where: str
) -> None:
    refused = problem(api.ask("POST", "bring-list", body={**LIST, **changed}), 422)
    faults = refused["faults"]
    assert isinstance(faults, list)
    assert where in [fault["where"] for fault in faults]  # type: ignore[call-overload, index]
    problem(api.ask("GET", "bring-list"), 404)


@pytest.mark.parametrize(
    "address",
    [
        f"/v1/bring/{STORE_ID}/guessed",
        "/v1/bring/nowhere/guessed",
        f"/v1/bring/{STORE_ID}/{'x' * 65}",
    ],
)
def test_an_address_that_was_not_given_opens_nothing(api: Api, address: str) -> None:
    publish(api)
    assert api.ask("GET", address, role=None).status_code in (404, 422)


def test_another_stores_list_is_not_at_this_stores_address(api: Api) -> None:
    begin_ground(api.engine, small_store(OTHER_STORE))
    address = str(publish(api)["address"]).replace(STORE_ID, OTHER_STORE)
    problem(api.ask("GET", address, role=None), 404)


def test_a_volunteer_publishes_nothing(api: Api) -> None:
    problem(api.ask("POST", "bring-list", body=LIST, role=Role.VOLUNTEER), 403)
