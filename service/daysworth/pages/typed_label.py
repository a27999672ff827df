"""Take what a label says as somebody typed and ticked it, and find what keeps it from being kept.

Nothing typed is ever lost. A text that is too long comes back cut, and no longer ticked as whole:
what was cut off may be what matters.
"""

import re
from collections.abc import Iterable
from dataclasses import dataclass, replace
from datetime import date
from typing import Final, Self

from starlette.datastructures import FormData

from daysworth.db.ledger.labels import FIRST_PACKED_DAY
from daysworth.domain.labels import LONGEST_TEXT, LabelReading, Regime
from daysworth.domain.restrictions import Substance
from daysworth.pages.harmless import REPLACEMENT
from daysworth.pages.typed_box import CHECKED, Faults

ALLERGENS: Final = (
    Substance.MILK,
    Substance.EGG,
    Substance.PEANUT,
    Substance.TREE_NUT,
    Substance.WHEAT,
    Substance.GLUTEN,
    Substance.SOY,
    Substance.SESAME,
    Substance.FISH,
    Substance.CRUSTACEAN,
    Substance.MOLLUSC,
    Substance.CELERY,
    Substance.MUSTARD,
    Substance.LUPIN,
    Substance.SULPHITE,
)
"""What a form offers to tick: all that a law we know of makes declarable, the commonest first."""

UNDETERMINED: Final = "und"
LANGUAGES: Final = ("en", "es", "fr", "de", "zh", "ar", UNDETERMINED)
"""BCP 47 tags that a form offers; `und` is any other language."""

_ISO_DAY: Final = re.compile("[0-9]{4}-[0-9]{2}-[0-9]{2}")
_BREAKS: Final = re.compile("\r\n?")
_LAWS: Final = {str(law): law for law in Regime}


@dataclass(frozen=True, slots=True, kw_only=True)
class TypedLabel:
    """The fields of the form, as typed. `law` empty: none was chosen."""

    text: str = ""
    is_too_long: bool = False
    is_whole: bool = False
    law: str = ""
    language: str = LANGUAGES[0]
    packed: str = ""
    contains: frozenset[Substance] = frozenset()
    may_contain: frozenset[Substance] = frozenset()
    key: str = ""

    @classmethod
    def of(cls, form: FormData) -> Self:
        """Read the form; a field that is not there is empty."""
        text = _BREAKS.sub("\n", str(form.get("text", ""))).strip().replace("\x00", REPLACEMENT)
        language = str(form.get("language", LANGUAGES[0]))
        return cls(
            text=text[:LONGEST_TEXT],
            is_too_long=len(text) > LONGEST_TEXT,
            is_whole=form.get("whole") == CHECKED,
            law=str(form.get("law", ""))[:20],
            language=language if language in LANGUAGES else UNDETERMINED,
            packed=str(form.get("packed", "")).strip()[:40],
            contains=_ticked(form, named="contains"),
            may_contain=_ticked(form, named="may_contain"),
            key=str(form.get("key", ""))[:60],
        )


def _ticked(form: FormData, *, named: str) -> frozenset[Substance]:
    return frozenset(one for one in ALLERGENS if form.get(f"{named}_{one}") == CHECKED)


def read_label(typed: TypedLabel, *, today: date) -> tuple[TypedLabel, LabelReading | None, Faults]:
    """Understand a form: what is to be shown again, the reading, and the faults; no reading then.

    A law that was not chosen is left to the food: without one of its own, silence proves nothing.
    """
    faults: Faults = {}
    if typed.is_too_long:
        faults["label-text"] = "fault-label-long"
        typed = replace(typed, is_whole=False)
    elif not typed.text and not typed.contains | typed.may_contain:
        faults["label-text"] = "fault-label-empty"
    elif typed.is_whole and not typed.text:
        faults["label-whole"] = "fault-label-whole"
    if typed.law and typed.law not in _LAWS:
        faults["label-law"] = "fault-label-law"
    packed_on = _day(typed.packed)
    if typed.packed and (packed_on is None or not FIRST_PACKED_DAY <= packed_on <= today):
        faults["label-packed"] = "fault-label-packed"
    if faults:
        return typed, None, faults
    reading = LabelReading(
        contains=typed.contains,
        may_contain=typed.may_contain,
        text=typed.text,
        is_whole=typed.is_whole,
        language=typed.language,
        regime=_LAWS.get(typed.law),
        packed_on=packed_on,
    )
    return typed, reading, faults


def first_at_fault(faults: Iterable[str]) -> str:
    """Give the field of the label to be put right first, in the form's order; or none."""
    order = ("label-text", "label-whole", "label-law", "label-packed")
    return next((field for field in order if field in faults), "")


def _day(written: str) -> date | None:
    try:
        return date.fromisoformat(written if _ISO_DAY.fullmatch(written) else "")
    except ValueError:
        return None
