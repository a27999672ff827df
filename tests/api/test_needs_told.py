"""Claims about restrictions of every kind, dislikes and foods' regimes: in, kept, and out again."""

from functools import partial

import pytest

from daysworth.db.acknowledgements import acknowledge
from daysworth.domain.entries import Role
from tests.api.clients import Api, Json, problem
from tests.api.test_bad_input import faults
from tests.grounds import OTHER_HOME, SALMON, change, version_of

Said = dict[str, Json]

PLAIN: Said = {
    **dict.fromkeys(("allergy", "diet", "words", "formula", "reach", "level")),
    **dict.fromkeys(("accepts_may_contain", "is_excluding"), False),
}
EVERY_KIND: list[Said] = [
    {"words": "red dye", "reach": "person", "accepts_may_contain": True},
    {"formula": "soy"},
    {"diet": "halal", "level": "certified", "reach": "home"},
    {"diet": "low_sodium", "is_excluding": True},
]
FORMULA: Said = {
    "name": "Infant formula, Fernhollow kitchen",
    "group": "infant_formula",
    "serving": {"serving_g": 10, "energy_kcal": 50, "protein_g": 1},
    "net_mass_g": 400,
    "regime": "eu",
    "formula": "special",
    "is_choking_hazard": True,
}


def add(api: Api, restriction: Said) -> Said:
    body = {"born_on": "1980-01-01", "restrictions": [restriction]}
    return api.post(f"households/{OTHER_HOME}/members", body)


@pytest.mark.parametrize("restriction", EVERY_KIND, ids="-".join)
def test_a_restriction_of_every_kind_comes_out_as_it_went_in(api: Api, restriction: Said) -> None:
    made = add(api, restriction)
    assert made["restrictions"] == [{**PLAIN, **restriction}]
    assert api.get(f"households/{OTHER_HOME}/members/{made['id']}") == made


def test_a_store_with_every_kind_is_exported_and_says_it_all(api: Api) -> None:
    body = {
        "born_on": "1980-01-01",
        "restrictions": EVERY_KIND,
        "dislikes": ["tinned peas", "Grünkohl"],
    }
    made = api.post(f"households/{OTHER_HOME}/members", body)
    food = api.post("foods", FORMULA)
    snapshot = api.get("snapshot")
    homes, foods = snapshot["households"], snapshot["foods"]
    assert isinstance(homes, list)
    assert isinstance(foods, list)
    (member,) = (
        one
        for home in homes
        for one in home["members"]  # type: ignore[index, call-overload, union-attr]
        if one["id"] == made["id"]  # type: ignore[index, call-overload]
    )
    assert member["restrictions"] == made["restrictions"]  # type: ignore[index, call-overload]
    assert member["dislikes"] == ["tinned peas", "Grünkohl"]  # type: ignore[index, call-overload]
    (kept,) = (one for one in foods if isinstance(one, dict) and one["id"] == food["id"])
    assert (kept["regime"], kept["formula"], kept["is_choking_hazard"]) == ("eu", "special", True)


@pytest.mark.parametrize(
    ("restriction", "words"),
    [
        ({"words": "kiwi", "allergy": "milk"}, "one of them"),
        ({"words": "k"}, "needs at least 2 character"),
        ({"words": "k" * 61}, "has room for at most 60 characters"),
        ({"words": "12"}, "say in words which ingredient it is"),
        ({"words": "red\ndye"}, "must be plain words on one line"),
        ({"formula": "goat"}, "must be "),
        ({"formula": "soy", "accepts_may_contain": True}, "only an allergy can accept"),
        ({"diet": "vegan", "level": "certified"}, "only halal and kosher are kept at a level"),
        ({"diet": "renal", "is_excluding": True}, "only low sodium can be told to exclude"),
    ],
)
def test_a_restriction_that_can_not_be_is_refused_and_not_echoed(
    api: Api, restriction: Said, words: str
) -> None:
    before = version_of(api.engine)
    body = {"born_on": "1980-01-01", "restrictions": [restriction]}
    answer = api.ask("POST", f"households/{OTHER_HOME}/members", body=body)
    assert words in faults(answer)[0][1]
    for told in ("kiwi", "kk", "goat", "vegan", "renal"):
        assert f"'{told}'" not in answer.text
    assert version_of(api.engine) == before


def test_a_households_export_tells_what_was_acknowledged_for_it(api: Api) -> None:
    note = partial(acknowledge, household=OTHER_HOME, warning="w", food=SALMON, why="asked them")
    change(api.engine, note)
    exported = api.get(f"households/{OTHER_HOME}/export")
    assert exported["acknowledgements"] == [
        {
            "warning": "w",
            "food": SALMON,
            "why": "asked them",
            "by": "a coordinator",
            "at": "2026-09-01T12:00:00.000000Z",
        }
    ]


def test_dislikes_are_few_and_plain(api: Api) -> None:
    path = f"households/{OTHER_HOME}/members"
    for dislikes in (["peas"] * 21, [""], ["p\x00"], ["p" * 121], "peas", [7]):
        body = {"born_on": "1980-01-01", "dislikes": dislikes}
        problem(api.ask("POST", path, body=body), 422)


def test_a_foods_law_and_formula_come_out_as_they_went_in(api: Api) -> None:
    made = api.post("foods", FORMULA, role=Role.VOLUNTEER)
    assert (made["regime"], made["formula"], made["is_choking_hazard"]) == ("eu", "special", True)
    assert api.get(f"foods/{made['id']}") == made
    beans = api.ask("POST", "foods", body={**FORMULA, "group": "beans_and_lentils"})
    assert faults(beans) == [("", "only infant formula is of a kind of formula")]
    unknown = api.ask("POST", "foods", body={**FORMULA, "regime": "moon"})
    assert faults(unknown)[0][0] == "regime"


def test_generic_foods_say_what_formula_is_made_of_and_what_chokes(api: Api) -> None:
    soy = api.get("foods/infant_formula_soya_powder")
    milk = api.get("foods/infant_formula_milk_ready")
    assert (soy["formula"], milk["formula"], soy["regime"]) == ("soy", "milk", None)
    for food, is_choking_hazard in (
        ("raisins", True),
        ("almonds_roasted", True),
        ("hard_sweets", True),
        ("vienna_sausages_tinned", True),
        ("peanut_butter_smooth", True),
        ("apple_puree", False),
        ("water_bottled", False),
    ):
        assert api.get(f"foods/{food}")["is_choking_hazard"] is is_choking_hazard
