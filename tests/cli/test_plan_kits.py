"""A snapshot file is asked which patterns there are, and which kits its stock makes by them."""

import json
from functools import cache

import pytest

from tests.cli.kit_files import file_with_kits
from tests.cli.process import done, refused

PLAN = ("plan", "kits", "-")
RAVIOLI = "std-ravioli-peas-nuts"
CREAM = "std-beans-rice-soured-cream"
KITS = ("--kit", f"{RAVIOLI}=3", "--kit", f"{CREAM}=1@H11")


@cache
def planned(*options: str) -> dict[str, object]:
    answer: dict[str, object] = json.loads(done(*PLAN, *options, "--json", given=file_with_kits()))
    return answer


def kinds(answer: dict[str, object]) -> list[dict[str, object]]:
    found = answer["kinds"]
    assert isinstance(found, list)
    return found


def test_patterns_are_listed_with_what_fills_them_and_a_files_own_last() -> None:
    text = done("plan", "patterns")
    assert max(len(line) for line in text.splitlines()) <= 80
    assert text.startswith("14 patterns for kits")
    assert "std-chicken-crackers-peaches" in text
    own = done("plan", "patterns", "-", given=file_with_kits())
    assert own.startswith("15 patterns for kits: meals that need no heat and no water, 1 of them")
    assert "fish-and-crackers\n  Fish and crackers: for 2 people" in own
    assert "because It is a snack." in " ".join(own.split())
    assert "any fish" in own
    assert "read every label every time" in own


def test_patterns_as_json_are_what_the_service_writes() -> None:
    listed = json.loads(done("plan", "patterns", "-", "--json", given=file_with_kits()))
    assert [one["is_built_in"] for one in listed] == [True] * 14 + [False]
    assert listed[-1]["slots"][0]["choices"] == [
        [{"food": None, "group": "fish", "words": "any fish"}]
    ]


def test_a_plan_says_what_is_made_and_why_no_more_and_what_to_pick_up_where() -> None:
    text = done(*PLAN, *KITS, given=file_with_kits())
    assert max(len(line) for line in text.splitlines()) <= 80
    assert "3 of the 4 kits wanted can be put up" in text
    assert "why no more: " in text
    order = [text.index(words) for words in ("why no more", "The kits", "Picking list", "Cautions")]
    assert order == sorted(order)
    for place in planned(*KITS)["picking"]:  # type: ignore[attr-defined]
        assert f"\n  {place['place_name']}\n" in text
        for line in place["lines"]:
            assert f"{line['units']:,} x {line['name'][:30]}" in text


def test_json_tells_the_plan_with_the_gap_of_each_aim() -> None:
    answer = planned(*KITS)
    assert answer["question"] == "kit_plan"
    assert (answer["plan"], answer["packed_at"]) == (None, None)
    assert [one["made"] for one in kinds(answer)] == [3, 0]
    assert kinds(answer)[1]["parcel_number"] == 11
    stages = answer["stages"]
    assert isinstance(stages, list)
    assert all({"words", "value", "bound", "gap"} <= set(one) for one in stages)


def test_persons_are_for_kits_of_no_household_and_a_place_is_where_they_stand() -> None:
    answer = planned(*KITS, "--persons", "4", "--place", "basement")
    assert [one["persons"] for one in kinds(answer)] == [4, 3]
    assert answer["place"] == "basement"
    assert planned(*KITS)["place"] == "hall"


def test_a_files_own_pattern_makes_kits() -> None:
    answer = planned("--kit", "fish-and-crackers=2")
    assert [one["made"] for one in kinds(answer)] == [2]
    text = done(*PLAN, "--kit", "fish-and-crackers=2", given=file_with_kits())
    assert "because It is a snack." in " ".join(text.split())


def test_a_pattern_of_which_no_kit_can_be_made_says_which_part_is_short_and_why() -> None:
    text = done(*PLAN, "--kit", f"{CREAM}=1@H11", given=file_with_kits())
    said = " ".join(text.split())
    assert "No kit can be put up." in said
    assert "why no more: nothing is left for its extra (Evaporated milk, tinned)" in said
    assert "Picking list" not in text
    assert [one["made"] for one in kinds(planned("--kit", f"{CREAM}=1@H11"))] == [0]


def test_the_same_file_gives_the_same_bytes() -> None:
    once = done(*PLAN, *KITS, given=file_with_kits())
    assert done(*PLAN, *KITS, given=file_with_kits(), hash_seed="99") == once


@pytest.mark.parametrize(
    ("options", "words"),
    [
        (("--kit", "nothing=2"), "there is no pattern 'nothing': `daysworth plan patterns` lists"),
        (("--kit", f"{RAVIOLI}=2@H99"), "no household 'H99'"),
        (("--kit", f"{RAVIOLI}=501"), "1 to 500"),
        (("--kit", f"{RAVIOLI}=2", "--place", "moon"), "there is no place 'moon'"),
        (("--kit", f"{RAVIOLI}=1") * 13, "1 to 12"),
    ],
)
def test_a_plan_that_cannot_be_is_refused_in_words(options: tuple[str, ...], words: str) -> None:
    assert words in " ".join(refused(*PLAN, *options, given=file_with_kits()).split())


@pytest.mark.parametrize(
    ("options", "words"),
    [
        ((), "--kit"),
        (("--kit", RAVIOLI), "is not a pattern and how many kits"),
        (("--kit", f"{RAVIOLI}=0"), "is not a pattern and how many kits"),
        (("--kit", f"{RAVIOLI}=-1"), "is not a pattern and how many kits"),
        (("--kit", f"{RAVIOLI}=2@"), "is not a pattern and how many kits"),
        (("--kit", f"{RAVIOLI}=2", "--persons", "0"), "--persons"),
        (("--kit", f"{RAVIOLI}=2", "--persons", "25"), "--persons"),
    ],
)
def test_a_plan_that_is_asked_for_wrongly_says_how_to_ask(
    options: tuple[str, ...], words: str
) -> None:
    said = refused(*PLAN, *options, given=file_with_kits(), code=2)
    assert words in " ".join(said.split())


def test_a_file_that_is_no_snapshot_is_refused_in_words() -> None:
    assert "nothing was changed" in refused(*PLAN, *KITS, given=b"{}")
    assert "nothing was changed" in refused("plan", "patterns", "-", given=b"{}")
