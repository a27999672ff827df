"""Write the weekly notice: its subject, as plain text, and as a small page for a mail.

Both forms are written from the same parts, in the same order, and end with the cautions. The page
needs no style to be read, and loads nothing: no script, no picture, no address.
"""

from collections.abc import Iterator
from functools import cache
from typing import Final

from jinja2 import Environment, PackageLoader, StrictUndefined

from daysworth.answers.notice import NoticeAnswer
from daysworth.printing.notice_parts import days_in_words, lots_to_see_to, sections
from daysworth.printing.notice_sections import Section
from daysworth.printing.plain_text import fitted, one_line, wrapped
from daysworth.wording.catalogue import LANGUAGE, Catalogue, catalogue

_MOST_OF_A_NAME: Final = 40
"""Columns of a store's name in a subject, which mail programs cut short."""


def notice_subject(answer: NoticeAnswer) -> str:
    """Write a notice's subject: one line without control characters."""
    words = catalogue(answer.locale)
    return words.say(
        "notice-subject",
        store=fitted(answer.store_name, _MOST_OF_A_NAME),
        week=words.day(answer.from_day),
        fed=_fed(answer, words),
        seeTo=_to_see_to(answer, words),
    )


def notice_text(answer: NoticeAnswer) -> str:
    """Write a notice as plain text, 72 columns wide."""
    words = catalogue(answer.locale)
    top = [line for said in _top(answer, words) for line in wrapped(said)]
    parts = [top, *(list(_as_text(section)) for section in sections(answer, words))]
    return "\n\n".join("\n".join(lines) for lines in parts) + "\n"


def notice_html(answer: NoticeAnswer) -> str:
    """Write a notice as a whole page, to be the other half of a mail."""
    words = catalogue(answer.locale)
    title, week = _top(answer, words)
    return (
        _page()
        .get_template("notice.html")
        .render(
            language=_language(answer.locale),
            title=title,
            week=week,
            sections=sections(answer, words),
        )
    )


def _top(answer: NoticeAnswer, words: Catalogue) -> tuple[str, str]:
    return (
        words.say("notice-title", store=one_line(answer.store_name)),
        words.say(
            "notice-week",
            fromDay=words.day(answer.from_day),
            toDay=words.day(answer.to_day),
            week=answer.week,
        ),
    )


def _fed(answer: NoticeAnswer, words: Catalogue) -> str:
    days = answer.everyone_fed_days
    if days is None:
        return words.say("notice-subject-nobody")
    at_least = answer.everyone_fed_at_least
    said = days_in_words(days, at_least=at_least, words=words)
    return words.say("notice-subject-fed", days=said)


def _to_see_to(answer: NoticeAnswer, words: Catalogue) -> str:
    lots = lots_to_see_to(answer)
    if lots == 0 and answer.overdue_water_l > 0:
        return words.say("notice-subject-water")
    if lots == 0 and answer.promised_visits:
        return words.say("notice-subject-visits", visits=len(answer.promised_visits))
    return words.say("notice-subject-lots", lots=lots)


def _as_text(section: Section) -> Iterator[str]:
    yield from wrapped(section.heading)
    for sentence in section.sentences:
        yield from wrapped(sentence, mark="  ")
    for row in section.rows:
        yield from wrapped(row.line, mark="  - ")
    if section.left_out is not None:
        yield from wrapped(section.left_out, mark="  ")


def _language(locale: str) -> str:
    """Tell the language of the sentences, which are the catalogue's whatever the locale."""
    return locale if locale.partition("-")[0] == LANGUAGE else LANGUAGE


@cache
def _page() -> Environment:
    return Environment(
        loader=PackageLoader("daysworth.printing"),
        autoescape=True,
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
    )
