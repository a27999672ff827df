"""A snapshot file is asked what can be spared, and a store for its partners and its promises."""

import json
from collections.abc import Iterator, Sequence
from functools import cache

import pytest

from daysworth.answers.snapshot_file import write_snapshot
from daysworth.demo.neighbourhood import neighbourhood, with_shop_lots
from daysworth_client.partners_list import partners_text
from daysworth_client.promises_list import promises_text
from tests.cli.kit_files import AS_OF
from tests.cli.process import done, refused
from tests.clients.kept_postings import TOKEN, UNDER, Heard, Said
from tests.clients.web_servers import answering
from tests.clients.written_partners import a_partner, a_promise

ASKED = ("plan", "surplus", "-", "--until", "2026-12-30")


@cache
def given() -> bytes:
    """Give the invented neighbourhood, with what a shop gave, as a snapshot file."""
    return write_snapshot(with_shop_lots(neighbourhood(AS_OF)))


def test_what_goes_where_is_told_visit_by_visit_in_80_columns() -> None:
    text = done(*ASKED, given=given())
    assert max(len(line) for line in text.splitlines()) <= 80
    order = ["Quillmere Soup Kitchen", "What stays, and why", "How good this plan is", "Cautions"]
    assert [text.index(words) for words in order] == sorted(text.index(words) for words in order)
    assert "24 x Oat granola" in " ".join(text.split())
    assert "best by 2026-12-06   S005" in text
    assert "Tuesday 1 December 2026, 09:00 to 11:00" in text
    assert "Tansy Lane Shared Shelf takes no baby food" in " ".join(text.split())


def test_json_tells_the_same_and_nothing_else() -> None:
    answer = json.loads(done(*ASKED, "--json", given=given()))
    assert (answer["question"], answer["floor_days"], answer["is_own_floor"]) == (
        "surplus",
        14,
        True,
    )
    packed = [
        line for one in answer["visits"] for place in one["packing"] for line in place["lines"]
    ]
    assert sum(line["units"] for line in packed) == answer["totals"]["units"] > 100
    assert all(one["visit_on"] < "2026-12-30" for one in answer["visits"])
    assert {one["why"] for one in answer["staying"]} >= {"floor", "no_window", "refused"}


def test_a_floor_may_be_given_and_one_partner_named() -> None:
    one = json.loads(
        done(*ASKED, "--floor-days", "0", "--partner", "tansy-shelf", "--json", given=given())
    )
    assert (one["floor_days"], one["is_own_floor"]) == (0, False)
    assert {visit["partner"] for visit in one["visits"]} == {"tansy-shelf"}
    assert one["floor_words"] == "nothing is held back for everyone to stay fed"


def test_other_floors_stand_beside_the_stores_own_and_a_lower_one_never_gives_less() -> None:
    near = ("plan", "surplus", "-", "--until", "2026-12-09", "--what-if", "0")
    answer = json.loads(done(*near, "--json", given=given()))
    none, own = answer["floors"]
    assert (none["floor_days"], own["floor_days"], own["is_own_floor"]) == (0, 14, True)
    assert none["more_energy_kcal"] >= 0 == own["more_energy_kcal"]
    text = done(*near, given=given())
    assert "no floor" in text
    assert "14 days" in text
    assert "your own" in text


@pytest.mark.parametrize(
    ("options", "words"),
    [
        (("--until", "2026-11-25"), "looks a day to two years ahead"),
        (("--partner", "nobody"), "there is no partner 'nobody' in this store"),
    ],
)
def test_what_cannot_be_is_refused_in_words(options: tuple[str, ...], words: str) -> None:
    assert words in refused("plan", "surplus", "-", *options, given=given())


@pytest.mark.parametrize(
    ("options", "words"),
    [
        (("--floor-days", "-1"), "--floor-days"),
        (("--floor-days", "731"), "--floor-days"),
        (("--until", "soon"), "YYYY-MM-DD"),
        (("--floor-days", "7", "--what-if", "8"), "one of them"),
        (
            tuple(word for days in range(7) for word in ("--what-if", str(days))),
            "tries 6 floors at most",
        ),
    ],
)
def test_wrong_usage_is_told_before_anything_is_planned(
    options: tuple[str, ...], words: str
) -> None:
    said = " ".join(refused("plan", "surplus", "-", *options, given=given(), code=2).split())
    assert words in said


PARTNERS = [a_partner("P-1", "Millrace Kitchen"), a_partner("P-2", "Dovecot Bank")]
PROMISES = [a_promise("R-1"), a_promise("R-2", state="kept_in_part", went=4)]


@pytest.fixture
def heard(monkeypatch: pytest.MonkeyPatch) -> Iterator[list[Heard]]:
    """Serve the partners and promises of a store on this machine, one of them a page."""
    asked: list[Heard] = []

    def answer(one: Heard) -> Said:
        asked.append(one)
        name = one.path.removeprefix(f"{UNDER}/")
        items: Sequence[object] = PARTNERS if name == "partners" else PROMISES
        if "cursor=TDE" in one.query:
            return Said(200, {"items": items[1:], "next": None})
        return Said(200, {"items": items[:1], "next": f"{UNDER}/{name}?limit=1&cursor=TDE"})

    with answering(answer) as address:
        monkeypatch.setenv("DAYSWORTH_ADDRESS", address + UNDER)
        monkeypatch.setenv("DAYSWORTH_TOKEN", TOKEN)
        yield asked


def test_a_store_that_is_served_tells_of_all_its_partners(heard: list[Heard]) -> None:
    assert done("partners") == partners_text(PARTNERS)
    assert json.loads(done("partners", "--json")) == PARTNERS
    assert [one.query for one in heard] == ["", "cursor=TDE"] * 2


def test_a_store_that_is_served_tells_of_its_promises_of_one_state_or_all(
    heard: list[Heard],
) -> None:
    assert done("promises", "--state", "open") == promises_text(PROMISES)
    assert json.loads(done("promises", "--json")) == PROMISES
    assert [one.query for one in heard][:2] == ["state=open", "state=open&cursor=TDE"]
    assert [one.query for one in heard][2:] == ["", "cursor=TDE"]


def test_who_is_asked_without_an_address_says_so() -> None:
    assert "DAYSWORTH_ADDRESS" in refused("partners", code=2)
    assert "DAYSWORTH_ADDRESS" in refused("promises", code=2)
    assert "--state" in refused("promises", "--state", "gone", code=2)
