"""Show what each parcel must not contain, by its number, and whether a thing may go in one."""

from dataclasses import dataclass
from functools import partial
from http import HTTPStatus
from typing import Final

from fastapi import Request, Response

from daysworth.answers.parcels import LONGEST_WORDS, ParcelCheckAnswer
from daysworth.answers.store_suitability import ThingAsked
from daysworth.answers.suitability_in_words import FindingAnswer
from daysworth.answers.warnings import must_not_contain
from daysworth.api.service import run
from daysworth.db.households import list_parcels
from daysworth.domain.cautions import Topic, cautions_on
from daysworth.domain.errors import BarcodeRefused, InputRefused, NotThere
from daysworth.domain.identifiers import is_plain
from daysworth.domain.verdicts import Verdict
from daysworth.pages.desk import Desk, desk_for
from daysworth.pages.doors import Door, behind, pages_router
from daysworth.pages.household_pages import needs_of
from daysworth.pages.lot_deeds import sentence
from daysworth.pages.typed_box import (
    MOST_BARCODE_CHARACTERS,
    SEPARATOR,
    Faults,
    digits_of,
    is_scanned,
    whole_number,
)

router = pages_router(under="/stores/{store}/parcels")

A_PAGE: Final = 1_000
"""Parcels are a line each, and are printed: a store has fewer than this."""

MOST_CANDIDATES: Final = 20
_GTIN_LENGTHS: Final = frozenset({8, 12, 13, 14})


@dataclass(frozen=True, slots=True)
class _Typed:
    """What was asked: of which parcel, of what in words or figures, or of one lot."""

    number: str
    what: str
    lot: str

    @property
    def is_asked(self) -> bool:
        """Tell whether anything was."""
        return bool(self.number or self.what or self.lot)


@router.get("", openapi_extra=behind(Door.COORDINATOR))
async def parcels_page(request: Request) -> Response:
    """List the parcels; and where a question is asked, answer it. Nothing is changed by it."""
    desk = await desk_for(request)
    asked = request.query_params
    typed = _Typed(
        asked.get("number", "").strip()[:12],
        asked.get("what", "").strip()[: MOST_BARCODE_CHARACTERS + 1],
        asked.get("lot", "").strip()[:65],
    )
    faults: Faults = {}
    is_asked = typed.is_asked or "number" in asked
    answer = await _answer(desk, typed, faults=faults) if is_asked else None
    after = whole_number(asked.get("after", "")) or 0
    await desk.disclose("parcels")
    found = await desk.read(partial(list_parcels, after=after, limit=A_PAGE))
    said = {
        field: desk.words.say(fault) if fault.startswith("fault-") else sentence(fault)
        for field, fault in faults.items()
    }
    return desk.show(
        "parcels.html",
        status=HTTPStatus.UNPROCESSABLE_ENTITY if faults else HTTPStatus.OK,
        parcels=[
            (kept.parcel_number, must_not_contain(needs_of(kept, on=desk.today)))
            for kept in found.items
        ],
        next_after=found.next_after,
        typed=typed,
        answer=answer,
        asked=_named(answer, lot="" if typed.what else typed.lot),
        not_for_all=_not_for_all(answer),
        faults=said,
        most_candidates=MOST_CANDIDATES,
        cautions=answer.cautions if answer else cautions_on({Topic.FOOD, Topic.ALLERGY}),
    )


async def _answer(desk: Desk, typed: _Typed, *, faults: Faults) -> ParcelCheckAnswer | None:
    """Answer what was asked; or note what is wrong with it, by field."""
    number, thing = whole_number(typed.number), _thing(typed)
    if not number:
        faults["number"] = "fault-parcel-number"
    if thing is None:
        faults["what"] = "fault-parcel-what"
    if not number or thing is None:
        return None
    await desk.disclose(f"parcel {number}")
    office = desk.service.suitability
    ask = partial(office.parcel, desk.reader, number, thing=thing, at=desk.at)
    try:
        return await run(desk.service.reckoners, ask)
    except NotThere as refused:
        faults["number"] = str(refused)
    except BarcodeRefused as refused:
        faults["what"] = str(refused)
    except InputRefused:
        faults["what"] = "fault-parcel-what"
    return None


def _not_for_all(answer: ParcelCheckAnswer | None) -> list[FindingAnswer]:
    """Give what keeps a food from some members of a home, though it may go in: each need once."""
    found = {
        (finding.need, finding.words): finding
        for one in (() if answer is None else answer.candidates)
        for finding in one.findings
        if finding.verdict in (Verdict.UNSUITABLE, Verdict.UNKNOWN)
    }
    return list(found.values())


def _named(answer: ParcelCheckAnswer | None, *, lot: str) -> str:
    """Give what was asked about, in words: a lot's food where it was a lot."""
    if answer is None:
        return ""
    return answer.candidates[0].food_name if lot and answer.candidates else answer.asked


def _thing(typed: _Typed) -> ThingAsked | None:
    """Tell words, a barcode as it was typed or scanned, and a lot apart; None: it is none."""
    what = typed.what
    if typed.lot and not what:
        return ThingAsked(lot=typed.lot) if is_plain(typed.lot) and len(typed.lot) <= 64 else None
    if is_scanned(what) or len(digits_of(what)) in _GTIN_LENGTHS:
        is_read = is_plain(what.replace(SEPARATOR, "")) and len(what) <= MOST_BARCODE_CHARACTERS
        return ThingAsked(scanned=digits_of(what) or what) if is_read else None
    is_said = is_plain(what) and len(what) <= LONGEST_WORDS and any(map(str.isalnum, what))
    return ThingAsked(words=what) if is_said else None
