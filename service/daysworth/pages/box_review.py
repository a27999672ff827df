"""Find the food that a volunteer means, and what they should look at before a box is saved."""

import hashlib
import json
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date, datetime, timedelta
from typing import Final

from daysworth.answers.barcodes import gtin_14, read_barcode
from daysworth.db.foods import KeptFood, find_foods, foods_by_digits, read_food
from daysworth.db.ledger.intake import look_over
from daysworth.db.ledger.just_logged import Logged, just_logged
from daysworth.db.transactions import Reading, day_there, kept_instant
from daysworth.domain.barcodes import PackFacts
from daysworth.domain.entries import CredentialId
from daysworth.domain.errors import BarcodeRefused, NotThere
from daysworth.domain.identifiers import FoodId, LotId, PlaceId
from daysworth.domain.intake import IntakeLine, Warned
from daysworth.domain.lots import Condition
from daysworth.domain.settings import StoreSettings
from daysworth.pages.label_question import (
    ANOTHER,
    NOT_COMPARED,
    LabelOffered,
    is_label_of,
    labels_to_compare,
)
from daysworth.pages.typed_box import (
    MOST_CHARACTERS,
    NOT_IN_LIST,
    SEPARATOR,
    Faults,
    ReadBox,
    TypedBox,
    digits_of,
    is_scanned,
)

MOST_CHOICES: Final = 12
LEAST_DIGITS: Final = 4
_GTIN_LENGTHS: Final = frozenset({8, 12, 13, 14})

PAUSING: Final = frozenset(
    {
        Warned.KEEPS_TOO_SHORT,
        Warned.PAST_DATE,
        Warned.DAMAGED,
        Warned.HOME_CANNED,
        Warned.LABEL_UNREADABLE,
        Warned.FAR_AHEAD,
        Warned.PACKED_AHEAD,
    }
)
"""What is shown before a box is saved; the rest is said beside it afterwards."""

BETTER_LEFT_OUT: Final = frozenset({Warned.PAST_DATE, Warned.DAMAGED, Warned.HOME_CANNED})
SAME: Final = "same"
"""The mark of a box that is logged once more on purpose."""
SAME_WITHIN: Final = timedelta(minutes=15)


@dataclass(frozen=True, slots=True)
class Choice:
    """The food that was found, None for none in the list; or the foods to choose from."""

    food: KeptFood | None = None
    is_open: bool = False
    foods: Sequence[KeptFood] = ()
    has_more: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Review:
    """What is to be looked at: foods to choose from, dates, warnings, a like box, labels.

    `line` is the box to be saved, None as long as something is open. `seen` has the marks of all
    that is to be looked at, shown now or before. `same` is the like box that was logged a moment
    ago. `scanned_date` is the date in the barcode, where another was typed. `labels` are those of
    the food that were read, as long as nobody said whether the box has one of them.
    """

    choice: Choice
    readings: Sequence[str] = ()
    warnings: Sequence[Warned] = ()
    last_good_day: date | None = None
    same: Logged | None = None
    scanned_date: str | None = None
    labels: Sequence[LabelOffered] = ()
    seen: str = ""
    line: IntakeLine | None = None

    @property
    def is_open(self) -> bool:
        """Tell whether something must be looked at first."""
        return (
            self.choice.is_open
            or bool(self.readings)
            or bool(self.warnings)
            or self.same is not None
            or self.scanned_date is not None
            or bool(self.labels)
        )

    @property
    def is_better_left_out(self) -> bool:
        """Tell whether the box had better not be put up at all."""
        return not BETTER_LEFT_OUT.isdisjoint(self.warnings)


@dataclass(frozen=True, slots=True, kw_only=True)
class Where:
    """Where and when a box is logged: the place, the link, the store's settings, the instant."""

    place: PlaceId
    link: CredentialId
    settings: StoreSettings
    at: datetime


def scanned(typed: TypedBox, faults: Faults, *, read_in_year: int) -> tuple[TypedBox, PackFacts]:
    """Read a whole barcode typed or scanned as the food; a date in it fills an empty date."""
    nothing = PackFacts(gtin=None)
    text = typed.what
    digits = digits_of(text)
    is_number = len(digits) in _GTIN_LENGTHS
    if not (is_number or is_scanned(text)):
        return typed, nothing
    try:
        if is_number:
            return typed, PackFacts(gtin=gtin_14(digits))
        pack = read_barcode(text, read_in_year=read_in_year)
    except BarcodeRefused as refused:
        faults["what"] = str(refused)
        return typed, nothing
    if pack.printed is None or pack.label_kind is None or typed.date:
        return typed, pack
    return replace(typed, date=pack.printed, kind=str(pack.label_kind)), pack


def review(
    reading: Reading, typed: TypedBox, *, box: ReadBox, pack: PackFacts, where: Where
) -> Review:
    """Find the food and look the box over; nothing is changed."""
    choice = choose_food(reading, typed.what, chosen=typed.food_choice, pack=pack)
    readings: Sequence[str] = ()
    if box.date is not None and box.date.others and not typed.order:
        readings = (box.date.printed, *box.date.others)
    if choice.is_open or readings:
        marks = {kind: str(kind) for kind in _plain_to_see(typed)}
        return _reviewed(typed, marks, found=Review(choice=choice, readings=readings))
    line = _line(typed, box, choice=choice, pack=pack, place=where.place)
    line, labels = _labelled(reading, typed, line=line, settings=where.settings)
    food = None if choice.food is None else choice.food.food
    today = day_there(where.settings, at=where.at)
    seen = look_over(line, food=food, settings=where.settings, today=today)
    marks = {kind: _mark(line, kind) for kind, _ in seen.warnings if kind in PAUSING}
    found = Review(
        choice=choice,
        last_good_day=seen.last_good_day,
        same=_same(reading, line, where=where),
        scanned_date=pack.printed if pack.printed not in (None, line.printed) else None,
        labels=labels,
        line=line,
    )
    return _reviewed(typed, marks, found=found)


def _labelled(
    reading: Reading, typed: TypedBox, *, line: IntakeLine, settings: StoreSettings
) -> tuple[IntakeLine, Sequence[LabelOffered]]:
    """Take over the label that was found to be the same, or give the labels to compare with."""
    food = line.food
    if food is None or line.is_label_unreadable:
        return line, ()
    if typed.label_for != food:
        return line, labels_to_compare(reading, food, settings=settings)
    if typed.same_label in ("", ANOTHER, NOT_COMPARED):
        return line, ()
    if not is_label_of(reading, typed.same_label, food=food):
        return line, labels_to_compare(reading, food, settings=settings)
    return replace(line, same_label_as=LotId(typed.same_label)), ()


def _reviewed(typed: TypedBox, marks: Mapping[Warned, str], *, found: Review) -> Review:
    """Leave out what was shown before, and mark all that is to be looked at."""
    before = typed.seen_marks
    scanned_mark = f"scanned.{found.scanned_date}.{typed.date}".replace(" ", "_")
    every = set(marks.values())
    if found.same is not None or SAME in before:
        every.add(SAME)
    if found.scanned_date is not None:
        every.add(scanned_mark)
    return replace(
        found,
        warnings=[kind for kind, mark in marks.items() if mark not in before],
        same=None if SAME in before else found.same,
        scanned_date=None if scanned_mark in before else found.scanned_date,
        seen=" ".join(sorted(every)),
    )


def _plain_to_see(typed: TypedBox) -> Iterator[Warned]:
    """Give what to warn of whatever the food and its date are."""
    if typed.damaged:
        yield Warned.DAMAGED
    if typed.home_canned:
        yield Warned.HOME_CANNED
    if typed.unreadable:
        yield Warned.LABEL_UNREADABLE


def _same(reading: Reading, line: IntakeLine, *, where: Where) -> Logged | None:
    """Find a like box that this link logged a moment ago: perhaps it is the same one."""
    since = kept_instant(where.at - SAME_WITHIN)
    said = (line.food, line.words, line.units, line.label_kind, line.printed, line.giver)
    for one in just_logged(reading, where.link, at=where.at):
        lot = one.lot
        like = (lot.food, lot.words, one.units, lot.label_kind, lot.printed, one.giver)
        if like == said and one.at >= since and not one.is_taken_back:
            return one
    return None


def choose_food(reading: Reading, what: str, *, chosen: str, pack: PackFacts) -> Choice:
    """Find the food that words or digits stand for, or the foods to choose from.

    `chosen` is the id of a food that was chosen before, or `NOT_IN_LIST`, or empty.
    """
    if chosen == NOT_IN_LIST:
        return Choice()
    if chosen:
        try:
            return Choice(read_food(reading, FoodId(chosen)))
        except NotThere:
            return Choice(is_open=True)
    if pack.gtin is not None:
        found = find_foods(reading, words="", gtin=pack.gtin, after="", limit=MOST_CHOICES)
        return _one_or_open(found.items, has_more=found.next_after is not None)
    digits = digits_of(what)
    if len(digits) >= LEAST_DIGITS:
        foods = foods_by_digits(reading, digits, limit=MOST_CHOICES + 1)
        has_more = len(foods) > MOST_CHOICES
        return Choice(is_open=True, foods=foods[:MOST_CHOICES], has_more=has_more)
    return _by_words(reading, what)


def _by_words(reading: Reading, words: str) -> Choice:
    found = find_foods(reading, words=words, gtin=None, after="", limit=_MOST_FOUND)
    said = words.casefold()
    exactly = [one for one in found.items if one.food.name.casefold() == said]
    if len(exactly) == 1:
        return Choice(exactly[0])
    ranked = sorted(exactly or found.items, key=lambda one: _rank(one, said))
    has_more = len(ranked) > MOST_CHOICES or found.next_after is not None
    return Choice(is_open=True, foods=ranked[:MOST_CHOICES], has_more=has_more)


def _rank(kept: KeptFood, said: str) -> tuple[bool, bool, str, str]:
    """Put what is called so before what merely belongs there, what begins so before both."""
    name = kept.food.name.casefold()
    is_named = all(word in name for word in said.split())
    return (not name.startswith(said), not is_named, name, kept.food.id)


_MOST_FOUND: Final = 1_000


def _one_or_open(foods: Sequence[KeptFood], *, has_more: bool) -> Choice:
    if len(foods) == 1:
        return Choice(foods[0])
    return Choice(is_open=True, foods=foods, has_more=has_more)


def _line(
    typed: TypedBox, box: ReadBox, *, choice: Choice, pack: PackFacts, place: PlaceId
) -> IntakeLine:
    return IntakeLine(
        place=place,
        units=box.units,
        food=None if choice.food is None else choice.food.food.id,
        words=_words(typed.what) if choice.food is None else None,
        label_kind=box.kind,
        printed=None if box.date is None else box.date.printed,
        condition=Condition.DAMAGED if typed.damaged else Condition.SOUND,
        is_home_canned=typed.home_canned,
        is_label_unreadable=typed.unreadable,
        pack_code=pack.pack_code,
        giver=typed.giver or None,
    )


def _words(what: str) -> str:
    return what.replace(SEPARATOR, " ")[:MOST_CHARACTERS]


def _mark(line: IntakeLine, kind: Warned) -> str:
    """Mark a warning: one about a date is another for another food or date."""
    if kind in (Warned.DAMAGED, Warned.HOME_CANNED, Warned.LABEL_UNREADABLE):
        return str(kind)
    said = json.dumps([line.food, line.words, line.label_kind, line.printed])
    return f"{kind}.{hashlib.sha256(said.encode()).hexdigest()[:12]}"
