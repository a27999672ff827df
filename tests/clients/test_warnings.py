"""A household's warnings as text: the worst first, the words on the label, the cautions last."""

import json
from datetime import date
from typing import Final

import httpx
import pytest

from daysworth.answers.warnings import answer_warnings, warnings_json
from daysworth.demo.neighbourhood import neighbourhood
from daysworth.planners.warnings import with_needs
from daysworth_client.addresses import StoreAddress
from daysworth_client.connection import Connection
from daysworth_client.errors import NotUnderstood, Refused
from daysworth_client.suitability_answers import EvidencePart, WarningsAnswer
from daysworth_client.summary import coverage_summary
from daysworth_client.warnings import household_warnings
from tests.clients.written_answers import (
    a_finding,
    a_label,
    a_pack,
    a_warning,
    an_answer,
    warnings_of,
)

AS_OF: Final = date(2026, 11, 25)
LIST: Final[EvidencePart] = {
    "said": "ingredients",
    "presence": "contained",
    "words": "peanut\n oil",
    "at": 3,
}
CLAIM: Final[EvidencePart] = {
    "said": "claim",
    "presence": "not_known",
    "words": "peanut-free",
    "at": 0,
}


def test_the_whole_of_a_short_answer() -> None:
    bars = a_warning("Bars", a_finding("contains peanut", LIST, CLAIM))
    bars["instead"] = a_pack("Rice")
    unread = a_warning(
        "Beans", a_finding("the label was not read", verdict="unknown"), verdict="unknown"
    )
    unread["was_read"] = False
    assert household_warnings(warnings_of(bars, unread)) == (
        "Elm Row: household H1\n"
        "As of 5 November 2026.\n"
        "Needs: peanut allergy.\n"
        "\n"
        "NOT FOR THIS HOUSEHOLD: 1 food\n"
        "  Bars (6 packs; Hall)\n"
        '    contains peanut: the list has "peanut oil"\n'
        "    instead: Rice\n"
        "\n"
        "NOT KNOWN, because nobody has read the label: 1 food\n"
        "Give none of these before its label was read for this household:\n"
        "  Beans (6)\n"
        "\n"
        "SUITS EVERYBODY HERE: 1 food\n"
        "  Rice (12)\n"
        "\n"
        "Cautions\n"
        "  - Read every label.\n"
    )


def test_what_is_for_some_members_alone_says_for_how_many() -> None:
    told = household_warnings(
        warnings_of(a_warning("Bars", a_finding("contains milk", binds_home=False)))
    )
    assert "    contains milk (for 2 members)\n" in told


def test_two_labels_of_a_food_are_told_together_and_the_note_only_where_both_have_one() -> None:
    one, two = (a_warning("Bars", a_finding("contains peanut")) for _ in range(2))
    two["lots"] = [a_pack("Bars", place="Cellar")]
    two["instead"] = a_pack("Bars")
    one["acknowledged"] = {"by": "a coordinator", "at": "2026-11-05T10:00:00Z", "why": "seen"}
    told = household_warnings(warnings_of(one, two))
    assert "  Bars (12 packs; Hall and Cellar)\n" in told
    assert "    instead: another label of it\n" in told
    assert "acknowledged" not in told
    two["acknowledged"] = one["acknowledged"]
    assert "    acknowledged by a coordinator\n" in household_warnings(warnings_of(one, two))


def test_what_may_be_given_with_a_warning_is_never_among_what_suits_everybody() -> None:
    minded = a_finding("may contain peanut", verdict="suitable")
    told = household_warnings(warnings_of(a_warning("Bars", minded, verdict="suitable")))
    before, _, after = told.partition("SUITS EVERYBODY HERE")
    assert "MAY BE GIVEN, with a warning: 1 food\n  Bars" in before
    assert "Bars" not in after


def test_a_home_without_needs_and_a_store_without_food_are_said_in_words() -> None:
    answer = warnings_of()
    answer["needs"], answer["suitable"] = [], []
    told = household_warnings(answer)
    assert "No need of its own is recorded." in told
    assert "  Nothing in stock is known to.\n" in told


def test_a_home_that_is_advised_is_not_told_that_a_food_suits() -> None:
    answer = warnings_of()
    answer["ask_care_team"], answer["suitable"] = answer["suitable"], []
    told = household_warnings(answer)
    asked = "ASK YOUR CARE TEAM: 1 food\nNothing else stands against these:\n  Rice (12)\n"
    assert asked in told
    assert "suits" not in told.lower()


def of_the_demo() -> list[WarningsAnswer]:
    """Give the warnings of every home of the neighbourhood that must avoid something."""
    store = neighbourhood(AS_OF)
    answers = [answer_warnings(store, AS_OF, household=one) for one in with_needs(store, AS_OF)]
    return [json.loads(warnings_json(one)) for one in answers]


def test_no_line_is_wider_than_a_terminal_and_every_home_has_its_cautions() -> None:
    answers = of_the_demo()
    assert len(answers) > 8
    for answer in answers:
        told = household_warnings(answer)
        assert max(map(len, told.splitlines())) <= 80
        tail = " ".join(told.partition("\nCautions\n")[2].split())
        assert all(" ".join(one["text"].split()) in tail for one in answer["cautions"])


def test_every_food_that_is_warned_of_is_named_in_the_text() -> None:
    for answer in of_the_demo():
        flat = " ".join(household_warnings(answer).split())
        assert [one for one in answer["warnings"] if one["food_name"] not in flat] == []


def connected(status: int, body: bytes, *, asked: list[str] | None = None) -> Connection:
    """Connect to a store that answers everything alike."""

    def answer(request: httpx.Request) -> httpx.Response:
        if asked is not None:
            asked.append(request.url.raw_path.decode())
        return httpx.Response(status, content=body)

    address = StoreAddress.read("http://127.0.0.1:8017/v1/stores/elm-row")
    return Connection(address, "token", transport=httpx.MockTransport(answer))


def test_a_store_is_asked_by_the_households_id_and_its_answer_is_taken_whole() -> None:
    store = neighbourhood(AS_OF)
    home = with_needs(store, AS_OF)[0]
    body = warnings_json(answer_warnings(store, AS_OF, household=home)).encode()
    asked: list[str] = []
    with connected(200, body, asked=asked) as connection:
        assert connection.warnings("H 1/2") == json.loads(body)
    assert asked == ["/v1/stores/elm-row/households/H%201%2F2/warnings"]


@pytest.mark.parametrize("body", [b"{}", b"[]", b"no JSON", b'{"warnings": [{}]}'])
def test_an_answer_that_is_none_is_not_understood(body: bytes) -> None:
    with connected(200, body) as connection, pytest.raises(NotUnderstood):
        connection.warnings("H1")


def test_a_refusal_is_a_refusal() -> None:
    with connected(403, b"") as connection, pytest.raises(Refused):
        connection.warnings("H1")


def test_labels_to_read_are_told_with_what_each_would_add() -> None:
    answer = an_answer()
    answer["labels_to_read"] = [
        a_label("Crackers with a name that is longer than any line has room for", days=180),
        a_label("Oats", days=7.5),
        a_label("Oil", days=2.96),
    ]
    told = coverage_summary(answer)
    (crackers, oats, oil) = told.partition("Labels to read first")[2].splitlines()[2:5]
    assert crackers.endswith("at least +177.0 days if it suits")
    assert oats.split() == ["6", "x", "Oats", "+4.5", "days", "if", "it", "suits"]
    assert oil.endswith("a part of it")
    assert len(crackers) <= 80
