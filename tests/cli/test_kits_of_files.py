"""A snapshot file is asked whether items make a kit, and which kits to take along."""

import json

import pytest

from tests.cli.kit_files import file_with_kits
from tests.cli.process import done, refused

CHECK = ("plan", "check-kit", "-")
STEW = ("--item", "L016=4", "--item", "L122=2", "--served", "L016=bowl", "--served", "L122=bowl")
WARES = ("--ware", "bowl=4", "--ware", "spoon=4", "--ware", "napkin=4", "--ware", "bag=1")
TAKE = ("plan", "take-along", "-")


def checked(*options: str) -> dict[str, object]:
    answer: dict[str, object] = json.loads(done(*CHECK, *options, "--json", given=file_with_kits()))
    return answer


def statuses(answer: dict[str, object]) -> dict[str, str]:
    rules = answer["rules"]
    assert isinstance(rules, list)
    return {one["rule"]: one["status"] for one in rules}


def test_the_text_of_a_check_fits_80_columns_and_ends_with_the_cautions() -> None:
    text = done(*CHECK, *STEW, "--persons", "4", *WARES, given=file_with_kits())
    assert max(len(line) for line in text.splitlines()) <= 80
    assert text.index("Rule by rule") < text.index("What is in it") < text.index("Cautions")


def test_wares_and_waivers_change_what_fails() -> None:
    bare = statuses(checked(*STEW, "--persons", "4"))
    assert [bare[rule] for rule in ("plates", "utensils", "opener")] == ["failed"] * 3
    full = statuses(checked(*STEW, "--persons", "4", *WARES, "--ware", "opener=1"))
    assert [full[rule] for rule in ("plates", "utensils", "opener")] == ["passed"] * 3
    waived = checked(*STEW, "--persons", "4", "--waive", "opener:There is one in every kitchen")
    assert statuses(waived)["opener"] == "waived"
    rules = waived["rules"]
    assert isinstance(rules, list)
    assert "There is one in every kitchen" in {one["why_waived"] for one in rules}


def test_a_food_that_is_not_stock_is_named_with_its_date() -> None:
    dated = checked("--item", "rolled_oats=1@2028-01-31", "--persons", "2")
    assert dated["pull_by_day"] == "2028-01-31"
    undated = checked("--item", "rolled_oats=1", "--persons", "2")
    assert undated["pull_by_day"] is None
    assert undated["contents"][0]["trouble"] == "it has no date"  # type: ignore[index]


def test_a_household_is_told_what_does_not_suit_it() -> None:
    answer = checked(*STEW, "--household", "H05")
    assert (answer["persons"], answer["parcel_number"]) == (5, 5)
    warnings = answer["warnings"]
    assert isinstance(warnings, list)
    assert {one["verdict"] for one in warnings} <= {"unsuitable", "unknown"}
    assert warnings != []


@pytest.mark.parametrize(
    ("options", "words"),
    [
        (("--item", "L016"), "is not a lot or a food and its packs"),
        (("--item", "L016=0"), "is not a lot or a food and its packs"),
        (("--item", "L016=1001"), "is not a lot or a food and its packs"),
        (
            (
                "--item",
                "oats=1@soon",
            ),
            "is not a lot or a food",
        ),
        (
            (
                "--item",
                "oats=1@2027-02-30",
            ),
            "is not a date",
        ),
        (("--item", "L016=1", "--ware", "knife=2"), "is not a ware and how many"),
        (("--item", "L016=1", "--waive", "keeps"), "say why keeps is waived"),
        (("--item", "L016=1", "--waive", "keeps: "), "say why keeps is waived"),
        (("--item", "L016=1", "--waive", "taste:no"), "is not a rule: there are complete"),
        (("--item", "L016=1", "--served", "L016=hand"), "from what it is eaten"),
        (("--item", "L016=1", "--persons", "0"), "--persons"),
        (("--item", "L016=1", "--persons", "25"), "--persons"),
        (("--item", "L016=1", "--household", "H05"), "one of them"),
        ((), "--item"),
    ],
)
def test_a_check_that_is_asked_for_wrongly_says_how_to_ask(
    options: tuple[str, ...], words: str
) -> None:
    whom = () if "--persons" in options else ("--persons", "2")
    said = refused(*CHECK, *options, *whom, given=file_with_kits(), code=2)
    assert words in " ".join(said.split())


@pytest.mark.parametrize(
    ("options", "words"),
    [
        (("--item", "ambrosia=1", "--persons", "2"), "there is no food 'ambrosia' in this store"),
        (("--item", "L016=999", "--persons", "2"), "of the lot 'L016', and not 999"),
        (("--item", "L016=1@2027-05-01", "--persons", "2"), "the lot 'L016' has its own date"),
        (("--item", "L016=1", "--item", "L016=2", "--persons", "2"), "stands 2 times"),
        (("--item", "L016=1", "--served", "L1=bowl", "--persons", "2"), "which is no --item"),
        (("--item", "L016=1", "--household", "H99"), "no household 'H99'"),
    ],
)
def test_a_check_of_what_is_not_there_is_refused_in_words(
    options: tuple[str, ...], words: str
) -> None:
    assert words in " ".join(refused(*CHECK, *options, given=file_with_kits()).split())


def test_kits_to_take_are_told_in_order_and_within_what_can_be_carried() -> None:
    text = done(*TAKE, given=file_with_kits())
    assert max(len(line) for line in text.splitlines()) <= 80
    everything = json.loads(done(*TAKE, "--json", given=file_with_kits()))
    assert everything["kits"][0]["kit"] == "K-JERKY"
    light = json.loads(done(*TAKE, "--most-kg", "1.5", "--json", given=file_with_kits()))
    assert light["mass_g"] <= 1_500 < everything["mass_g"]
    assert {one["why"] for one in light["left"]} == {"too_heavy"}


def test_a_household_takes_what_suits_it() -> None:
    answer = json.loads(done(*TAKE, "--household", "H05", "--json", given=file_with_kits()))
    assert [one["kit"] for one in answer["kits"]] == ["K-SALMON", "K-PEAS"]


@pytest.mark.parametrize("most", ["0", "-1", "nan", "inf", "1001", "much"])
def test_a_limit_that_is_none_is_refused_in_words(most: str) -> None:
    assert "--most-kg" in refused(*TAKE, "--most-kg", most, given=file_with_kits(), code=2)


def test_a_household_that_is_not_there_takes_nothing() -> None:
    said = refused(*TAKE, "--household", "H99", given=file_with_kits())
    assert "no household 'H99'" in said


@pytest.mark.parametrize("asked", [CHECK, TAKE])
def test_the_same_file_gives_the_same_bytes(asked: tuple[str, ...]) -> None:
    options = (*STEW, "--household", "H05") if asked == CHECK else ()
    once = done(*asked, *options, given=file_with_kits())
    assert done(*asked, *options, given=file_with_kits(), hash_seed="99") == once
