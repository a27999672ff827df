"""What was given away: to partners by month, and at rounds."""

from datetime import date, timedelta
from typing import Annotated

from fastapi import Query, Response

from daysworth.answers.given import GivenAnswer, GivenAsked, given_answer
from daysworth.api.access import roles
from daysworth.api.edge import AtEdge
from daysworth.api.problems import problems
from daysworth.api.routes import store_router
from daysworth.api.schemas.plain import Day
from daysworth.db.promises import given_totals
from daysworth.db.stores import read_store
from daysworth.db.transactions import Reading, day_there
from daysworth.domain.entries import Role
from daysworth.domain.errors import Fault, FieldsRefused

router = store_router()

A_YEAR = timedelta(days=365)


@router.get(
    "/given",
    response_model=GivenAnswer,
    responses=problems(),
    openapi_extra=roles(Role.COORDINATOR, Role.SCRIPT),
)
async def total_given(
    edge: AtEdge,
    *,
    from_on: Annotated[
        Day | None, Query(description="The first day; a year before the last if not given.")
    ] = None,
    to_on: Annotated[Day | None, Query(description="The last day; today if not given.")] = None,
) -> Response:
    """Total what went to partners, by partner and month, and apart what was given at rounds.

    In units, kilograms and energy, and as meals by a published conversion of mass.
    """
    for name, day in (("from_on", from_on), ("to_on", to_on)):
        if day is not None and not 2010 <= day.year <= 2090:
            raise FieldsRefused((Fault(name, "must be a day from 2010 to 2090"),))

    def look(reading: Reading) -> GivenAnswer:
        kept = read_store(reading)
        last = to_on or day_there(kept.settings, at=edge.service.clock())
        first = from_on or last - A_YEAR
        _check_order(first, last)
        asked = GivenAsked(
            store=kept.id,
            store_name=kept.name,
            version=kept.version,
            from_on=first,
            to_on=last,
        )
        return given_answer(asked, given_totals(reading, from_on=first, to_on=last))

    return edge.told(await edge.read(look), of=GivenAnswer)


def _check_order(from_on: date, to_on: date) -> None:
    if from_on > to_on:
        raise FieldsRefused((Fault("from_on", "is after to_on"),))
