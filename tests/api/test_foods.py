"""Claims about foods: how they are found, what a label's figures become, what a barcode tells."""

from urllib.parse import quote

import pytest

from daysworth.domain.catalogue import generic_foods
from daysworth.domain.entries import Role
from tests.api.clients import Api, Json, problem, told
from tests.grounds import SALMON, version_of

TWELVE = "012345678905"
THIRTEEN = f"0{TWELVE}"
FOURTEEN = f"00{TWELVE}"
WRONG = "012345678904"
SERVING = {
    "serving_g": 25,
    "energy_kcal": 100,
    "protein_g": 2.5,
    "fat_g": 5,
    "carbohydrate_g": 11.25,
    "sodium_mg": 125,
}
BISCUITS = {
    "name": "Oat biscuits, Fernhollow kitchen",
    "group": "breads_and_crackers",
    "serving": SERVING,
    "net_mass_g": 300,
    "roles": ["starch"],
    "contains": ["wheat", "milk"],
    "may_contain": ["peanut"],
}


def serving(**changed: float | None) -> dict[str, object]:
    """Describe the biscuits with other figures on their label."""
    return {**BISCUITS, "serving": {**SERVING, **changed}}


def found(api: Api, asked: str, *, role: Role = Role.VOLUNTEER) -> list[Json]:
    """Give the ids that a search finds, in its order; it must fit on one page."""
    answer = api.get(f"foods?limit=500&{asked}", role=role)
    foods = answer["items"]
    assert isinstance(foods, list)
    assert answer["next"] is None
    return [food["id"] for food in foods if isinstance(food, dict)]


def test_words_find_foods_whatever_their_case_and_order(api: Api) -> None:
    assert found(api, "words=Pink%20Salmon") == [SALMON]
    assert found(api, "words=salmon%20%20PINK%20tin") == [SALMON]


def test_every_word_must_match(api: Api) -> None:
    assert found(api, "words=white%20beans%20dry") == ["white_beans_dry"]
    assert found(api, "words=salmon%20dry") == []


def test_without_words_all_foods_are_listed_by_id(api: Api) -> None:
    assert found(api, "words=") == sorted(generic_foods())


def test_foods_are_found_a_page_at_a_time(api: Api) -> None:
    wanted = found(api, "words=beans")
    pages = [api.get("foods?words=beans&limit=5")]
    while pages[-1]["next"] is not None:
        pages.append(api.get(str(pages[-1]["next"])))
    ids = [[one["id"] for one in page["items"]] for page in pages]  # type: ignore[union-attr, call-overload, index]
    assert [len(page) for page in ids[:-1]] == [5] * (len(ids) - 1)
    assert [one for page in ids for one in page] == wanted


def test_a_labels_figures_are_converted_to_100_g(api: Api) -> None:
    answer = api.ask("POST", "foods", role=Role.VOLUNTEER, body={**BISCUITS, "gtin": TWELVE})
    made = told(answer, 201)
    assert made == {
        "id": made["id"],
        "name": BISCUITS["name"],
        "is_own": True,
        "group": "breads_and_crackers",
        "gtin": FOURTEEN,
        "energy_kcal_100g": 400.0,
        "protein_g_100g": 10.0,
        "fat_g_100g": 20.0,
        "carbohydrate_g_100g": 45.0,
        "sodium_mg_100g": 500.0,
        "label": SERVING,
        "net_mass_g": 300.0,
        "roles": ["starch"],
        "is_extra": False,
        "figures_for": "net",
        "drained_fraction": None,
        "heating": "no",
        "added_water": "no",
        "added_water_ml_100g": 0.0,
        "needs_opener": False,
        "shelf_life_months": None,
        "keeps_opened_days": None,
        "keeps_repacked_days": None,
        "texture": None,
        "made_of": "mixed",
        "contains": ["milk", "wheat"],
        "may_contain": ["peanut"],
        "regime": None,
        "formula": None,
        "is_choking_hazard": False,
        "flags": [],
    }
    assert answer.headers["ETag"] == '"r1"'
    assert answer.headers["Location"] == f"{api.store}/foods/{made['id']}"
    assert api.get(answer.headers["Location"]) == made


def test_what_a_label_lacks_stays_unknown(api: Api) -> None:
    made = api.post("foods", serving(fat_g=None, carbohydrate_g=None, sodium_mg=None))
    assert (made["fat_g_100g"], made["carbohydrate_g_100g"]) == (None, None)
    assert (made["sodium_mg_100g"], made["flags"]) == (None, [])


def test_energy_far_from_atwaters_is_flagged_and_no_figure_changed(api: Api) -> None:
    made = api.post("foods", serving(energy_kcal=126))
    flags = made["flags"]
    assert isinstance(flags, list)
    assert len(flags) == 1
    assert "read the label again (nothing was changed)" in str(flags[0])
    assert (made["energy_kcal_100g"], made["protein_g_100g"]) == (504.0, 10.0)
    assert (made["fat_g_100g"], made["carbohydrate_g_100g"]) == (20.0, 45.0)
    assert api.get(f"foods/{made['id']}") == made


def test_energy_a_fifth_from_atwaters_is_not_flagged(api: Api) -> None:
    assert api.post("foods", serving(energy_kcal=125))["flags"] == []


def test_a_flag_quotes_the_label_as_it_was_given(api: Api) -> None:
    made = api.post("foods", serving(energy_kcal=200))
    assert "the label says 200 kcal" in str(made["flags"])


def test_a_serving_whose_figures_are_mostly_rounding_is_not_flagged(api: Api) -> None:
    small = {"serving_g": 2, "energy_kcal": 5, "protein_g": 0.5, "fat_g": 0, "carbohydrate_g": 0.1}
    assert api.post("foods", serving(**small))["flags"] == []


@pytest.mark.parametrize(
    ("figures", "what"),
    [
        ({"protein_g": 26.0}, "more than 100 g, or 902 kcal, in 100 g: read the serving again"),
        ({"energy_kcal": 226.0}, "more than 100 g, or 902 kcal, in 100 g: read the serving again"),
        ({"sodium_mg": 12_501.0}, "more sodium than salt has: read the label again"),
    ],
)
def test_more_in_100_g_than_fits_is_refused(api: Api, figures: dict[str, float], what: str) -> None:
    before = version_of(api.engine)
    refused = problem(api.ask("POST", "foods", body=serving(**figures)), 422)
    assert refused["faults"] == [{"where": "", "what": what}]
    assert version_of(api.engine) == before


def test_a_trade_number_with_a_wrong_check_digit_is_refused(api: Api) -> None:
    words = f"the last digit of {WRONG} does not fit the others: read the number again"
    added = problem(api.ask("POST", "foods", body={**BISCUITS, "gtin": WRONG}), 422)
    assert added["faults"] == [{"where": "", "what": words}]
    asked = problem(api.ask("GET", f"foods?gtin={WRONG}"), 422)
    assert asked["detail"] == f"T{words[1:]}."
    assert found(api, "words=biscuits%20fernhollow") == []


@pytest.mark.parametrize("given", [TWELVE, THIRTEEN, FOURTEEN])
def test_a_food_is_found_by_its_number_however_many_digits_are_written(
    api: Api, given: str
) -> None:
    made = api.post("foods", {**BISCUITS, "gtin": given})
    assert made["gtin"] == FOURTEEN
    for asked in (TWELVE, THIRTEEN, FOURTEEN):
        assert found(api, f"gtin={asked}") == [made["id"]]
    assert found(api, "gtin=9521234543213") == []


def test_an_own_food_is_changed_at_the_revision_that_was_seen(api: Api) -> None:
    made = api.post("foods", {**BISCUITS, "gtin": TWELVE})
    path = f"foods/{made['id']}"
    new = {**BISCUITS, "name": "Rye biscuits", "net_mass_g": 250}
    changed = api.ask("PUT", path, body=new, headers={"If-Match": '"r1"'})
    assert told(changed, 200) == {
        **made,
        "name": "Rye biscuits",
        "net_mass_g": 250.0,
        "gtin": None,
    }
    assert changed.headers["ETag"] == '"r2"'
    assert found(api, f"gtin={TWELVE}") == []
    problem(api.ask("PUT", path, body=BISCUITS, headers={"If-Match": '"r1"'}), 412)
    problem(api.ask("PUT", path, body=BISCUITS), 428)
    assert api.get(path)["name"] == "Rye biscuits"
    assert api.ask("GET", path, headers={"If-None-Match": '"r2"'}).status_code == 304
    assert api.ask("GET", path, headers={"If-None-Match": '"r1"'}).status_code == 200


@pytest.mark.parametrize("role", [Role.VOLUNTEER, Role.HOUSEHOLD, Role.SCRIPT])
def test_only_a_coordinator_changes_a_food(api: Api, role: Role) -> None:
    made = api.post("foods", BISCUITS)
    path = f"foods/{made['id']}"
    new = {**BISCUITS, "name": "Rye biscuits"}
    problem(api.ask("PUT", path, role=role, body=new, headers={"If-Match": '"r1"'}), 403)
    assert api.get(path) == made


@pytest.mark.parametrize("role", [Role.HOUSEHOLD, Role.SCRIPT])
def test_households_and_scripts_add_no_food(api: Api, role: Role) -> None:
    problem(api.ask("POST", "foods", role=role, body=BISCUITS), 403)
    assert found(api, "words=biscuits%20fernhollow", role=role) == []


def test_a_generic_food_cannot_be_changed(api: Api) -> None:
    before = api.get(f"foods/{SALMON}")
    asked = api.ask("PUT", f"foods/{SALMON}", body=BISCUITS, headers={"If-Match": '"r0"'})
    words = "A generic food comes with the release: add one of your own instead."
    assert problem(asked, 403)["detail"] == words
    assert api.get(f"foods/{SALMON}") == before
    assert (before["is_own"], before["energy_kcal_100g"], before["flags"]) == (False, 138.0, [])


def test_a_food_that_is_not_there_is_not_found(api: Api) -> None:
    problem(api.ask("GET", "foods/nothing"), 404)
    problem(api.ask("PUT", "foods/nothing", body=BISCUITS, headers={"If-Match": '"r1"'}), 404)


@pytest.mark.parametrize(
    "scanned",
    [
        "(01)09521234543213(15)261231(10)ABC123",
        "01095212345432131526123110ABC123",
        "\x1d010952123454321310ABC123\x1d15261231",
        "]d2010952123454321310ABC123\x1d15261200",
    ],
)
def test_a_barcode_tells_its_number_date_and_code(api: Api, scanned: str) -> None:
    made = api.post("foods", {**BISCUITS, "gtin": "9521234543213"})
    assert api.get(f"barcodes?scanned={quote(scanned)}", role=Role.VOLUNTEER) == {
        "gtin": "09521234543213",
        "label_kind": "best_by",
        "printed": "2026-12-31",
        "pack_code": "ABC123",
        "foods": [made],
    }


def test_a_plain_number_is_a_trade_number_and_no_more(api: Api) -> None:
    assert api.get(f"barcodes?scanned={TWELVE}", role=Role.HOUSEHOLD) == {
        "gtin": FOURTEEN,
        "label_kind": None,
        "printed": None,
        "pack_code": None,
        "foods": [],
    }


@pytest.mark.parametrize(
    "scanned",
    [WRONG, "(01)09521234543214(15)261231", "(15)261231", "(01)09521234543213(15)261399", "salmon"],
)
def test_what_is_no_barcode_is_refused(api: Api, scanned: str) -> None:
    refused = problem(api.ask("GET", f"barcodes?scanned={quote(scanned)}"), 422)
    assert refused["type"] == "/v1/problems/cannot-be-used"


def test_a_script_reads_no_barcode(api: Api) -> None:
    problem(api.ask("GET", f"barcodes?scanned={TWELVE}", role=Role.SCRIPT), 403)
