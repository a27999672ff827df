"""Say the weekly notice in parts, in the order read: what must be done this week leads.

Both forms of the notice, plain text and a mail page, are written from these parts, so that they
say the same. Every sentence is the catalogue's. Lists are cut at `MOST_ROWS`, the rest counted.
"""

from collections.abc import Iterator, Sequence
from typing import Final

from daysworth.answers.coverage import LotAnswer
from daysworth.answers.notice import BandAnswer, LastNoticeAnswer, NoticeAnswer
from daysworth.domain.iso_weeks import Week
from daysworth.printing.figures import is_short_of, tenths, whole
from daysworth.printing.notice_sections import (
    MOST_ROWS,
    Part,
    Row,
    Section,
    item_row,
    left_out,
    listed,
)
from daysworth.printing.notice_visits import other_visits, promised_visits
from daysworth.printing.plain_text import one_line
from daysworth.wording.catalogue import Catalogue


def sections(answer: NoticeAnswer, words: Catalogue) -> list[Section]:
    """Give every section of a notice that has something to say, in the order read."""
    return [section for part in _PARTS for section in part(answer, words)]


def lots_to_see_to(answer: NoticeAnswer) -> int:
    """Count the lots that want somebody's hand this week."""
    _, soon = _eat_first(answer)
    aside = (answer.undated, answer.damaged, answer.quarantined, answer.waiting)
    return len(answer.past) + len(soon) + sum(len(lots) for lots in aside)


def days_in_words(days: float, *, at_least: bool, words: Catalogue) -> str:
    """Write days rounded down: "7.1 days", or "at least 180 days" at the horizon."""
    if at_least:
        return words.say("notice-days-at-least", days=whole(days))
    return words.say("notice-days", days=tenths(days))


def _this_week(answer: NoticeAnswer, words: Catalogue) -> Iterator[Section]:
    within_days, soon = _eat_first(answer)
    if answer.past:
        yield _lots(words.say("notice-past"), answer.past, words=words)
    if soon:
        heading = words.say("notice-eat-first", days=within_days)
        yield _lots(heading, soon, words=words)
    if not answer.past and not soon:
        yield _nothing_pressing(answer, words)


def _nothing_pressing(answer: NoticeAnswer, words: Catalogue) -> Section:
    within_days, _ = _eat_first(answer)
    heading = words.say("notice-this-week")
    has_more = bool(lots_to_see_to(answer) or answer.promised_visits)
    if not has_more and answer.overdue_water_l == 0:
        return Section(heading, (words.say("notice-nothing-to-do"),))
    return Section(heading, (words.say("notice-nothing-pressing", days=within_days),))


def _eat_first(answer: NoticeAnswer) -> tuple[int, list[LotAnswer]]:
    if not answer.bands:
        return 0, []
    return answer.bands[0].within_days, answer.bands[0].lots


def _days(answer: NoticeAnswer, words: Catalogue) -> Iterator[Section]:
    said = [*_days_now(answer, words), *_days_before(answer.last_notice, answer, words=words)]
    yield Section(words.say("notice-days-of-food"), tuple(said))


def _days_now(answer: NoticeAnswer, words: Catalogue) -> Iterator[str]:
    days = answer.everyone_fed_days
    if days is None:
        yield words.say("notice-nobody")
        return
    at_least = answer.everyone_fed_at_least
    yield words.say("notice-fed", days=days_in_words(days, at_least=at_least, words=words))
    if answer.floor_days > 0:
        yield _against_the_floor(answer, words, days=days)
    yield words.say("notice-person-days", days=whole(answer.person_days))


def _against_the_floor(answer: NoticeAnswer, words: Catalogue, *, days: float) -> str:
    if not is_short_of(days, answer.floor_days):
        return words.say("notice-floor-met", floor=answer.floor_days)
    if answer.everyone_fed_at_least:
        # Nobody looked further than the horizon, so it is not known whether the floor is met.
        return words.say("notice-floor-far", floor=answer.floor_days, horizon=whole(days))
    return words.say("notice-below-floor", floor=answer.floor_days)


def _days_before(
    last: LastNoticeAnswer | None, answer: NoticeAnswer, *, words: Catalogue
) -> Iterator[str]:
    if last is None:
        yield words.say("notice-no-last")
        return
    week = words.day(Week.read(last.week).first_day)
    if last.everyone_fed_days is None:
        yield words.say("notice-last-nobody", week=week)
        return
    at_least = last.everyone_fed_days >= answer.horizon_days
    yield words.say(
        "notice-last",
        week=week,
        days=days_in_words(last.everyone_fed_days, at_least=at_least, words=words),
        personDays=whole(last.person_days),
    )


def _below_floor(answer: NoticeAnswer, words: Catalogue) -> Iterator[Section]:
    if not answer.below_floor:
        return
    below = [
        _household(one_line(home.household), words.say("notice-days", days=tenths(home.days)))
        for home in answer.below_floor
    ]
    yield Section(
        words.say("notice-homes-below", floor=answer.floor_days),
        columns=(words.say("notice-column-household"), words.say("notice-column-days")),
        rows=tuple(below[:MOST_ROWS]),
        left_out=left_out("notice-more-households", len(below), words=words),
    )


def _household(home: str, days: str) -> Row:
    return Row((home, days), f"{home}: {days}")


def _coming_up(answer: NoticeAnswer, words: Catalogue) -> Iterator[Section]:
    for before, band in zip(answer.bands, answer.bands[1:], strict=False):
        if band.lots:
            yield _lots(_band_heading(before, band, words=words), band.lots, words=words)


def _band_heading(before: BandAnswer, band: BandAnswer, *, words: Catalogue) -> str:
    from_days = before.within_days + 1
    return words.say("notice-coming-up", fromDays=from_days, toDays=band.within_days)


def _next_round(answer: NoticeAnswer, words: Catalogue) -> Iterator[Section]:
    due = answer.before_next_round
    if due.next_round_day is None or due.units == 0:
        return
    said = words.say(
        "notice-round-due",
        lots=words.say("notice-lots", lots=len(due.lots)),
        units=due.units,
        day=words.day(due.next_round_day),
    )
    yield Section(words.say("notice-round"), (said,))


def _water(answer: NoticeAnswer, words: Catalogue) -> Iterator[Section]:
    if answer.overdue_water_l <= 0:
        return
    said = [words.say("notice-water-overdue", litres=whole(answer.overdue_water_l))]
    if answer.overdue_water_days is not None:
        days = words.say("notice-days", days=tenths(answer.overdue_water_days))
        said.append(words.say("notice-water-adds", days=days))
    yield Section(words.say("notice-water"), tuple(said))


def _set_aside(answer: NoticeAnswer, words: Catalogue) -> Iterator[Section]:
    for key, lots in (
        ("notice-undated", answer.undated),
        ("notice-damaged", answer.damaged),
        ("notice-quarantined", answer.quarantined),
    ):
        if lots:
            # Their day is not known, or no longer matters.
            rows = [item_row(lot.food, words, units=lot.units, place=lot.place) for lot in lots]
            yield listed(words.say(key), rows, words=words)


def _waiting(answer: NoticeAnswer, words: Catalogue) -> Iterator[Section]:
    if answer.waiting:
        rows = [
            item_row(lot.words, words, units=lot.units, place=lot.place) for lot in answer.waiting
        ]
        yield listed(words.say("notice-waiting"), rows, words=words)


def _about(answer: NoticeAnswer, words: Catalogue) -> Iterator[Section]:
    said = [
        words.say(
            "notice-computed",
            release=one_line(answer.release),
            # As text: a version is a name, and is not written with a sign between thousands.
            version=str(answer.version),
            day=words.day(answer.as_of),
        )
    ]
    if answer.made_at is None:
        said.append(words.say("notice-preview"))
    yield Section(words.say("notice-about"), tuple(said))


def _cautions(answer: NoticeAnswer, words: Catalogue) -> Iterator[Section]:
    if answer.cautions:
        rows = tuple(Row((caution.text,), caution.text) for caution in answer.cautions)
        yield Section(words.say("notice-cautions"), rows=rows)


def _lots(heading: str, lots: Sequence[LotAnswer], *, words: Catalogue) -> Section:
    rows = [_dated_row(lot, words) for lot in lots]
    return listed(heading, rows, words=words, more_columns=("day",))


def _dated_row(lot: LotAnswer, words: Catalogue) -> Row:
    row = item_row(lot.food, words, units=lot.units, place=lot.place)
    last = lot.last_good_day
    day = words.say("notice-no-date") if last is None else words.day(last)
    return Row((*row.cells, day), words.say("notice-lot-dated", lot=row.line, day=day))


_PARTS: Final[tuple[Part, ...]] = (
    _this_week,
    promised_visits,
    _days,
    _below_floor,
    _coming_up,
    _next_round,
    other_visits,
    _water,
    _set_aside,
    _waiting,
    _about,
    _cautions,
)
