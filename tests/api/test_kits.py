"""Claims about kits over the API: who is told what of them, their check, labels and deeds."""

from functools import partial
from typing import Final

import pytest

from daysworth.db.kits import KeptKit
from daysworth.domain.entries import Role
from daysworth.domain.identifiers import HouseholdId
from daysworth.domain.label_dates import LabelKind
from tests.api.clients import Api, Json, problem, told
from tests.api.test_lots import log, objects, pages
from tests.api.test_suitability import CLEAR, PEANUT_BUTTER
from tests.db.kit_grounds import (
    kit_of,
    kits_balance,
    pack,
    stock_wares,
    to_pack,
    wares_of,
    with_wares,
)
from tests.grounds import (
    CELLAR,
    OTHER_HOME,
    PEANUT_HOME,
    SHELF,
    books_balance,
    box,
    lots_of,
    put_up,
    version_of,
)
from tests.printing.read_labels import read

Kit = dict[str, Json]


def salmon_kit(
    api: Api, units: int = 1, *, household: HouseholdId | None = None, persons: int = 2
) -> KeptKit:
    """Put up a kit of salmon whose label was not read, in the cellar."""
    (lot,) = put_up(api.engine, box(6))
    stock_wares(api.engine)
    asked = with_wares((lot, units), household=household, persons=persons)
    return pack(api.engine, asked)[0]


def clear_lot(api: Api) -> Kit:
    """Log salmon whose label was read, with nothing on it that the peanut home avoids."""
    (lot,) = log(api, CLEAR)
    return lot


def disclosed(api: Api) -> list[tuple[Json, Json]]:
    """Give what was logged as readings of health facts."""
    return [(one["what"], one["household"]) for one in objects(api.get("disclosures"), "items")]


def test_a_kit_tells_its_date_its_figures_and_what_is_in_it(api: Api) -> None:
    kit = salmon_kit(api, 2)
    found = api.get(f"kits/{kit.id}", role=Role.VOLUNTEER)
    assert (found["state"], found["place_name"], found["persons"]) == ("closed", "Cellar", 2)
    assert (found["pull_by_day"], found["packed_on"]) == ("2028-09-30", "2026-09-01")
    (food,) = objects(found, "contents")
    assert (food["food_name"], food["units"], food["served"]) == (
        "Pink salmon, tinned",
        2,
        "from its own pack",
    )
    assert found["mass_g"] == food["mass_g"]
    assert found["energy_kcal_per_person"] == pytest.approx(float(str(found["energy_kcal"])) / 2)
    wares = {one["kind"]: one["name"] for one in objects(found, "wares")}
    assert wares == {"opener": "tin opener", "fork": "forks", "bag": "bag"}
    (waiver,) = objects(found, "waivers")
    assert (waiver["rule"], waiver["why"]) == ("no_added_water", "There is a tap.")
    allergens = found["allergens"]
    assert isinstance(allergens, dict)
    assert "fish" in str(allergens["present"])
    assert allergens["is_read"] is False
    assert objects(found, "cautions")


def test_every_rule_is_told_with_words_and_figures(api: Api) -> None:
    kit = salmon_kit(api)
    rules = {one["rule"]: one for one in objects(api.get(f"kits/{kit.id}"), "rules")}
    assert len(rules) == 10
    assert rules["complete"]["status"] == "failed"
    assert "starch: 0 servings, 2 asked for: too little" in str(rules["complete"]["words"])
    assert rules["keeps"]["words"] == "every food keeps at least 6 months from packing"
    assert rules["utensils"]["words"] == "forks or spoons: 2 of 2; napkins: 0 of 2"
    assert "a bag holds 7.6 L" in str(rules["bag"]["words"])


def test_a_volunteer_is_told_a_parcel_and_nothing_that_tells_of_a_need(api: Api) -> None:
    kit = salmon_kit(api, household=PEANUT_HOME, persons=1)
    mine = api.ask("GET", f"kits/{kit.id}")
    assert disclosed(api) == [("kit", PEANUT_HOME)]
    seen = told(mine, 200)
    assert (seen["household"], seen["parcel_number"]) == (PEANUT_HOME, 2)
    assert "peanut allergy" in mine.text
    theirs = api.ask("GET", f"kits/{kit.id}", role=Role.VOLUNTEER)
    shown = told(theirs, 200)
    assert (shown["household"], shown["parcel_number"]) == (None, 2)
    assert (shown["rules"], shown["warnings"]) == ([], [])
    listed = api.ask("GET", "kits", role=Role.VOLUNTEER)
    for text in (theirs.text, listed.text):
        assert PEANUT_HOME not in text
        assert "peanut allergy" not in text
    for path in (f"kits?household={PEANUT_HOME}", f"kits/take-along?household={PEANUT_HOME}"):
        refused = api.ask("GET", path, role=Role.VOLUNTEER)
        assert "told parcels" in str(problem(refused, 403)["detail"])


def test_a_household_sees_its_own_kits_and_those_for_anybody(api: Api) -> None:
    (lot,) = put_up(api.engine, box(9))
    anybodys, theirs, others = pack(
        api.engine,
        to_pack((lot, 1)),
        to_pack((lot, 1), household=PEANUT_HOME, persons=1),
        to_pack((lot, 1), household=OTHER_HOME, persons=1),
    )
    listed = {one["id"] for one in objects(api.get("kits", role=Role.HOUSEHOLD), "items")}
    assert listed == {anybodys.id, theirs.id}
    assert api.get(f"kits/{theirs.id}", role=Role.HOUSEHOLD)["household"] == PEANUT_HOME
    problem(api.ask("GET", f"kits/{others.id}", role=Role.HOUSEHOLD), 404)
    problem(api.ask("GET", f"kits?household={OTHER_HOME}", role=Role.HOUSEHOLD), 403)


def test_kits_are_listed_by_place_state_household_and_date(api: Api) -> None:
    early, late = put_up(api.engine, box(6, printed="2026-12"), box(6))
    first, second = pack(api.engine, to_pack((early, 1)), to_pack((late, 1)))
    (third,) = pack(api.engine, to_pack((late, 1), household=OTHER_HOME, persons=1), place=SHELF)
    told(api.ask("POST", f"kits/{second.id}/eat", body={}), 201)

    def ids(query: str) -> set[Json]:
        return {one["id"] for page in pages(api, f"kits?limit=1&{query}") for one in page}

    assert ids("") == {first.id, third.id}
    assert ids("state=eaten") == {second.id}
    assert ids("state=any") == {first.id, second.id, third.id}
    assert ids(f"place={SHELF}") == {third.id}
    assert ids(f"household={OTHER_HOME}") == {third.id}
    assert ids("due_before=2027-03-01") == {first.id}
    (eaten,) = objects(api.get("kits?state=eaten"), "items")
    assert (eaten["mass_g"], eaten["pull_by_day"]) == (None, None)
    assert api.get(f"kits/{second.id}")["state"] == "eaten"


def test_a_changed_label_opens_a_kit_again_until_a_coordinator_answers_for_it(api: Api) -> None:
    lot = clear_lot(api)
    held = lots_of(api.engine)[str(lot["id"])]
    (kit,) = pack(api.engine, to_pack((held, 2), household=PEANUT_HOME, persons=1))
    before = api.get(f"kits/{kit.id}")
    assert (before["changed_since_packing"], before["warnings"]) == (False, [])
    text = "Ingredients: pink salmon, salt. May contain peanuts."
    in_kit = kit_of(api.engine, kit.id).kit.items[0].lot
    reading = {"is_whole": True, "regime": "us_fda", "text": text}
    told(api.ask("POST", f"lots/{in_kit}/label", body={"reading": reading}), 201)
    after = api.get(f"kits/{kit.id}")
    assert after["changed_since_packing"] is True
    assert after["what_changed"] == ["Pink salmon, tinned is not suitable for those it is for"]
    shown = api.get(f"kits/{kit.id}", role=Role.VOLUNTEER)
    assert shown["what_changed"] == ["a coordinator has to look at it before anybody eats of it"]
    (listed,) = objects(api.get("kits"), "items")
    assert listed["changed_since_packing"] is True

    confirm = partial(api.ask, "POST", f"kits/{kit.id}/confirm")
    why = {"why": "they asked for it by name"}
    problem(confirm(body=why), 428)
    problem(confirm(body=why, headers={"If-Match": '"r9"'}), 412)
    tag = {"If-Match": str(after["etag"])}
    problem(confirm(body={}, headers=tag), 422)
    problem(confirm(body=why, headers=tag, role=Role.VOLUNTEER), 403)
    told(confirm(body=why, headers=tag), 201)
    looked_at = api.get(f"kits/{kit.id}")
    assert (looked_at["changed_since_packing"], looked_at["looked_why"]) == (False, why["why"])
    assert objects(looked_at, "warnings")


def test_a_kit_is_moved_and_unpacked_and_what_was_in_it_is_free_again(api: Api) -> None:
    kit = salmon_kit(api)
    moved = api.post(f"kits/{kit.id}/move", {"place": SHELF}, role=Role.VOLUNTEER)
    assert moved["place"] == SHELF
    problem(api.ask("POST", f"kits/{kit.id}/move", body={"place": SHELF}), 409)
    problem(api.ask("POST", f"kits/{kit.id}/move", body={"place": "attic"}), 404)
    unpacked = api.post(f"kits/{kit.id}/unpack", {"why": "for supper"}, role=Role.VOLUNTEER)
    assert unpacked["state"] == "unpacked"
    assert sum(lot.units_free for lot in lots_of(api.engine).values()) == 6
    assert wares_of(api.engine)[SHELF, "fork"] == 10
    refused = problem(api.ask("POST", f"kits/{kit.id}/unpack", body={}), 409)
    assert "was unpacked on 2026-09-01 already" in str(refused["detail"])
    problem(api.ask("POST", f"kits/{kit.id}/eat", body={}), 409)
    assert books_balance(api.engine)
    assert kits_balance(api.engine)


def test_a_deed_with_one_key_is_done_once(api: Api) -> None:
    kit = salmon_kit(api)
    eat = partial(api.ask, "POST", f"kits/{kit.id}/eat", body={})
    assert told(eat(key="supper"), 201) == told(eat(key="supper"), 201)
    problem(eat(key=None), 400)


CHECKED: Final[Kit] = {"persons": 2, "items": [{"food": "salmon_pink_tinned", "units": 1}]}


def test_a_check_says_what_fails_and_changes_nothing(api: Api) -> None:
    before = version_of(api.engine)
    found = told(api.ask("POST", "kits/check", body=CHECKED, role=Role.VOLUNTEER, key=None), 200)
    assert (found["is_sound"], found["household"], found["warnings"]) == (False, None, [])
    failed = {one["rule"] for one in objects(found, "rules") if one["status"] == "failed"}
    assert {"complete", "energy", "keeps", "utensils", "bag"} <= failed
    assert found["pull_by_day"] is None
    waived = {**CHECKED, "waivers": [{"rule": "complete", "why": "bread comes with it"}]}
    again = told(api.ask("POST", "kits/check", body=waived), 200)
    complete = objects(again, "rules")[0]
    assert (complete["status"], complete["why_waived"]) == ("waived", "bread comes with it")
    assert version_of(api.engine) == before


def test_a_check_for_a_household_names_every_unsuitable_and_unknown_item(api: Api) -> None:
    lot = clear_lot(api)
    (butter,) = log(api, PEANUT_BUTTER)
    items = [
        {"lot": lot["id"], "units": 1},
        {"lot": butter["id"], "units": 1},
        {"food": "matzo", "units": 1},
    ]
    body = {"household": PEANUT_HOME, "items": items}
    refused = api.ask("POST", "kits/check", body=body, role=Role.VOLUNTEER)
    assert "told parcels" in str(problem(refused, 403)["detail"])
    found = told(api.ask("POST", "kits/check", body=body), 200)
    said = [(one["food"], one["verdict"]) for one in objects(found, "warnings")]
    assert said == [("peanut_butter_smooth", "unsuitable"), ("matzo", "unknown")]
    assert (found["parcel_number"], found["persons"]) == (2, 1)
    assert disclosed(api) == [("kit check", PEANUT_HOME)]


@pytest.mark.parametrize(
    ("changed", "where"),
    [
        ({"persons": 0}, "persons"),
        ({"persons": 25}, "persons"),
        ({"persons": None}, ""),
        ({"household": "H-none"}, ""),
        ({"items": []}, "items"),
        ({"items": [{"units": 1}]}, "items number 1"),
        ({"items": [{"lot": "none", "units": 1}]}, "items"),
        ({"items": [{"food": "ambrosia", "units": 1}]}, "items"),
        ({"items": [{"food": "salmon_pink_tinned", "units": 0}]}, "items number 1 > units"),
        ({"waivers": [{"rule": "bag"}]}, "waivers number 1 > why"),
        ({"waivers": [{"rule": "bag", "why": " "}]}, "waivers number 1 > why"),
        ({"wares": {"chopstick": 1}}, "wares"),
        ({"packed_on": "0001-01-01"}, ""),
    ],
)
def test_a_check_that_cannot_be_made_is_refused_naming_the_field(
    api: Api, changed: Kit, where: str
) -> None:
    refused = problem(api.ask("POST", "kits/check", body={**CHECKED, **changed}), 422)
    assert str(objects(refused, "faults")[0]["where"]).startswith(where)


def test_a_household_that_is_not_there_is_refused_in_words(api: Api) -> None:
    body = {"household": "H-none", "items": CHECKED["items"]}
    refused = problem(api.ask("POST", "kits/check", body=body), 422)
    assert "no household 'H-none'" in str(refused["detail"])
    problem(api.ask("GET", "kits/take-along?household=H-none"), 422)


def test_kits_to_take_along_are_told_in_order_within_a_load(api: Api) -> None:
    light, heavy = put_up(api.engine, box(6, net_mass_g=100.0), box(6, net_mass_g=900.0))
    small, large = pack(api.engine, to_pack((light, 1)), to_pack((heavy, 1)))
    found = api.get("kits/take-along?most_kg=0.5", role=Role.VOLUNTEER)
    assert [one["kit"] for one in objects(found, "kits")] == [small.id]
    assert [(one["kit"], one["why"]) for one in objects(found, "left")] == [(large.id, "too_heavy")]
    assert found["person_meals"] == 2
    assert found["person_days"] == pytest.approx(2 / 3, abs=1e-6)
    assert len(objects(api.get("kits/take-along"), "kits")) == 2
    theirs = api.get("kits/take-along", role=Role.HOUSEHOLD)
    assert (theirs["household"], theirs["kits"]) == (PEANUT_HOME, [])
    assert {one["why"] for one in objects(theirs, "left")} == {"unknown"}


@pytest.mark.parametrize("most_kg", ["0", "-1", "nan", "inf", "1e9", "much"])
def test_a_load_that_nobody_can_carry_is_refused(api: Api, most_kg: str) -> None:
    problem(api.ask("GET", f"kits/take-along?most_kg={most_kg}"), 422)


def texts(printed: bytes) -> list[str]:
    """Give all that stands on each page of labels."""
    return [" ".join(text.text for text in page.texts) for page in read(printed)]


def test_labels_are_printed_of_kits_and_of_a_place(api: Api) -> None:
    kit = salmon_kit(api, household=PEANUT_HOME, persons=1)
    for path in (
        f"kits/{kit.id}/label?sheet=a4-1",
        f"kits/labels?kit={kit.id}&sheet=letter-4&first_position=4",
        f"kits/labels?place={CELLAR}",
    ):
        answer = api.ask("GET", path, role=Role.VOLUNTEER)
        assert answer.status_code == 200, answer.text
        assert answer.headers["content-type"] == "application/pdf"
        (page,) = texts(answer.content)
        assert "Fish for two" in page
        assert PEANUT_HOME not in page


@pytest.mark.parametrize(
    ("path", "status"),
    [
        ("kits/labels", 422),
        (f"kits/labels?place={CELLAR}&kit=K", 422),
        ("kits/labels?place=attic", 404),
        (f"kits/labels?place={SHELF}", 422),
        ("kits/labels?kit=none", 404),
        ("kits/none/label", 404),
        ("kits/none/label?sheet=papyrus", 422),
        ("kits/none", 404),
    ],
)
def test_labels_that_cannot_be_printed_are_refused_in_words(
    api: Api, path: str, status: int
) -> None:
    problem(api.ask("GET", path), status)


def test_a_position_that_a_sheet_has_not_and_a_kit_that_has_ended_get_no_label(api: Api) -> None:
    kit = salmon_kit(api)
    problem(api.ask("GET", f"kits/{kit.id}/label?sheet=letter-4&first_position=5"), 422)
    (undated,) = put_up(api.engine, box(2, label_kind=LabelKind.UNLABELLED, printed=None))
    (other,) = pack(api.engine, to_pack((undated, 1)))
    refused = problem(api.ask("GET", f"kits/{other.id}/label"), 409)
    assert "has no date" in str(refused["detail"])
    told(api.ask("POST", f"kits/{kit.id}/eat", body={}), 201)
    problem(api.ask("GET", f"kits/{kit.id}/label"), 409)


def test_a_kit_is_held_to_the_figures_that_its_store_has_set(api: Api) -> None:
    def bag() -> Json:
        rules = objects(told(api.ask("POST", "kits/check", body=whole), 200), "rules")
        return next(one["status"] for one in rules if one["rule"] == "bag")

    whole = {**CHECKED, "wares": {"bag": 1}}
    assert bag() == "passed"
    store = api.ask("GET", api.store)
    kept = told(store, 200)
    settings = kept["settings"]
    assert isinstance(settings, dict)
    rules = settings["meal_rules"]
    assert isinstance(rules, dict)
    for bag_l, status in ((0, 422), (0.1, 200)):
        changed = {**settings, "meal_rules": {**rules, "bag_l": bag_l}}
        body = {"name": kept["name"], "settings": changed}
        tag = {"If-Match": store.headers["etag"]}
        assert api.ask("PUT", api.store, body=body, headers=tag).status_code == status
    assert bag() == "failed"
