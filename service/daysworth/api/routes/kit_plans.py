"""Plans for packing kits: what the stock makes, what to pick where, and putting it up.

A kit that is for a household is planned by what that household must not eat: every such plan is
logged as a reading of it. Who packs is told the numbers of parcels.
"""

from functools import partial

from fastapi import Response

from daysworth.answers.kit_plan import KitPlanAnswer
from daysworth.answers.store_packing import PlanToKeep
from daysworth.api.access import roles
from daysworth.api.edge import TAKES_KEY, AtEdge, Edge, Made
from daysworth.api.problems import PLANNED, KeyMissing, problems
from daysworth.api.routes import store_router
from daysworth.api.routes.paths import PlanPath
from daysworth.api.schemas.kits import KitPlanIn, KitsPackedOut, kit_out
from daysworth.api.service import run
from daysworth.db.ledger.kits import pack_plan
from daysworth.db.packing_plans import keep_plan
from daysworth.db.transactions import Writing
from daysworth.domain.entries import Role
from daysworth.domain.errors import NotAllowed, NotAsItWas, StockRefused, StoreUnsound
from daysworth.domain.identifiers import HouseholdId, PlaceId

router = store_router(under="/kit-plans")

STAFF = (Role.COORDINATOR, Role.VOLUNTEER)


@router.post(
    "",
    status_code=201,
    response_model=KitPlanAnswer,
    responses=problems(*PLANNED, KeyMissing, NotAsItWas, StoreUnsound),
    dependencies=[TAKES_KEY],
    openapi_extra=roles(*STAFF),
)
async def plan_kits(asked: KitPlanIn, edge: AtEdge) -> Response:
    """Plan kits of the stock, and keep the plan until somebody packs it; nothing is taken yet.

    The answer says how many of each kind can be made, which part of the meal is short and why, and
    what to pick in which place, in walking order. For a household it is for coordinators to ask.
    """
    homes = {one.home for one in asked.kinds if one.home is not None}
    if homes and edge.reader.role is not Role.COORDINATOR:
        raise NotAllowed("kits for a household are for coordinators to plan; pack their plan")
    for home in sorted(homes):
        await edge.disclose("kit plan", household=home)
    planned = None if await edge.was_done() else await _planned(edge, asked)

    def keep(writing: Writing) -> Made:
        assert planned is not None, "what was done already is not done again"
        kept = keep_plan(writing.connection, planned.made, by=writing.by, at=writing.at)
        return Made(told=planned.told(kept), at=edge.address("kit-plans", kept.id))

    return await edge.keep(keep)


@router.get(
    "/{plan}",
    response_model=KitPlanAnswer,
    responses=problems(StoreUnsound),
    openapi_extra=roles(*STAFF),
)
async def read_one_plan(plan: PlanPath, edge: AtEdge) -> Response:
    """Read a plan that was kept: its kits, and what to pick where. Who packs is told parcels."""
    found = await run(edge.service.readers, partial(edge.service.packing.kept, edge.reader, plan))
    for home in sorted({one.household for one in found.kinds if one.household is not None}):
        await edge.disclose("kit plan", household=HouseholdId(home))
    return edge.told(found, of=KitPlanAnswer)


@router.post(
    "/{plan}/pack",
    status_code=201,
    response_model=KitsPackedOut,
    responses=problems(KeyMissing, NotAsItWas, StockRefused),
    dependencies=[TAKES_KEY],
    openapi_extra=roles(*STAFF),
)
async def pack_one_plan(plan: PlanPath, edge: AtEdge) -> Response:
    """Put up all kits of a plan at once, or none where anything it rests on has changed."""

    def pack(writing: Writing) -> Made:
        packed = pack_plan(writing, plan)
        told = KitsPackedOut(plan=plan, kits=[kit_out(one) for one in packed])
        return Made(told=told, at=edge.address("kit-plans", plan))

    return await edge.create(pack)


async def _planned(edge: Edge, asked: KitPlanIn) -> PlanToKeep:
    office, at = edge.service.packing, edge.service.clock()
    return await edge.plan(
        partial(
            office.plan,
            edge.reader,
            [one.kind() for one in asked.kinds],
            place=PlaceId(asked.place),
            at=at,
        )
    )
