"""Partners and promises are told in words that whoever drives there can follow."""

import pytest

from daysworth_client.errors import NotUnderstood
from daysworth_client.partners_list import partners_text
from daysworth_client.promises_list import promises_text
from daysworth_client.surplus_answers import StayingPart, SurplusStagePart
from daysworth_client.surplus_plan import how_good, staying_lines
from tests.clients.kept_postings import Said
from tests.clients.test_connection import connected, saying
from tests.clients.written_partners import a_partner, a_promise


def told(text: str) -> str:
    """Give a text without its line breaks; no line of it is wider than 80 columns."""
    assert max(len(line) for line in text.splitlines()) <= 80
    return " ".join(text.split())


def test_partners_are_told_by_name_with_windows_bounds_and_rules() -> None:
    text = told(partners_text([a_partner("P-1", "Millrace Kitchen"), a_partner("P-2", "Alder")]))
    assert text.startswith("2 partners that take what this store can spare Alder (P-2)")
    assert "Every Tuesday at 09:00, for 2 hours (America/Chicago)." in text
    assert "At most 20 kg and 40 units a visit; our vehicle carries 12.5 kg;" in text
    assert "promise it 1 day before; Whoever is on the rota." in text
    assert "Next: Tuesday 1 December 2026, 09:00 to 11:00." in text
    assert text.index("Sweets: none of it.") < text.index("Everything else: with at least 14 days")
    assert "Takes only what has had its whole label read here." in text


def test_a_partner_without_a_window_and_a_store_without_partners_say_so() -> None:
    text = told(partners_text([a_partner("P-1", "Millrace Kitchen", has_window=False)]))
    assert "It has no window: nothing can be promised to it." in text
    assert partners_text([]) == "No partner is here yet: nobody to give to.\n"


def test_promises_say_how_many_wait_and_what_became_of_the_others() -> None:
    text = told(promises_text([a_promise("R-1"), a_promise("R-2", state="kept_in_part", went=4)]))
    assert text.startswith("2 promises; 1 of them waits for the day, with 10 units (4.0 kg).")
    assert "10 units (4.0 kg) promised: it waits for its day. R-1" in text
    assert "10 units (4.0 kg) promised, 4 units (1.6 kg) went: some of it went. R-2" in text
    assert promises_text([]) == "Nothing is promised.\n"


def test_a_line_break_in_a_name_breaks_no_line() -> None:
    text = partners_text([a_partner("P-1", "Mill\nrace\x1b[2J")])
    assert "Mill\ufffdrace\ufffd[2J (P-1)" in text


def stage(aim: str, value: float, bound: float, *, gap: float) -> SurplusStagePart:
    return {"aim": aim, "words": f"the {aim}", "value": value, "bound": bound, "gap": gap}


def test_how_good_a_plan_is_says_what_is_proved_and_how_far_the_best_may_be() -> None:
    lines = list(
        how_good(
            [
                stage("energy", 9_900, 10_000, gap=0.01),
                stage("visits", 5, 5, gap=0),
                stage("earliness", 12.34, 10.06, gap=0.2),
            ]
        )
    )
    assert lines[1:] == [
        "  1. The energy: 9,900; no plan reaches more than 10,000, which is 1.00 % more.",
        "  2. The visits: 5; proved, no plan does better.",
        "  3. The earliness: 12.3 days; no plan does with less than 10.0 days.",
    ]


def stays(food: str, units: int, day: str | None, *, words: str) -> StayingPart:
    return {
        "lot": f"L-{food}",
        "food": food,
        "food_name": food,
        "place": "hall",
        "place_name": "Hall",
        "units": units,
        "mass_g": 400.0,
        "energy_kcal": 300.0,
        "last_good_day": day,
        "why": "no_window" if day else "never_goes",
        "never": None,
        "refused_by": [],
        "words": words,
    }


def test_what_stays_for_one_reason_stands_together_each_with_its_own_date() -> None:
    lines = list(
        staying_lines(
            [
                stays("Salt", 1, None, words="it has no date"),
                stays("Ham", 4, "2026-10-18", words="none is in time, 18 October 2026"),
                stays("Corn", 2, "2026-09-01", words="none is in time, 1 September 2026"),
            ]
        )
    )
    assert lines == [
        "What stays, and why: 7 units",
        "  No visit in time",
        "    2 x Corn (2026-09-01), 4 x Ham (2026-10-18): none is in time.",
        "  Goes to nobody",
        "    1 x Salt: it has no date.",
    ]


@pytest.mark.parametrize("next_page", ["/v1/stores/elm-row/promises", "http://["])
def test_a_list_that_leads_nowhere_is_not_followed(next_page: str) -> None:
    said = Said(200, {"items": [], "next": next_page})
    with connected(saying(said)) as connection, pytest.raises(NotUnderstood):
        connection.promises()
    with connected(saying(said)) as connection, pytest.raises(NotUnderstood):
        connection.partners()
