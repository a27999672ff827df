"""A snapshot file is asked what is due at a round, and a store what became of its rounds."""

import json
from collections.abc import Iterator

import pytest

from daysworth_client.kits_list import kits_text
from daysworth_client.round_records import rounds_text
from tests.cli.kit_files import file_with_kits
from tests.cli.process import done, refused
from tests.clients.kept_postings import TOKEN, UNDER, Heard, Said
from tests.clients.web_servers import answering
from tests.clients.written_kits import a_kit, a_record, some_rounds

ASKED = ("plan", "round", "-")


def test_what_is_due_is_told_place_by_place_in_80_columns() -> None:
    text = done(*ASKED, given=file_with_kits())
    assert max(len(line) for line in text.splitlines()) <= 80
    assert "the round of 1 September 2026" in text
    assert "eat it whole as an everyday dinner" in " ".join(text.split())
    assert text.index("Meeting hall, closet") < text.index("Meeting hall, basement shelves")
    assert "No home-canned food" in text


def test_json_tells_the_same_and_nothing_else() -> None:
    answer = json.loads(done(*ASKED, "--json", given=file_with_kits()))
    assert (answer["question"], answer["round_on"]) == ("round", "2026-09-01")
    due = [one for place in answer["worklist"] for one in place["proposals"]]
    assert len(due) == answer["due"] > 20
    assert {one["kit"] for one in due} == {None, "K-STEW"}


def test_a_round_that_is_near_can_be_asked_for_and_another_day_is_refused() -> None:
    near = ("--as-of", "2027-02-10", "--round-on", "2027-03-01", "--json")
    assert json.loads(done(*ASKED, *near, given=file_with_kits()))["next_round_on"] == "2027-09-01"
    said = refused(*ASKED, "--round-on", "2027-03-01", given=file_with_kits())
    assert "lies too far ahead" in said
    other = refused(*ASKED, "--round-on", "2026-11-24", given=file_with_kits())
    assert "is no day of a round by this store's rule" in other
    assert "YYYY-MM-DD" in refused(*ASKED, "--round-on", "soon", given=file_with_kits(), code=2)


def test_the_same_file_gives_the_same_bytes() -> None:
    once = done(*ASKED, given=file_with_kits())
    assert done(*ASKED, given=file_with_kits(), hash_seed="99") == once


RECORDS = some_rounds(a_record("2026-09-01", 0.1), a_record("2026-03-01", 0.4))
SOME_KITS = [a_kit("K-1", "2027-05-01"), a_kit("K-2", None)]


@pytest.fixture
def heard(monkeypatch: pytest.MonkeyPatch) -> Iterator[list[Heard]]:
    """Serve the rounds and kits of a store on this machine, one kit a page."""
    asked: list[Heard] = []

    def answer(one: Heard) -> Said:
        asked.append(one)
        if one.path == f"{UNDER}/rounds":
            return Said(200, RECORDS)
        if "cursor=TDE" in one.query:
            return Said(200, {"items": SOME_KITS[1:], "next": None})
        return Said(200, {"items": SOME_KITS[:1], "next": f"{UNDER}/kits?limit=1&cursor=TDE"})

    with answering(answer) as address:
        monkeypatch.setenv("DAYSWORTH_ADDRESS", address + UNDER)
        monkeypatch.setenv("DAYSWORTH_TOKEN", TOKEN)
        yield asked


def test_a_store_that_is_served_tells_the_record_of_its_rounds(heard: list[Heard]) -> None:
    assert done("rounds") == rounds_text(RECORDS)
    assert json.loads(done("rounds", "--json")) == RECORDS
    assert [one.headers["authorization"] for one in heard] == [f"Bearer {TOKEN}"] * 2


def test_a_store_that_is_served_lists_all_its_kits_page_by_page(heard: list[Heard]) -> None:
    assert done("kits", "--due-before", "2027-06-01") == kits_text(SOME_KITS)
    assert [one.query for one in heard] == [
        "due_before=2027-06-01",
        "due_before=2027-06-01&cursor=TDE",
    ]
    assert json.loads(done("kits", "--json")) == SOME_KITS


def test_who_is_asked_about_kits_without_an_address_says_so() -> None:
    assert "DAYSWORTH_ADDRESS" in refused("rounds", code=2)
    assert "DAYSWORTH_ADDRESS" in refused("kits", code=2)
