"""Claims about what can be spared over the API: as planned, cached, promised, and with floors."""

from functools import partial

import pytest

from daysworth.answers.surplus import answer_surplus, surplus_json
from daysworth.db.snapshots import load_snapshot
from daysworth.domain.entries import Role
from tests.api.clients import Api, Json, problem
from tests.api.partner_bodies import Body, add, partner, window
from tests.api.test_lots import objects
from tests.grounds import CELLAR, NOON, OTHER_HOME, PEANUT_HOME, box, look, lots_of, put_up

DUE = "2026-10-20"


def part(read: Body, name: str) -> Body:
    """Give a part of an answer."""
    found = read[name]
    assert isinstance(found, dict)
    return found


def units_of(read: Body) -> int:
    """Give how many units go in all."""
    units = part(read, "totals")["units"]
    assert isinstance(units, int)
    return units


def staying(read: Body) -> dict[Json, Body]:
    """Give what stays by lot."""
    return {one["lot"]: one for one in objects(read, "staying")}


def with_one_home_and_water(api: Api) -> None:
    """Take out the household that may eat nothing here, its label unread, and put up water."""
    tag = {"If-Match": api.ask("GET", f"households/{PEANUT_HOME}").headers["etag"]}
    assert api.ask("DELETE", f"households/{PEANUT_HOME}", headers=tag).status_code == 204
    put_up(api.engine, box(1_000, food="water_bottled"))


def test_the_answer_is_the_planners(api: Api) -> None:
    add(api)
    put_up(api.engine, box(6, printed=DUE), box(500))
    planned = answer_surplus(look(api.engine, partial(load_snapshot, at=NOON)), NOON.date())
    assert api.ask("GET", "surplus").text == surplus_json(planned)


def test_what_can_be_spared_is_listed_visit_by_visit_and_place_by_place(api: Api) -> None:
    add(api)
    shelf, cellar, keeps = put_up(
        api.engine, box(6, printed=DUE), box(4, printed=DUE, place=CELLAR), box(900)
    )
    read = api.get("surplus", role=Role.VOLUNTEER)
    (one,) = objects(read, "visits")
    assert (one["partner_name"], one["window"]) == ("Harbour Kitchen (invented)", "tuesdays")
    assert "September 2026" in str(one["words"])
    packing = objects(one, "packing")
    assert [place["place_name"] for place in packing] == ["Cellar", "Shelf"]
    taken = {line["lot"]: line["units"] for place in packing for line in objects(place, "lines")}
    assert taken == {cellar.id: 4, shelf.id: 6}
    assert keeps.id not in {*taken, *staying(read)}
    totals = part(read, "totals")
    assert (totals["visits"], totals["units"]) == (1, 10)
    assert all(stage["gap"] == 0 for stage in objects(read, "stages"))
    assert (read["is_own_floor"], read["floor_days"]) == (True, 14)


def test_what_is_planned_can_be_promised_as_it_stands(api: Api) -> None:
    add(api)
    put_up(api.engine, box(6, printed=DUE), box(900))
    read = api.get("surplus")
    visits: list[Json] = [
        {
            "partner": one["partner"],
            "window": one["window"],
            "opens_at": one["opens_at"],
            "items": [
                {"lot": line["lot"], "units": line["units"]}
                for place in objects(one, "packing")
                for line in objects(place, "lines")
            ],
        }
        for one in objects(read, "visits")
    ]
    api.post("promises", {"visits": visits})
    assert sum(lot.units_promised for lot in lots_of(api.engine).values()) == 6
    assert api.get("surplus")["visits"] == []


def test_what_stays_says_why(api: Api) -> None:
    rules: list[Json] = [
        {"group": "fish", "least_days_left": 10},
        {"group": "nuts_and_seeds", "takes": False},
    ]
    add(api, partner(rules=rules, windows=[window(most_units=3)]))
    late, opened, butter = put_up(
        api.engine,
        box(6, printed="2026-09-08"),
        box(2, printed=DUE, condition="damaged"),
        box(2, food="peanut_butter_smooth", printed=DUE),
    )
    put_up(api.engine, box(900))
    found = staying(api.get("surplus"))
    assert found[late.id]["why"] == "refused"
    assert found[late.id]["words"] == (
        "Harbour Kitchen (invented) takes it with at least 10 days left"
    )
    assert (found[opened.id]["why"], found[opened.id]["never"]) == ("never_goes", "not_sound")
    assert "takes no " in str(found[butter.id]["words"])


def test_what_the_store_needs_itself_stays(api: Api) -> None:
    with_one_home_and_water(api)
    add(api)
    (lot,) = put_up(api.engine, box(6, printed=DUE))
    read = api.get("surplus")
    assert read["visits"] == []
    one = staying(read)[lot.id]
    assert (one["why"], one["units"]) == ("floor", 6)
    assert "14 days" in str(one["words"])
    assert part(api.get("surplus?floor_days=0"), "totals")["units"] == 6


def test_without_a_partner_nothing_goes_and_every_candidate_says_so(api: Api) -> None:
    (lot,) = put_up(api.engine, box(6, printed=DUE))
    read = api.get("surplus?floor_days=0")
    assert (read["visits"], read["open_visits"]) == ([], 0)
    assert staying(read)[lot.id]["why"] == "no_window"
    assert "20 October 2026" in str(staying(read)[lot.id]["words"])


def test_no_reader_is_told_of_a_household(api: Api) -> None:
    add(api)
    put_up(api.engine, box(6, printed=DUE, owner=PEANUT_HOME, is_shared=False), box(4, printed=DUE))
    texts = {api.ask("GET", "surplus", role=role).text for role in (Role.VOLUNTEER, Role.SCRIPT)}
    (text,) = {*texts, api.ask("GET", "surplus").text}
    assert PEANUT_HOME not in text
    assert OTHER_HOME not in text
    assert "peanut" not in text.casefold().replace("peanut butter", "")


def test_an_unchanged_plan_is_not_sent_again(api: Api) -> None:
    add(api)
    put_up(api.engine, box(6, printed=DUE))
    tag = api.ask("GET", "surplus").headers["etag"]
    again = api.ask("GET", "surplus", headers={"If-None-Match": tag})
    assert (again.status_code, again.content) == (304, b"")
    for query in ("?floor_days=3", "?until_on=2026-12-01", "?partner=harbour-kitchen"):
        other = api.ask("GET", f"surplus{query}", headers={"If-None-Match": tag})
        assert other.status_code == 200
    put_up(api.engine)
    assert api.ask("GET", "surplus", headers={"If-None-Match": tag}).status_code == 200


def test_a_change_of_a_partner_makes_another_plan(api: Api) -> None:
    put_up(api.engine, box(6, printed=DUE))
    tag = api.ask("GET", "surplus?floor_days=0").headers["etag"]
    add(api)
    after = api.ask("GET", "surplus?floor_days=0", headers={"If-None-Match": tag})
    assert after.status_code == 200
    assert after.json()["totals"]["units"] == 6


def test_floors_are_told_beside_the_stores_own_with_how_much_more_goes(api: Api) -> None:
    with_one_home_and_water(api)
    add(api)
    put_up(api.engine, box(60, printed=DUE))
    read = api.get("surplus/floors?floor_days=0&floor_days=3&floor_days=3", role=Role.SCRIPT)
    found = objects(read, "floors")
    assert [one["floor_days"] for one in found] == [0, 3, 14]
    units = [units_of(one) for one in found]
    assert units == sorted(units, reverse=True)
    # What is left must feed all for 3 days, or for as long as it would last, so some can go.
    assert (units[0], units[2]) == (60, 0)
    assert 0 < units[1] < 60
    own = found[-1]
    assert (own["is_own_floor"], own["more_units"], own["more_energy_kcal"]) == (True, 0, 0)
    assert found[0]["more_units"] == units[0] - units[-1]
    for one in found:
        alone = api.get(f"surplus?floor_days={one['floor_days']}")
        assert one["totals"] == alone["totals"]
        assert str(one["words"])


@pytest.mark.parametrize(
    "query",
    [
        "surplus?floor_days=-1",
        "surplus?floor_days=731",
        "surplus?floor_days=many",
        "surplus?until_on=2026-09-01",
        "surplus?until_on=2089-01-01",
        "surplus?until_on=9999-12-31",
        "surplus?until_on=soon",
        "surplus?partner=nobody",
        "surplus?partner=",
        "surplus/floors",
        "surplus/floors?floor_days=-1",
        "surplus/floors?floor_days=1&partner=nobody",
        "surplus/floors?" + "&".join(f"floor_days={n}" for n in range(7)),
    ],
)
def test_what_cannot_be_asked_is_refused_in_words(api: Api, query: str) -> None:
    add(api)
    problem(api.ask("GET", query), 422)
