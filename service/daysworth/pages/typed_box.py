"""Take one box as a volunteer typed it, and find what keeps it from being saved as it is.

Nothing typed is ever lost: whatever is wrong, the same words stand in the form again.
"""

import re
from dataclasses import dataclass
from typing import Final, Self

from starlette.datastructures import FormData

from daysworth.domain.errors import DateRefused
from daysworth.domain.identifiers import is_plain
from daysworth.domain.intake import MOST_UNITS
from daysworth.domain.label_dates import LabelKind, printed_day
from daysworth.domain.typed_dates import DateOrder, TypedDate, read_typed_date

MOST_CHARACTERS: Final = 120
MOST_BARCODE_CHARACTERS: Final = 400
NOT_IN_LIST: Final = "none"
CHECKED: Final = "yes"

SEPARATOR: Final = "\x1d"
_SCANNED: Final = re.compile(r"\][A-Za-z][0-9]|\([0-9]{2,4}\)|01[0-9]{14}")
"""An element string begins with a symbology, a bracketed identifier, or a trade item number."""

Faults = dict[str, str]
"""What is wrong, by field: the key of a message of the catalogue, or a sentence."""


@dataclass(frozen=True, slots=True, kw_only=True)
class TypedBox:
    """The fields of the form, as typed.

    `chosen_food` was chosen for the words `chosen_for`; `seen` has the marks of what was shown;
    `order` says that dates in figures were confirmed to be read in the store's order.
    `same_label` says which label the box has as well, and was answered for the food `label_for`.
    """

    what: str = ""
    chosen_food: str = ""
    chosen_for: str = ""
    units: str = ""
    cases: str = ""
    units_per_case: str = ""
    kind: str = ""
    date: str = ""
    chosen_date: str = ""
    date_chosen_for: str = ""
    damaged: bool = False
    home_canned: bool = False
    unreadable: bool = False
    giver: str = ""
    key: str = ""
    seen: str = ""
    order: str = ""
    same_label: str = ""
    label_for: str = ""

    @classmethod
    def of(cls, form: FormData) -> Self:
        """Read the form; a field that is not there is empty."""

        def text(name: str, most: int = MOST_CHARACTERS) -> str:
            return str(form.get(name, "")).strip()[: most + 1]

        return cls(
            what=text("what", MOST_BARCODE_CHARACTERS),
            chosen_food=text("chosen_food"),
            chosen_for=text("chosen_for", MOST_BARCODE_CHARACTERS),
            units=text("units"),
            cases=text("cases"),
            units_per_case=text("units_per_case"),
            kind=text("kind"),
            date=text("date"),
            chosen_date=text("chosen_date"),
            date_chosen_for=text("date_chosen_for"),
            damaged=text("damaged") == CHECKED,
            home_canned=text("home_canned") == CHECKED,
            unreadable=text("unreadable") == CHECKED,
            giver=text("giver"),
            key=text("key"),
            seen=text("seen", MOST_BARCODE_CHARACTERS),
            order=text("order"),
            same_label=text("same_label"),
            label_for=text("label_for"),
        )

    @property
    def food_choice(self) -> str:
        """Give the food chosen from a list, as long as the words it was chosen for stand."""
        return self.chosen_food if self.chosen_for == self.what else ""

    @property
    def seen_marks(self) -> frozenset[str]:
        """Give the marks of what was shown and is to be saved all the same."""
        return frozenset(self.seen.split())

    @property
    def date_choice(self) -> str:
        """Give the reading of the date that was chosen, as long as the date typed stands."""
        return self.chosen_date if self.date_chosen_for == self.date else ""


@dataclass(frozen=True, slots=True, kw_only=True)
class ReadBox:
    """What was typed, understood: everything but the food, which needs the store."""

    units: int
    kind: LabelKind
    date: TypedDate | None


def read_box(typed: TypedBox, *, order: DateOrder, read_in_year: int) -> tuple[ReadBox, Faults]:
    """Understand a form. The faults say what cannot be; with any, the rest is for showing only."""
    faults: Faults = {}
    _check_words(typed, faults)
    units = _units(typed, faults)
    kind, date = read_date(typed, faults, order=order, read_in_year=read_in_year)
    return ReadBox(units=units, kind=kind, date=date), faults


def read_date(
    typed: TypedBox, faults: Faults, *, order: DateOrder, read_in_year: int
) -> tuple[LabelKind, TypedDate | None]:
    """Understand what the label says and its date; None: it has none, or a fault was noted."""
    kind = _kind(typed, faults)
    return kind, _date(typed, faults, kind=kind, order=order, read_in_year=read_in_year)


def _check_words(typed: TypedBox, faults: Faults) -> None:
    most = MOST_BARCODE_CHARACTERS if is_scanned(typed.what) else MOST_CHARACTERS
    if not any(letter.isalnum() for letter in typed.what):
        faults["what"] = "fault-what-missing"
    elif not _is_kept_well(typed.what.replace(SEPARATOR, ""), most=most):
        faults["what"] = "fault-words"
    if not _is_kept_well(typed.giver, most=MOST_CHARACTERS):
        faults["giver"] = "fault-words"


def _is_kept_well(text: str, *, most: int) -> bool:
    # What came in no letters at all is replaced by that sign before it gets here.
    return is_plain(text) and "\ufffd" not in text and len(text) <= most


def is_scanned(text: str) -> bool:
    """Tell whether a text is a GS1 element string or a number, as a scanner or a hurry types it."""
    return SEPARATOR in text or _SCANNED.match(text) is not None or len(digits_of(text)) > 14


def digits_of(text: str) -> str:
    """Give the digits of a number typed with spaces or dashes; empty where it is none."""
    digits = text.replace(" ", "").replace("-", "")
    return digits if digits.isascii() and digits.isdecimal() else ""


def _units(typed: TypedBox, faults: Faults) -> int:
    if typed.cases or typed.units_per_case:
        return _units_in_cases(typed, faults)
    units = whole_number(typed.units)
    if not typed.units:
        faults["units"] = "fault-units-missing"
    elif units is None or not 1 <= units <= MOST_UNITS:
        faults["units"] = "fault-units"
    return units or 0


def whole_number(text: str) -> int | None:
    """Read a whole number in plain figures; None: it is none, or too long for any count."""
    return int(text) if text.isascii() and text.isdecimal() and len(text) <= 9 else None


def _units_in_cases(typed: TypedBox, faults: Faults) -> int:
    cases, each = whole_number(typed.cases) or 0, whole_number(typed.units_per_case) or 0
    if not 1 <= cases <= MOST_UNITS:
        faults["cases"] = "fault-units"
    if not 1 <= each <= MOST_UNITS:
        faults["units_per_case"] = "fault-units"
    units = cases * each
    if "cases" in faults or "units_per_case" in faults:
        return 0
    if units > MOST_UNITS:
        faults["cases"] = "fault-units-many"
    elif typed.units and whole_number(typed.units) != units:
        faults["units"] = "fault-units-twice"
    return units


def _kind(typed: TypedBox, faults: Faults) -> LabelKind:
    if typed.kind in _KINDS:
        return _KINDS[typed.kind]
    faults["kind"] = "fault-kind"
    return LabelKind.UNLABELLED


_KINDS: Final = {str(kind): kind for kind in LabelKind}


def _date(
    typed: TypedBox, faults: Faults, *, kind: LabelKind, order: DateOrder, read_in_year: int
) -> TypedDate | None:
    if kind is LabelKind.UNLABELLED:
        if typed.date:
            faults["kind"] = "fault-kind-of-date"
        return None
    if not typed.date:
        faults["date"] = "fault-date-missing"
        return None
    try:
        if typed.date_choice:
            printed_day(typed.date_choice)
            return TypedDate(typed.date_choice)
        return read_typed_date(typed.date, order=order, read_in_year=read_in_year)
    except DateRefused as refused:
        faults["date"] = str(refused)
        return None
