"""Patterns: what kits are put together from. Those that come with the release stay as they are."""

from dataclasses import replace

from fastapi import Response

from daysworth.answers.patterns import PatternAnswer, pattern_answer
from daysworth.api.access import roles
from daysworth.api.edge import TAKES_KEY, TAKES_REVISION, TAKES_TAG, AtEdge, Edge, Made
from daysworth.api.paging import ListOut, PageAsked
from daysworth.api.problems import KeyMissing, RevisionMissing, problems
from daysworth.api.routes import store_router
from daysworth.api.routes.food_names import food_names
from daysworth.api.routes.paths import PatternPath
from daysworth.api.schemas.patterns import NewPatternIn, PatternCopyIn, PatternIn
from daysworth.db.pages_of_rows import Page, page_of
from daysworth.db.patterns import (
    KeptPattern,
    add_pattern,
    change_pattern,
    delete_pattern,
    list_patterns,
    read_pattern,
)
from daysworth.db.transactions import Reading, Writing
from daysworth.domain.built_in_patterns import built_in_patterns
from daysworth.domain.entries import Role
from daysworth.domain.errors import NotAsItWas, NotThere, StoreRefused
from daysworth.domain.identifiers import FoodId, PatternId
from daysworth.domain.meal_patterns import MealPattern

router = store_router(under="/patterns")

READERS = (Role.COORDINATOR, Role.VOLUNTEER, Role.SCRIPT)


@router.get(
    "",
    response_model=ListOut[PatternAnswer],
    responses=problems(),
    openapi_extra=roles(*READERS),
)
async def list_all_patterns(edge: AtEdge, page: PageAsked) -> Response:
    """List patterns by id: those that come with the release, and the store's own."""

    def look(reading: Reading) -> Page[PatternAnswer]:
        names = food_names(reading)
        own = list_patterns(reading, after=page.after, limit=page.limit)
        found = [
            *(_told(one.pattern, names=names, revision=one.revision) for one in own.items),
            *(
                _told(one, names=names, revision=None)
                for one in built_in_patterns().values()
                if one.id > page.after
            ),
        ]
        found.sort(key=lambda one: one.id)
        some = found[: page.limit + 1]
        listed = page_of(some, keys=[one.id for one in some], limit=page.limit)
        # The store's own page may have ended before all of its patterns were read.
        if listed.next_after is None and own.next_after is not None:
            return Page(listed.items, own.next_after)
        return listed

    return await edge.show_page(await edge.read(look), told=lambda one: one, paging=page)


@router.post(
    "",
    status_code=201,
    response_model=PatternAnswer,
    responses=problems(KeyMissing),
    dependencies=[TAKES_KEY],
    openapi_extra=roles(Role.COORDINATOR),
)
async def add_one_pattern(asked: NewPatternIn, edge: AtEdge) -> Response:
    """Add a pattern of the store's own."""
    pattern = asked.pattern(PatternId(asked.id))
    return await edge.create(
        lambda writing: _made(writing, add_pattern(writing, pattern), edge=edge)
    )


@router.get(
    "/{pattern}",
    response_model=PatternAnswer,
    responses={**problems(), 304: {"description": "You have it already"}},
    dependencies=[TAKES_TAG],
    openapi_extra=roles(*READERS),
)
async def read_one_pattern(pattern: PatternPath, edge: AtEdge) -> Response:
    """Read a pattern; one that comes with the release has no entity tag."""

    def look(reading: Reading) -> tuple[PatternAnswer, int | None]:
        found, revision = _found(reading, PatternId(pattern))
        return _told(found, names=food_names(reading), revision=revision), revision

    told, revision = await edge.read(look)
    return await edge.show(told, revision=revision)


@router.post(
    "/{pattern}/copy",
    status_code=201,
    response_model=PatternAnswer,
    responses=problems(KeyMissing),
    dependencies=[TAKES_KEY],
    openapi_extra=roles(Role.COORDINATOR),
)
async def copy_one_pattern(pattern: PatternPath, *, asked: PatternCopyIn, edge: AtEdge) -> Response:
    """Copy a pattern under another id: the copy is the store's own, and may be changed."""

    def copy(writing: Writing) -> Made:
        found, _ = _found(writing, PatternId(pattern))
        copied = replace(found, id=PatternId(asked.id), name=asked.name or found.name)
        return _made(writing, add_pattern(writing, copied), edge=edge)

    return await edge.create(copy)


@router.put(
    "/{pattern}",
    response_model=PatternAnswer,
    responses=problems(NotAsItWas, RevisionMissing, StoreRefused),
    dependencies=[TAKES_REVISION, TAKES_KEY],
    openapi_extra=roles(Role.COORDINATOR),
)
async def change_one_pattern(pattern: PatternPath, *, asked: PatternIn, edge: AtEdge) -> Response:
    """Change a pattern of the store's own, given whole. Kits keep what they had of it."""
    _refuse_built_in(pattern)
    changed = asked.pattern(PatternId(pattern))

    def change(writing: Writing) -> Made:
        kept = change_pattern(writing, changed, if_revision=edge.if_revision())
        return _made(writing, kept, edge=edge)

    return await edge.change(change)


@router.delete(
    "/{pattern}",
    status_code=204,
    responses=problems(NotAsItWas, RevisionMissing, StoreRefused),
    dependencies=[TAKES_REVISION],
    openapi_extra=roles(Role.COORDINATOR),
)
async def delete_one_pattern(pattern: PatternPath, edge: AtEdge) -> Response:
    """Delete a pattern of the store's own. Kits keep what they had of it."""
    _refuse_built_in(pattern)

    def delete(writing: Writing) -> Made:
        delete_pattern(writing, PatternId(pattern), if_revision=edge.if_revision())
        return Made(told=None)

    return await edge.change(delete, status=204)


def _refuse_built_in(pattern: str) -> None:
    if PatternId(pattern) in built_in_patterns():
        raise StoreRefused(
            f"pattern {pattern!r} comes with the release and stays as it is: copy it under "
            "another id, and change the copy"
        )


def _found(reading: Reading | Writing, pattern: PatternId) -> tuple[MealPattern, int | None]:
    built_in = built_in_patterns().get(pattern)
    if built_in is not None:
        return built_in, None
    try:
        kept = read_pattern(reading, pattern)
    except NotThere:
        raise NotThere(f"there is no pattern {pattern!r} in this store") from None
    return kept.pattern, kept.revision


def _told(pattern: MealPattern, *, names: dict[FoodId, str], revision: int | None) -> PatternAnswer:
    return pattern_answer(pattern, names=names, revision=revision)


def _made(writing: Writing, kept: KeptPattern, *, edge: Edge) -> Made:
    told = pattern_answer(kept.pattern, names=food_names(writing), revision=kept.revision)
    at = edge.address("patterns", kept.pattern.id)
    return Made(told=told, at=at, revision=kept.revision)
