"""Delivery notes: what stands on them, that it stays on the page, and that no line is torn."""

from dataclasses import replace
from itertools import pairwise

import pytest

from daysworth.answers.delivery_note import DeliveryNote, StruckLine
from daysworth.printing.delivery_note import delivery_note_pdf
from daysworth.printing.delivery_note_layout import Paper
from tests.printing.read_labels import Sheet, read
from tests.printing.written_delivery_notes import (
    GONE,
    LONG,
    PEACH_LINE,
    RICE_LINE,
    SALMON_LINE,
    STRUCK,
    USUAL,
)

LAW = (
    "A congregation or a household is not a qualified direct donor (Pub. L. 117-362, 2023): give"
    " through a nonprofit. Not legal advice."
)
FEET_MM = 25.0
"""The lower margin of a page, with the room for its foot."""


def pages(note: DeliveryNote, paper: Paper = Paper.LETTER) -> list[Sheet]:
    return read(delivery_note_pdf(note, paper=paper))


def said(note: DeliveryNote, paper: Paper = Paper.LETTER) -> str:
    return " ".join(page.said() for page in pages(note, paper))


@pytest.mark.parametrize("paper", Paper)
def test_a_note_has_everything_in_words(paper: Paper) -> None:
    text = said(USUAL, paper)
    for words in (
        "Delivery note No. G-23456789AB",
        "From: Fernhollow (invented)",
        "To: Lantern Kitchen (invented)",
        "Visit: 8 December 2026, 09:00 to 11:00 (Europe/Berlin)",
        "Contact: Side door, 4 Mill Row; ring twice",
        "Appointment: Ref. 8812",
        "Salmon, pink, in a tin",
        "GTIN 09501101530003",
        "Batch L4 17B",
        "Best by 14 March 2027",
        "Contains: fish. May contain: crustacean.",
        "Stored at room temperature: Church cellar. Lot L-2345678901.",
        "no GTIN known",
        "Use by February 2027",
        "Its label was not read here: read it for allergens.",
        "No allergen is declared on its label.",
        "In all: 3 lines, 31 units, 8.51 kg net.",
        "Everything below was checked again when this was printed, 7 December 2026.",
        "Handed over by",
        "Received by",
        "Day and time",
        "Not taken, and why",
        "Delivery note G-23456789AB – page 1 of 1",
    ):
        assert words in text, words
    # On A4 the sentence takes two lines.
    assert LAW in text


def test_units_and_kilograms_stand_in_their_columns_beside_their_food() -> None:
    (page,) = pages(USUAL)
    foot = {text.text: text.foot for text in page.texts}
    for name, units, net in (
        ("Salmon, pink, in a tin", "24", "5.11"),
        ("Rice, white, long grain", "1", "0.91"),
        ("Peaches in juice", "6", "2.49"),
    ):
        here = [text.text for text in page.texts if abs(text.foot - foot[name]) < 0.1]
        assert [name, units, net] == [one for one in here if one in (name, units, net)]


def test_what_may_not_go_is_struck_and_said_above_all_else() -> None:
    (page,) = pages(STRUCK, Paper.A4)
    text = page.said()
    assert "DO NOT BRING – TAKE THESE OUT:" in text
    assert (
        f"1 × Rice, white, long grain (lot {RICE_LINE.lot}, Hall shelf): it was set aside." in text
    )
    assert text.count(RICE_LINE.food_name) == 1
    assert text.index("DO NOT BRING") < text.index("From:")
    assert "In all: 1 line, 24 units, 5.11 kg net." in text
    assert "Everything below was checked" not in text
    frame = max(page.frames, key=lambda one: one.height)
    inside = page.said(top=frame.top, below=frame.top + frame.height)
    assert inside.startswith("DO NOT BRING")
    assert inside.endswith("when this was printed, 7 December 2026.")


def test_of_what_went_and_was_set_aside_since_the_partner_is_to_be_told() -> None:
    text = said(GONE)
    assert "TELL THE PARTNER – SET ASIDE SINCE IT WENT:" in text
    assert "This was handed off. The note says what went." in text
    assert text.count(SALMON_LINE.food_name) == 2
    assert "In all: 3 lines" in text


def test_a_partner_that_is_no_nonprofit_is_said_to_be_none() -> None:
    assert "This partner was not entered as a nonprofit." in said(STRUCK)
    assert "was not entered as a nonprofit" not in said(USUAL)
    assert "was not entered as a nonprofit" not in said(replace(USUAL, is_nonprofit=None))


def test_without_a_window_the_day_and_time_are_what_was_promised() -> None:
    text = said(replace(USUAL, minutes=None, timezone=None, contact="", appointment="", driver=""))
    assert "Visit: 8 December 2026, 09:00 Contact: none was noted" in text
    assert "Appointment" not in text
    assert "Who drives" not in text


def test_days_are_written_as_the_store_s_locale_has_them() -> None:
    text = said(replace(USUAL, locale="en-US"))
    assert "Visit: December 8, 2026, 9:00 AM to 11:00 AM (Europe/Berlin)" in text
    assert "Best by March 14, 2027" in text


@pytest.mark.parametrize("paper", Paper)
def test_a_long_note_has_its_table_s_head_and_its_number_on_every_page(paper: Paper) -> None:
    read_pages = pages(LONG, paper)
    assert len(read_pages) > 3
    for number, page in enumerate(read_pages, start=1):
        text = page.said()
        assert f"Delivery note {LONG.number} – page {number} of {len(read_pages)}" in text
        has_lines = "Stored at room temperature" in text
        assert text.count("GTIN and batch") == has_lines


@pytest.mark.parametrize("paper", Paper)
def test_every_line_of_a_long_note_is_there_once_and_whole_on_one_page(paper: Paper) -> None:
    texts = [page.said() for page in pages(LONG, paper)]
    for line in LONG.lines:
        on = [text for text in texts if f"Lot {line.lot}." in text]
        assert len(on) == 1
        assert line.food_name.strip() in on[0]


@pytest.mark.parametrize("paper", Paper)
@pytest.mark.parametrize("note", [USUAL, STRUCK, GONE, LONG])
def test_nothing_is_drawn_beyond_the_margins(note: DeliveryNote, paper: Paper) -> None:
    for page in pages(note, paper):
        boxes = [text.box for text in page.texts] + [frame.box for frame in page.frames]
        for left, top, right, bottom in boxes:
            assert min(left, top) > 14.5
            assert right < page.width - 14.5
            assert bottom < page.height - 14.5
        above_foot = [text for text in page.texts if "– page" not in text.text]
        assert all(text.foot < page.height - FEET_MM for text in above_foot)


def test_a_great_many_struck_lines_go_on_over_pages() -> None:
    struck = tuple(
        StruckLine(line=replace(PEACH_LINE, lot=f"L-{number:010}"), why="it was set aside")
        for number in range(90)
    )
    text = [page.said() for page in pages(replace(STRUCK, struck=struck))]
    assert len(text) > 2
    for one in struck:
        assert sum(f"(lot {one.line.lot}," in page for page in text) == 1


def test_columns_do_not_run_into_each_other() -> None:
    for page in pages(LONG):
        rows: dict[float, list[tuple[float, float]]] = {}
        for text in page.texts:
            rows.setdefault(round(text.foot, 1), []).append((text.left, text.left + text.width))
        for spans in rows.values():
            spans.sort()
            for (_, ends), (begins, _) in pairwise(spans):
                assert begins >= ends - 0.01


def test_the_same_note_gives_the_same_bytes() -> None:
    first = delivery_note_pdf(USUAL, paper=Paper.A4)
    assert delivery_note_pdf(USUAL, paper=Paper.A4) == first


@pytest.mark.parametrize(
    ("paper", "size"), [(Paper.LETTER, (215.9, 279.4)), (Paper.A4, (210, 297))]
)
def test_a_page_has_the_size_of_its_paper(paper: Paper, size: tuple[float, float]) -> None:
    # ISO 216 for A4; ANSI Y14.1, size A, for Letter (8.5 by 11 in): from memory.
    (page,) = pages(USUAL, paper)
    assert (page.width, page.height) == pytest.approx(size, abs=0.05)
