"""Warnings on the command line: of a snapshot file, of the demo, of a store that is served."""

import json
from collections.abc import Iterator

import pytest

from daysworth_client.warnings import household_warnings
from tests.cli.documents import changed, good, good_text, written
from tests.cli.process import done, refused
from tests.clients.kept_postings import TOKEN, UNDER, Heard, Said
from tests.clients.web_servers import answering
from tests.clients.written_answers import a_finding, a_warning, warnings_of

ON = ("--as-of", "2026-11-25")


def test_the_demo_shows_what_two_of_its_homes_must_not_have() -> None:
    text = done("demo", "--warnings", *ON)
    answers = json.loads(done("demo", "--warnings", *ON, "--json"))
    assert [one["needs"] for one in answers] == [["peanut allergy"], ["gluten-free"]]
    assert text == "\n\n".join(household_warnings(one).rstrip("\n") for one in answers) + "\n"
    for answer in answers:
        assert {one["verdict"] for one in answer["warnings"]} >= {"unsuitable", "unknown"}
        assert any(one["instead"] is not None for one in answer["warnings"])
        assert answer["suitable"] != []


def test_its_bytes_are_the_same_whatever_the_hash_seed() -> None:
    again = done("demo", "--warnings", *ON, "--json", hash_seed="4711")
    assert again == done("demo", "--warnings", *ON, "--json")


@pytest.mark.parametrize("day", ["2020-01-01", "2024-02-29", "2043-12-31", "2060-12-31"])
def test_the_demo_warns_on_any_day(day: str) -> None:
    answers = json.loads(done("demo", "--warnings", "--as-of", day, "--json"))
    assert [one["as_of"] for one in answers] == [day, day]


def test_a_snapshots_homes_that_must_avoid_something_are_warned_one_after_another() -> None:
    answers = json.loads(done("plan", "warnings", "-", "--json", given=good_text()))
    assert len(answers) > 1
    homes = [one["household"] for one in answers]
    assert homes == sorted(homes)
    text = done("plan", "warnings", "-", given=good_text())
    assert [text.count(f": household {home}\n") for home in homes] == [1] * len(homes)


def test_homes_may_be_named_and_one_that_is_not_there_is_refused() -> None:
    answers = json.loads(done("plan", "warnings", "-", "--json", given=good_text()))
    last = answers[-1]["household"]
    named = done("plan", "warnings", "-", "--json", "--household", last, given=good_text())
    assert json.loads(named) == answers[-1:]
    said = refused("plan", "warnings", "-", "--household", "nobody", given=good_text())
    assert said == "Refused: there is no household 'nobody' in this store.\n"


def test_a_store_in_which_nobody_avoids_anything_says_so() -> None:
    grown = [{"id": "h", "members": [{"id": "m", "age_band": {"from_years": 30, "to_years": 40}}]}]
    document = changed(changed(good(), ("lots",), []), ("households",), grown)  # type: ignore[arg-type]
    said = done("plan", "warnings", "-", given=written(document))
    assert said == "No household of this store must avoid anything.\n"
    assert json.loads(done("plan", "warnings", "-", "--json", given=written(document))) == []


def test_a_file_that_is_no_snapshot_is_refused_in_words() -> None:
    assert "nothing was changed" in refused("plan", "warnings", "-", given=b"{}")


@pytest.fixture
def heard(monkeypatch: pytest.MonkeyPatch) -> Iterator[list[Heard]]:
    """Serve one household's warnings on this machine."""
    asked: list[Heard] = []

    def answer(one: Heard) -> Said:
        asked.append(one)
        if not one.path.endswith("/households/H1/warnings"):
            return Said(404, b"")
        body = warnings_of(a_warning("Bars", a_finding("contains peanut")))
        return Said(200, dict(body))

    with answering(answer) as address:
        monkeypatch.setenv("DAYSWORTH_ADDRESS", address + UNDER)
        monkeypatch.setenv("DAYSWORTH_TOKEN", TOKEN)
        yield asked


def test_a_store_that_is_served_is_asked_for_a_households_warnings(heard: list[Heard]) -> None:
    answer = warnings_of(a_warning("Bars", a_finding("contains peanut")))
    assert done("warnings", "H1") == household_warnings(answer)
    assert json.loads(done("warnings", "H1", "--json")) == answer
    assert [one.headers["authorization"] for one in heard] == [f"Bearer {TOKEN}"] * 2


def test_what_a_store_refuses_is_said_and_makes_the_exit_code(heard: list[Heard]) -> None:
    assert "No answer" in refused("warnings", "H2")
    assert refused("warnings", code=2) != ""
    assert len(heard) == 1
