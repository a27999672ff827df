"""Read the form by which a window is added, in plain choices: every second Tuesday at nine."""

from dataclasses import dataclass, field
from datetime import date, datetime, time
from typing import Final, Self

from pydantic import ValidationError
from starlette.datastructures import FormData

from daysworth.answers.faults_in_words import what_in_words
from daysworth.api.schemas.partners import WindowIn
from daysworth.domain.partners import MONTHS
from daysworth.domain.settings import is_zone
from daysworth.domain.window_choices import LAST, ChoiceKind, Weekday
from daysworth.pages.lot_deeds import sentence
from daysworth.pages.typed_box import CHECKED, Faults, whole_number
from daysworth.pages.typed_days import read_day, read_time

KINDS: Final = tuple(str(one) for one in ChoiceKind)
WEEKDAYS: Final = tuple(str(one) for one in Weekday)
NTHS: Final = (1, 2, 3, 4, 5, LAST)
IN_ORDER: Final = tuple(sorted(MONTHS))

_WHOLE: Final = ("every", "minutes", "notice_days", "most_units")
_KILOGRAMS: Final = ("most_kg", "vehicle_kg")
_WORDS: Final = ("driver", "appointment", "contact")
_TEXTS: Final = (
    *("kind", "every", "month_days", "starts_on", "starts", "timezone", "minutes"),
    *("most_kg", "vehicle_kg", "most_units", "notice_days", *_WORDS),
)
_LONGEST: Final = 201
_NEAREST: Final = {
    "choice": "kind",
    "contact": "window-contact",
    "id": "kind",
    "open_months": "months",
    "rule": "kind",
    "starts_at": "starts_on",
}
"""Which field of the form stands for what the schema calls otherwise."""

Ticked = frozenset[str]


@dataclass(frozen=True, slots=True, kw_only=True)
class TypedWindow:
    """What was typed of a window; what is ticked is named as it stands in the form."""

    texts: dict[str, str] = field(default_factory=dict)
    weekdays: Ticked = frozenset()
    nths: Ticked = frozenset()
    months: Ticked = frozenset(str(one) for one in MONTHS)

    @classmethod
    def usual(cls, *, today: date, timezone: str) -> Self:
        """Give the form before anybody typed."""
        usual = {
            "kind": str(ChoiceKind.WEEKLY),
            "every": "1",
            "starts_on": today.isoformat(),
            "starts": "09:00",
            "timezone": timezone,
            "minutes": "120",
            "notice_days": "0",
        }
        return cls(texts={name: usual.get(name, "") for name in _TEXTS})

    @classmethod
    def of(cls, form: FormData) -> Self:
        """Read the form."""

        def ticked(prefix: str) -> Ticked:
            return frozenset(
                name.removeprefix(prefix)
                for name, value in form.items()
                if name.startswith(prefix) and value == CHECKED
            )

        return cls(
            texts={name: str(form.get(name, "")).strip()[:_LONGEST] for name in _TEXTS},
            weekdays=ticked("weekday-"),
            nths=ticked("nth-"),
            months=ticked("month-"),
        )

    def __str__(self) -> str:
        """Write all that was said, so that a form's key is not used for two things."""
        said = [sorted(one) for one in (self.weekdays, self.nths, self.months)]
        return f"window {sorted(self.texts.items())} {said}"

    def read(self, id_: str, faults: Faults) -> WindowIn | None:
        """Understand the form as the window of an id; None: what cannot be is noted."""
        said: dict[str, object] = {"id": id_}
        said |= {"starts_at": self._starts_at(faults), "choice": self._choice(faults)}
        numbers = {name: _number(self.texts[name], name, faults=faults) for name in _KILOGRAMS}
        wholes = {name: _whole(self.texts[name], name, faults=faults) for name in _WHOLE[1:]}
        said.update({name: one for name, one in {**numbers, **wholes}.items() if one is not None})
        said.update({name: self.texts[name] for name in (*_WORDS, "timezone")})
        said["open_months"] = [one for one in IN_ORDER if str(one) in self.months]
        if not said["open_months"]:
            faults["months"] = "fault-window-months"
        if not is_zone(self.texts["timezone"]):
            faults["timezone"] = "fault-window-timezone"
        if "minutes" not in said:
            faults.setdefault("minutes", "fault-window-minutes")
        return None if faults else _checked(said, faults)

    def _starts_at(self, faults: Faults) -> str:
        day, at = read_day(self.texts["starts_on"]), read_time(self.texts["starts"])
        if day is None:
            faults["starts_on"] = "fault-window-day"
        if at is None:
            faults["starts"] = "fault-window-time"
        return f"{datetime.combine(day or date.max, at or time()):%Y-%m-%dT%H:%M}"

    def _choice(self, faults: Faults) -> dict[str, object]:
        kind = self.texts["kind"]
        if kind not in KINDS:
            faults["kind"] = "fault-window-kind"
        every = _whole(self.texts["every"] or "1", "every", faults=faults)
        return {
            "kind": kind,
            "every": every,
            "weekdays": [one for one in WEEKDAYS if one in self.weekdays],
            "nths": [one for one in NTHS if str(one) in self.nths],
            "month_days": _month_days(self.texts["month_days"], faults),
        }


def _month_days(text: str, faults: Faults) -> list[int]:
    """Read days of the month, such as "1, 15, last"."""
    found = []
    for one in text.replace(",", " ").split():
        day = LAST if one.casefold() == "last" else whole_number(one)
        if day is None or day == 0 or day > 31:
            faults["month_days"] = "fault-window-month-days"
            return []
        found.append(day)
    return found


def _whole(text: str, name: str, *, faults: Faults) -> int | None:
    found = whole_number(text)
    if text and found is None:
        faults[name] = "fault-whole-number"
    return found


def _number(text: str, name: str, *, faults: Faults) -> float | None:
    if not text:
        return None
    found = kilograms(text)
    if found is None:
        faults[name] = "fault-kilograms"
    return found


def kilograms(text: str) -> float | None:
    """Read kilograms with a point or a comma; None: it is no plain number."""
    plain = text.replace(",", ".", 1)
    if len(plain) > 12 or not plain.isascii() or not plain.replace(".", "", 1).isdecimal():
        return None
    return float(plain)


def _checked(said: dict[str, object], faults: Faults) -> WindowIn | None:
    try:
        return WindowIn.model_validate(said)
    except ValidationError as refused:
        note(refused, faults, of="a window")
        return None


def note(refused: ValidationError, faults: Faults, *, of: str) -> None:
    """Note what a schema finds wrong, each beside the field that it is about."""
    for fault in refused.errors():
        inner = [str(part) for part in fault["loc"]]
        name = "every" if inner[:2] == ["choice", "every"] else inner[0] if inner else "kind"
        faults.setdefault(_NEAREST.get(name, name), sentence(what_in_words(fault, of=of)))


_ON_THE_PAGE: Final = (
    *("kind", "month_days", "every", "starts_on", "starts", "minutes", "timezone"),
    *("notice_days", "most_kg", "most_units", "vehicle_kg", "driver", "appointment"),
    *("window-contact", "months"),
)


def in_page_order(faults: Faults) -> Faults:
    """Put what is wrong in the order of the page, so that the first of it gets the focus."""
    place = {name: number for number, name in enumerate(_ON_THE_PAGE)}
    return dict(sorted(faults.items(), key=lambda one: place.get(one[0], len(place))))


def free_id(wanted: str, taken: frozenset[str]) -> str:
    """Give an id that nothing else has: as it is wanted, or with a number after it."""
    number, id_ = 1, wanted
    while id_ in taken:
        number += 1
        id_ = f"{wanted}-{number}"
    return id_
