"""A snapshot file is asked what should be brought, with every option of a wish."""

import json
from functools import cache

import pytest

from tests.cli.process import daysworth, done, refused

SIZE = ("--households", "6", "--lots", "40", "--seed", "3")
ASKED = ("plan", "wish-list", "-")
TAP = ("--running-water",)


@pytest.fixture(scope="module")
def snapshot() -> bytes:
    return daysworth("snapshot", "generate", *SIZE).stdout


@cache
def asked(snapshot: bytes, *options: str) -> dict[str, object]:
    answer: dict[str, object] = json.loads(done(*ASKED, "--json", *options, given=snapshot))
    return answer


def test_the_text_says_what_to_bring_in_80_columns_with_the_cautions(snapshot: bytes) -> None:
    text = done(*ASKED, "--target", "40", given=snapshot)
    assert max(len(line) for line in text.splitlines()) <= 80
    assert "what should be brought?" in text
    assert "No home-canned food" in text


@pytest.mark.parametrize(
    ("options", "name", "value"),
    [
        (["--target", "30.5"], "target_days", 30.5),
        (["--least", "units"], "least", "units"),
        (["--food", "pasta_dry", "--food", "couscous_dry"], "foods", ["couscous_dry", "pasta_dry"]),
        (["--usual"], "is_usual_only", True),
        (["--keeps-past-target"], "keeps_past_target", True),
        (["--household", "H0001"], "household", "H0001"),
        (
            ["--least", "cost", "--price", "pasta_dry:1.20", "--price", "honey:4"],
            "prices",
            {"honey": 4.0, "pasta_dry": 1.2},
        ),
    ],
)
def test_each_option_is_asked_as_it_was_said(
    snapshot: bytes, options: list[str], name: str, value: object
) -> None:
    wish = asked(snapshot, *TAP, *options)["wish"]
    assert isinstance(wish, dict)
    assert wish[name] == value


def test_the_same_file_gives_the_same_bytes(snapshot: bytes) -> None:
    once = done(*ASKED, *TAP, "--target", "40", given=snapshot)
    assert done(*ASKED, *TAP, "--target", "40", given=snapshot, hash_seed="99") == once


@pytest.mark.parametrize(
    ("options", "words"),
    [
        (["--target", "0"], "more than 0"),
        (["--target", "200"], "past the horizon of 180 days"),
        (["--food", "ambrosia"], "no food 'ambrosia'"),
        (["--least", "cost"], "what foods cost"),
        (["--household", "H9999"], "no household 'H9999'"),
    ],
)
def test_what_cannot_be_wished_is_refused_in_words(
    snapshot: bytes, options: list[str], words: str
) -> None:
    said = refused(*ASKED, *options, given=snapshot)
    assert words.casefold() in " ".join(said.split()).casefold()


@pytest.mark.parametrize("price", ["honey", "honey:", ":3", "honey:0", "honey:nan", "honey:-1"])
def test_a_price_that_is_none_is_refused_in_words(snapshot: bytes, price: str) -> None:
    said = refused(*ASKED, "--price", price, given=snapshot, code=2)
    assert "is not a food and its price" in " ".join(said.split())
