"""Whatever a store, a food or a place is called, a notice keeps its lines and its cells."""

from dataclasses import replace
from typing import Final

from hypothesis import given, settings
from hypothesis import strategies as st

from daysworth.printing.notice import notice_html, notice_subject, notice_text
from daysworth.printing.plain_text import columns, one_line
from tests.printing.read_pages import Page
from tests.printing.written_notices import AS_OF, QUIET, lot, named

many: Final = settings(max_examples=60, deadline=None, derandomize=True, database=None)


@many
@given(st.text(max_size=200))
def test_no_name_breaks_a_line_or_is_wider_than_the_page(name: str) -> None:
    text = notice_text(named(name))
    lines = text.split("\n")
    assert max(map(columns, lines)) <= 72
    assert [line for line in lines if line != line.rstrip()] == []
    assert all(letter.isprintable() for line in lines for letter in line)


@many
@given(st.text(max_size=200))
def test_the_subject_is_one_line_whatever_the_name(name: str) -> None:
    subject = notice_subject(named(name))
    assert subject.isprintable()
    assert columns(subject) < 120


@many
@given(st.text(max_size=80) | st.sampled_from(["<script>", "</td>", "&amp;", "{{ 1 }}", '"<b>']))
def test_a_name_is_text_in_the_page_and_nothing_more(name: str) -> None:
    page, plain = Page(notice_html(named(name))), Page(notice_html(named("A")))
    assert page.elements == plain.elements
    assert page.all("h1") == [f"{one_line(name)}: weekly notice"]
    cells = [one_line(name) if cell == "A" else cell for cell in plain.all("th", "td")]
    assert page.all("th", "td") == [cell for cell in cells if cell.strip()]


def test_a_name_of_letters_from_right_to_left_keeps_its_own_cell() -> None:
    page = notice_html(replace(QUIET, past=[lot("לחם", AS_OF)]))
    assert '<th scope="row" dir="auto">לחם</th><td dir="auto">2</td>' in page
