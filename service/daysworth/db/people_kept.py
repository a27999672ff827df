"""Turn members and restrictions into rows, and rows into members and restrictions."""

import json
from collections.abc import Iterable, Sequence
from datetime import date
from functools import cache
from typing import TypeVar

from sqlalchemy import Row

from daysworth.domain.identifiers import MemberId
from daysworth.domain.people import (
    Activity,
    AgeBand,
    InfantFeeding,
    Member,
    PrepregnancyWeight,
    Sex,
)
from daysworth.domain.restrictions import (
    Diet,
    DietLevel,
    FormulaKind,
    Reach,
    Restriction,
    Substance,
)

Kept = str | int | float | bool | date | None
"""What a column holds."""

Word = TypeVar("Word", Sex, Activity, InfantFeeding, Substance, Diet, Reach, DietLevel, FormulaKind)


def member_values(member: Member) -> dict[str, Kept]:
    """Give a member's columns, but for whose it is and how often it was changed."""
    band = member.age_band
    return {
        "id": member.id,
        "born_on": member.born_on,
        "age_from_years": band.from_years if band else None,
        "age_to_years": band.to_years if band else None,
        "sex": member.sex,
        "height_cm": member.height_cm,
        "weight_kg": member.weight_kg,
        "activity": member.activity,
        "appetite": member.appetite,
        "pregnancy_due_on": member.pregnancy_due_on,
        "prepregnancy_weight": member.prepregnancy_weight,
        "breastfeeding_since_on": member.breastfeeding_since_on,
        "infant_feeding": member.infant_feeding,
        "dislikes": json.dumps(member.dislikes) if member.dislikes else None,
    }


def restriction_values(restrictions: Iterable[Restriction]) -> list[dict[str, Kept]]:
    """Give the columns of a member's restrictions, in their order."""
    return [
        {
            "position": position,
            "allergy": one.allergy,
            "diet": one.diet,
            "words": one.words,
            "formula": one.formula,
            "reach": one.reach,
            "accepts_may_contain": one.accepts_may_contain,
            "level": one.level,
            "is_excluding": one.is_excluding,
        }
        for position, one in enumerate(restrictions)
    ]


def member_from(row: Row[tuple[Kept, ...]], restrictions: Sequence[Restriction]) -> Member:
    """Read a member."""
    return Member(
        id=MemberId(row.id),
        born_on=row.born_on,
        age_band=None
        if row.age_from_years is None
        else AgeBand(from_years=row.age_from_years, to_years=row.age_to_years),
        sex=_word(Sex, row.sex),
        height_cm=row.height_cm,
        weight_kg=row.weight_kg,
        activity=_word(Activity, row.activity),
        appetite=row.appetite,
        pregnancy_due_on=row.pregnancy_due_on,
        prepregnancy_weight=PrepregnancyWeight(row.prepregnancy_weight),
        breastfeeding_since_on=row.breastfeeding_since_on,
        infant_feeding=_word(InfantFeeding, row.infant_feeding),
        restrictions=tuple(restrictions),
        dislikes=() if row.dislikes is None else tuple(json.loads(row.dislikes)),
    )


def restriction_from(row: Row[tuple[Kept, ...]]) -> Restriction:
    """Read a restriction."""
    return Restriction(
        allergy=_word(Substance, row.allergy),
        diet=_word(Diet, row.diet),
        words=row.words,
        formula=_word(FormulaKind, row.formula),
        reach=_word(Reach, row.reach),
        accepts_may_contain=bool(row.accepts_may_contain),
        level=_word(DietLevel, row.level),
        is_excluding=bool(row.is_excluding),
    )


@cache
def _word(kind: type[Word], kept: str | None) -> Word | None:
    # Remembered: an enumeration's own look-up is slow, and its words are few.
    return None if kept is None else kind(kept)
