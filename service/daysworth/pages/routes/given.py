"""Show what was given away: to partners by month, and apart from it what was at rounds."""

from datetime import date, timedelta
from functools import partial
from http import HTTPStatus
from typing import Final

from fastapi import Request, Response

from daysworth.answers.given import GivenAnswer, GivenAsked, given_answer
from daysworth.db.promises import given_totals
from daysworth.db.stores import read_store
from daysworth.db.transactions import Reading
from daysworth.pages.desk import desk_for
from daysworth.pages.doors import Door, behind, pages_router
from daysworth.pages.kits_around import in_words
from daysworth.pages.typed_box import Faults
from daysworth.pages.typed_days import read_day

router = pages_router(under="/stores/{store}/given")

A_YEAR: Final = timedelta(days=365)


@router.get("", openapi_extra=behind(Door.COORDINATOR))
async def given_page(request: Request) -> Response:
    """Show what was given from one day to another; the last year where no days are named."""
    desk = await desk_for(request)
    usual = {"from": (desk.today - A_YEAR).isoformat(), "to": desk.today.isoformat()}
    typed = {name: request.query_params.get(name, day).strip()[:12] for name, day in usual.items()}
    faults: Faults = {}
    from_on, to_on = (read_day(typed[name]) for name in ("from", "to"))
    for name, day in (("from", from_on), ("to", to_on)):
        if day is None:
            faults[name] = "fault-given-day"
    if from_on is not None and to_on is not None and from_on > to_on:
        faults["from"] = "fault-given-order"
    answer = None
    if not faults and from_on is not None and to_on is not None:
        answer = await desk.read(partial(_given, from_on=from_on, to_on=to_on))
    return desk.show(
        "given.html",
        status=HTTPStatus.UNPROCESSABLE_ENTITY if faults else HTTPStatus.OK,
        answer=answer,
        typed=typed,
        faults=in_words(faults, desk=desk),
    )


def _given(reading: Reading, *, from_on: date, to_on: date) -> GivenAnswer:
    kept = read_store(reading)
    asked = GivenAsked(
        store=kept.id, store_name=kept.name, version=kept.version, from_on=from_on, to_on=to_on
    )
    return given_answer(asked, given_totals(reading, from_on=from_on, to_on=to_on))
