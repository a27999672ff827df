"""Say which visits to partners come in two weeks: what goes there, and who else receives then."""

from collections.abc import Iterator
from datetime import datetime, timedelta

from daysworth.answers.coming_visits import OtherVisitAnswer, PromisedVisitAnswer
from daysworth.answers.notice import NoticeAnswer
from daysworth.printing.figures import whole
from daysworth.printing.notice_sections import (
    MOST_ROWS,
    Row,
    Section,
    item_row,
    left_out,
    listed,
)
from daysworth.printing.plain_text import one_line
from daysworth.wording.catalogue import Catalogue


def promised_visits(answer: NoticeAnswer, words: Catalogue) -> Iterator[Section]:
    """Give a section for each visit that something is promised for."""
    visits = answer.promised_visits
    for visit in visits[:MOST_ROWS]:
        rows = [
            item_row(one.food, words, units=one.units, place=one.place) for one in visit.contents
        ]
        yield listed(
            words.say(
                "notice-bring", partner=one_line(visit.partner_name), when=_when(visit, words)
            ),
            rows,
            words=words,
            sentences=tuple(_about(visit, answer, words=words)),
            more_key="notice-more-foods",
        )
    more = left_out("notice-more-promised", len(visits), words=words)
    if more is not None:
        yield Section(words.say("notice-promised-too"), (more,))


def other_visits(answer: NoticeAnswer, words: Catalogue) -> Iterator[Section]:
    """Give a section of the visits that nothing is promised for yet."""
    lines = [_other(one, words) for one in answer.other_visits]
    if lines:
        count = len(lines) + answer.more_other_visits
        yield Section(
            words.say("notice-others-receive"),
            rows=tuple(Row((line,), line) for line in lines[:MOST_ROWS]),
            left_out=left_out("notice-more-visits", count, words=words),
        )


def _about(visit: PromisedVisitAnswer, answer: NoticeAnswer, *, words: Catalogue) -> Iterator[str]:
    yield words.say(
        "notice-bring-totals",
        units=visit.units,
        kilograms=words.say("notice-kilograms", kilograms=visit.mass_g / 1000),
        kilocalories=whole(visit.energy_kcal),
    )
    if visit.units_not_to_go:
        yield words.say("notice-bring-not-all", units=visit.units_not_to_go)
    if visit.visit_on < answer.as_of:
        yield words.say("notice-bring-overdue")


def _other(visit: OtherVisitAnswer, words: Catalogue) -> str:
    partner, when = one_line(visit.partner_name), _when(visit, words)
    if visit.promise_by_day == visit.visit_on:
        return words.say("notice-receives", partner=partner, when=when)
    by = words.day(visit.promise_by_day)
    return words.say("notice-receives-by", partner=partner, when=when, by=by)


def _when(visit: PromisedVisitAnswer | OtherVisitAnswer, words: Catalogue) -> str:
    """Say when a visit is, by the clock at the partner's."""
    opens_at = datetime.fromisoformat(visit.opens_at)
    closes_at = opens_at + timedelta(minutes=visit.minutes)
    day, begins, ends = words.full_day(opens_at), words.clock(opens_at), words.clock(closes_at)
    if closes_at.date() == opens_at.date():
        said = words.say("notice-visit-when", day=day, begins=begins, ends=ends)
    else:
        last = words.full_day(closes_at)
        said = words.say("notice-visit-over", day=day, begins=begins, ends=ends, last=last)
    return one_line(said)
