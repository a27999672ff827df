"""Members of a household, and what they must not eat."""

from fastapi import Response

from daysworth.api.access import roles
from daysworth.api.edge import TAKES_KEY, TAKES_REVISION, TAKES_TAG, AtEdge, Made
from daysworth.api.problems import KeyMissing, RevisionMissing, problems
from daysworth.api.routes import store_router
from daysworth.api.routes.paths import HouseholdPath, MemberPath
from daysworth.api.schemas.households import MemberIn, MemberOut, member_out
from daysworth.db.households import (
    KeptMember,
    add_member,
    change_member,
    check_birth,
    new_member_id,
    read_member,
    remove_member,
)
from daysworth.db.transactions import Writing
from daysworth.domain.entries import Role
from daysworth.domain.errors import NotAsItWas, StockRefused
from daysworth.domain.identifiers import HouseholdId, MemberId

router = store_router(under="/households/{household}/members")

OURS = (Role.COORDINATOR, Role.HOUSEHOLD)


@router.post(
    "",
    status_code=201,
    response_model=MemberOut,
    responses=problems(KeyMissing, StockRefused),
    dependencies=[TAKES_KEY],
    openapi_extra=roles(*OURS),
)
async def add_one_member(household: HouseholdPath, *, asked: MemberIn, edge: AtEdge) -> Response:
    """Add a member to a household."""
    id_, member = HouseholdId(household), asked.kept(new_member_id())
    await edge.disclose("member, as added", household=id_)

    def add(writing: Writing) -> Made:
        check_birth(writing, member)
        kept = add_member(writing, id_, member=member)
        at = edge.address("households", household, "members", kept.facts.id)
        return _made(id_, kept, at=at)

    return await edge.create(add)


@router.get(
    "/{member}",
    response_model=MemberOut,
    responses={**problems(), 304: {"description": "You have it already"}},
    dependencies=[TAKES_TAG],
    openapi_extra=roles(*OURS),
)
async def read_one_member(
    household: HouseholdPath, *, member: MemberPath, edge: AtEdge
) -> Response:
    """Read a member."""
    id_ = HouseholdId(household)
    await edge.disclose("member", household=id_)
    kept = await edge.read(lambda reading: read_member(reading, id_, member=MemberId(member)))
    return await edge.show(member_out(kept), revision=kept.revision)


@router.put(
    "/{member}",
    response_model=MemberOut,
    responses=problems(NotAsItWas, RevisionMissing),
    dependencies=[TAKES_REVISION, TAKES_KEY],
    openapi_extra=roles(*OURS),
)
async def change_one_member(
    household: HouseholdPath,
    *,
    member: MemberPath,
    asked: MemberIn,
    edge: AtEdge,
) -> Response:
    """Put new facts about a member, given whole, for the old ones."""
    id_, changed = HouseholdId(household), asked.kept(MemberId(member))
    await edge.disclose("member, as changed", household=id_)

    def change(writing: Writing) -> Made:
        check_birth(writing, changed)
        revision = edge.if_revision()
        return _made(id_, change_member(writing, id_, member=changed, if_revision=revision))

    return await edge.change(change)


@router.delete(
    "/{member}",
    status_code=204,
    response_class=Response,
    responses=problems(NotAsItWas, RevisionMissing, StockRefused),
    dependencies=[TAKES_REVISION, TAKES_KEY],
    openapi_extra=roles(*OURS),
)
async def remove_one_member(
    household: HouseholdPath, *, member: MemberPath, edge: AtEdge
) -> Response:
    """Take a member out of a household; the last one stays."""

    def remove(writing: Writing) -> Made:
        remove_member(
            writing,
            HouseholdId(household),
            member=MemberId(member),
            if_revision=edge.if_revision(),
        )
        return Made(told=None)

    return await edge.change(remove, status=204)


def _made(household: HouseholdId, kept: KeptMember, *, at: str | None = None) -> Made:
    return Made(told=member_out(kept), at=at, revision=kept.revision, household=household)
