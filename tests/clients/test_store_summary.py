"""A store's summary is its coverage, and what waits for a coordinator, before the cautions."""

from daysworth_client.figures import columns
from daysworth_client.summary import coverage_summary, store_summary
from daysworth_client.summary_lines import MOST_LINES, WIDTH
from tests.clients.written_answers import a_lot, a_summary, a_waiting_lot


def test_where_nothing_waits_it_is_the_coverage_summary() -> None:
    summary = a_summary()
    assert store_summary(summary) == coverage_summary(summary["coverage"])


def test_what_waits_is_listed_after_what_is_set_aside_and_before_the_cautions() -> None:
    summary = a_summary(
        a_waiting_lot("a tin without a label", units=12),
        a_waiting_lot("something in a jar", place="Porch"),
    )
    summary["coverage"]["set_aside"]["quarantined"] = [a_lot("beans")]
    summary["coverage"]["complete_meals"] = []
    summary["coverage"]["diet_mix"]["energy_kcal"] = 0.0
    paragraphs = store_summary(summary).split("\n\n")
    assert paragraphs[-3].startswith("Set aside until someone decides: 1 lot")
    assert paragraphs[-2].splitlines() == [
        "Waiting for a coordinator to say what it is: 2 lots",
        "       12 x a tin without a label                    Hall",
        "        1 x something in a jar                       Porch",
    ]
    assert paragraphs[-1].startswith("Cautions")


def test_lots_past_the_tenth_are_counted() -> None:
    waiting = [a_waiting_lot(f"Tin {number:03}") for number in range(MOST_LINES + 2)]
    text = store_summary(a_summary(*waiting))
    assert "is: 12 lots\n" in text
    assert "Tin 009" in text
    assert "Tin 010" not in text
    assert "  and 2 more lots\n" in text


def test_long_words_keep_to_80_columns_and_to_their_line() -> None:
    waiting = (
        a_waiting_lot("w" * 120, units=1_000_000, place="p" * 120),
        a_waiting_lot("缶詰の豆" * 30, place="缶詰の豆" * 30),
        a_waiting_lot("a\nb\x1b[2J", place="c\u202ed"),
    )
    text = store_summary(a_summary(*waiting))
    assert [line for line in text.splitlines() if columns(line) > WIDTH] == []
    assert len(text.splitlines()) == len(store_summary(a_summary()).splitlines()) + 2 + len(waiting)
    assert not set(text) & {"\x1b", "\u202e"}
