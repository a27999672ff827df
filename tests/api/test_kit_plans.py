"""Claims about plans for packing over the API: made of the stock, packed whole or not at all."""

import pytest

from daysworth.domain.entries import Role
from tests.api.clients import Api, Json, problem, told
from tests.api.test_lots import DATED, Lot, do, log, objects
from tests.db.kit_grounds import kits_balance, kits_of, to_pack
from tests.db.test_packing_plans import plan as kept_otherwise
from tests.grounds import (
    CELLAR,
    OTHER_HOME,
    PEANUT_HOME,
    SHELF,
    books_balance,
    lots_of,
    put_up,
    version_of,
)

Plan = dict[str, Json]

NUT_BUTTER = "std-nut-butter-crackers-pears"


def read(text: str) -> Lot:
    """Give the whole label of a pack under the law of the United States."""
    return {"reading": {"is_whole": True, "regime": "us_fda", "text": text}}


def packs(food: str, units: int, *, text: str | None = None, place: str = SHELF) -> Lot:
    """Give packs of a food of a size that one person eats at one meal, its label read or not."""
    net_mass_g = 250.0 if food == "pears_in_juice_tinned" else 120.0
    size: Lot = {"food": food, "units": units, "net_mass_g": net_mass_g}
    return {"place": place, **size, **DATED, **({} if text is None else read(text))}


BUTTER = packs("peanut_butter_smooth", 6)
ALMOND = packs("almond_butter", 6)
SEEDS = packs("sunflower_seed_butter", 6, text="Ingredients: sunflower seeds, salt.")
CRACKERS = packs(
    "soda_crackers", 9, text="Ingredients: wheat flour, sunflower oil, salt. Contains wheat."
)
PEARS = packs("pears_in_juice_tinned", 9, text="Ingredients: pears, pear juice.", place=CELLAR)


def stock(api: Api, *boxes: Lot) -> list[Lot]:
    """Log boxes, and wares enough for twenty who eat."""
    lines = [
        {"kind": kind, "place": SHELF, "units": 20}
        for kind in ("opener", "plate", "bowl", "fork", "spoon", "napkin", "bag")
    ]
    api.post("wares/receive", {"lines": lines})
    return log(api, *boxes)


def planned(api: Api, *kinds: Plan, role: Role = Role.COORDINATOR, place: str = SHELF) -> Plan:
    """Plan kits, which must be kept."""
    return api.post("kit-plans", {"kinds": list(kinds), "place": place}, role=role)


def foods_in(plan: Plan) -> set[Json]:
    """Give the foods of all kits of a plan."""
    return {one["food"] for kit in objects(plan, "kits") for one in objects(kit, "contents")}


def pack(api: Api, plan: Plan, role: Role = Role.VOLUNTEER) -> Plan:
    """Put up the kits of a plan."""
    return told(api.ask("POST", f"kit-plans/{plan['plan']}/pack", role=role), 201)


FOR_ONE: Plan = {"pattern": NUT_BUTTER, "wanted": 2, "persons": 1}


def test_a_plan_says_what_can_be_made_and_what_to_pick_where(api: Api) -> None:
    stock(api, BUTTER, CRACKERS, PEARS)
    before = version_of(api.engine)
    found = planned(api, FOR_ONE, role=Role.VOLUNTEER)
    (kind,) = objects(found, "kinds")
    assert (kind["wanted"], kind["made"], kind["short"]) == (2, 2, None)
    assert foods_in(found) == {
        "peanut_butter_smooth",
        "soda_crackers",
        "pears_in_juice_tinned",
    }
    assert sum(int(str(one["how_many"])) for one in objects(found, "kits")) == 2
    places = {one["place"]: objects(one, "lines") for one in objects(found, "picking")}
    assert {line["name"] for line in places[CELLAR]} == {"Pears in juice, tinned"}
    assert {line["ware"] for line in places[SHELF] if line["ware"]} >= {"spoon", "napkin", "bag"}
    totals = found["totals"]
    assert isinstance(totals, dict)
    assert (totals["kits"], totals["person_meals"]) == (2, 2)
    assert totals["person_days"] == pytest.approx(2 / 3, abs=1e-6)
    assert all(float(str(one["gap"])) >= 0 for one in objects(found, "stages"))
    assert objects(found, "cautions")
    assert version_of(api.engine) == before
    assert kits_of(api.engine) == []


def test_a_plan_is_packed_once_and_its_kits_are_closed(api: Api) -> None:
    stock(api, BUTTER, CRACKERS, PEARS)
    plan = planned(api, FOR_ONE, place=CELLAR)
    done = pack(api, plan)
    kits = objects(done, "kits")
    assert [(one["state"], one["place"]) for one in kits] == [("closed", CELLAR)] * 2
    refused = api.ask("POST", f"kit-plans/{plan['plan']}/pack")
    assert "packed already, on 2026-09-01" in str(problem(refused, 409)["detail"])
    assert len(kits_of(api.engine)) == 2
    kept = api.get(f"kit-plans/{plan['plan']}")
    assert kept["packed_by"] == "a volunteer"
    assert foods_in(kept) == foods_in(plan)
    assert books_balance(api.engine)
    assert kits_balance(api.engine)


def test_planning_and_packing_with_one_key_is_done_once(api: Api) -> None:
    stock(api, BUTTER, CRACKERS, PEARS)
    body = {"kinds": [FOR_ONE], "place": SHELF}
    first = told(api.ask("POST", "kit-plans", body=body, key="plan-1"), 201)
    assert told(api.ask("POST", "kit-plans", body=body, key="plan-1"), 201) == first
    path = f"kit-plans/{first['plan']}/pack"
    done = told(api.ask("POST", path, key="pack-1"), 201)
    assert told(api.ask("POST", path, key="pack-1"), 201) == done
    problem(api.ask("POST", "kit-plans", body=body, key=None), 400)
    problem(api.ask("POST", path, key=None), 400)


def test_stock_that_moved_meanwhile_fails_the_plan_whole(api: Api) -> None:
    butter, crackers, _ = stock(api, BUTTER, CRACKERS, PEARS)
    plan = planned(api, FOR_ONE)
    told(do(api, butter, to="quarantine", why="recalled?"), 201)
    before = lots_of(api.engine)
    refused = api.ask("POST", f"kit-plans/{plan['plan']}/pack")
    assert "plan again" in str(problem(refused, 412)["detail"])
    assert (lots_of(api.engine), kits_of(api.engine)) == (before, [])
    told(do(api, butter, to="release", why="it was another code"), 201)
    told(do(api, crackers, to="use", units=9), 201)
    before = lots_of(api.engine)
    problem(api.ask("POST", f"kit-plans/{plan['plan']}/pack"), 409)
    assert (lots_of(api.engine), kits_of(api.engine)) == (before, [])


def test_what_nobody_can_make_says_which_part_is_short_and_why(api: Api) -> None:
    stock(api, BUTTER, CRACKERS)
    found = planned(api, FOR_ONE)
    (kind,) = objects(found, "kinds")
    assert (kind["made"], found["kits"]) == (0, [])
    assert "fruit or vegetable" in str(kind["short"])


def test_a_kit_for_a_peanut_home_never_holds_what_is_unsuitable_or_unknown(api: Api) -> None:
    lots = stock(api, BUTTER, ALMOND, CRACKERS, PEARS)
    asked: Plan = {"pattern": NUT_BUTTER, "wanted": 1, "household": PEANUT_HOME}
    none = planned(api, asked)
    (kind,) = objects(none, "kinds")
    assert kind["made"] == 0
    assert "protein" in str(kind["short"])
    (seeds,) = log(api, SEEDS)
    found = planned(api, asked)
    assert foods_in(found) == {
        "sunflower_seed_butter",
        "soda_crackers",
        "pears_in_juice_tinned",
    }
    allowed = {seeds["id"], lots[2]["id"], lots[3]["id"]}
    assert {
        one["lot"] for kit in objects(found, "kits") for one in objects(kit, "contents")
    } <= allowed
    (kit,) = objects(pack(api, found), "kits")
    assert api.get(f"kits/{kit['id']}")["warnings"] == []


def test_a_plan_for_a_household_is_a_reading_of_its_needs(api: Api) -> None:
    stock(api, SEEDS, CRACKERS, PEARS)
    asked: Plan = {"pattern": NUT_BUTTER, "wanted": 1, "household": PEANUT_HOME}
    body = {"kinds": [asked], "place": SHELF}
    refused = api.ask("POST", "kit-plans", body=body, role=Role.VOLUNTEER)
    assert "for coordinators to plan" in str(problem(refused, 403)["detail"])
    plan = planned(api, asked)
    noted = objects(api.get("disclosures"), "items")
    assert [(one["what"], one["household"]) for one in noted] == [("kit plan", PEANUT_HOME)]
    mine = api.ask("GET", f"kit-plans/{plan['plan']}")
    theirs = api.ask("GET", f"kit-plans/{plan['plan']}", role=Role.VOLUNTEER)
    assert PEANUT_HOME in mine.text
    for said in (PEANUT_HOME, "peanut allergy"):
        assert said not in theirs.text
    (kind,) = objects(told(theirs, 200), "kinds")
    assert (kind["household"], kind["parcel_number"]) == (None, 2)
    assert objects(told(theirs, 200), "picking") == objects(plan, "picking")


def test_a_kept_plan_is_read_as_it_was_made(api: Api) -> None:
    stock(api, BUTTER, CRACKERS, PEARS)
    plan = planned(api, {**FOR_ONE, "wanted": 50})
    path = f"kit-plans/{plan['plan']}"
    assert api.get(path) == plan
    (kind,) = objects(plan, "kinds")
    assert (kind["wanted"], plan["is_proved_best"]) == (50, True)
    assert kind["short"]
    assert objects(plan, "stages")
    lot = objects(objects(plan, "picking")[0], "lines")[0]["lot"]
    told(api.ask("POST", f"lots/{lot}/use", body={"units": 1}), 201)
    assert api.get(path) == plan


@pytest.mark.parametrize(
    ("body", "where"),
    [
        ({"kinds": []}, "kinds"),
        ({"kinds": [FOR_ONE] * 13}, "kinds"),
        ({"kinds": [{**FOR_ONE, "wanted": 0}]}, "kinds number 1 > wanted"),
        ({"kinds": [{**FOR_ONE, "wanted": 501}]}, "kinds number 1 > wanted"),
        ({"kinds": [{**FOR_ONE, "persons": 0}]}, "kinds number 1 > persons"),
        ({"kinds": [{**FOR_ONE, "persons": 25}]}, "kinds number 1 > persons"),
        ({"kinds": [{**FOR_ONE, "household": OTHER_HOME}]}, "kinds number 1"),
        ({"kinds": [FOR_ONE, {**FOR_ONE, "pattern": "feast"}]}, "kinds number 2 > pattern"),
        ({"place": "attic"}, "place"),
    ],
)
def test_what_cannot_be_planned_is_refused_naming_the_field(
    api: Api, body: Plan, where: str
) -> None:
    whole: Plan = {"kinds": [FOR_ONE], "place": SHELF, **body}
    refused = problem(api.ask("POST", "kit-plans", body=whole), 422)
    assert str(objects(refused, "faults")[0]["where"]).startswith(where)


def test_a_household_and_a_plan_that_are_not_there_are_refused_in_words(api: Api) -> None:
    asked = {"pattern": NUT_BUTTER, "wanted": 1, "household": "H-none"}
    body = {"kinds": [asked], "place": SHELF}
    refused = problem(api.ask("POST", "kit-plans", body=body), 422)
    assert "no household 'H-none'" in str(refused["detail"])
    problem(api.ask("GET", "kit-plans/N-none"), 404)
    problem(api.ask("POST", "kit-plans/N-none/pack"), 404)


def test_a_plan_that_another_release_kept_asks_to_plan_again(api: Api) -> None:
    (lot,) = put_up(api.engine)
    kept = kept_otherwise(api.engine, to_pack((lot, 1)))
    for role in (Role.COORDINATOR, Role.VOLUNTEER):
        said = problem(api.ask("GET", f"kit-plans/{kept.id}", role=role), 404)
        assert "another release: plan again" in str(said["detail"])
