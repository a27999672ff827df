"""Foods: what the catalogue has, the store's own products, and what a barcode says."""

from typing import Annotated

from fastapi import Query, Response

from daysworth.answers.barcodes import MOST_CHARACTERS, gtin_14, read_barcode
from daysworth.api.access import roles
from daysworth.api.edge import TAKES_KEY, TAKES_REVISION, TAKES_TAG, AtEdge, Made
from daysworth.api.paging import ListOut, PageAsked
from daysworth.api.problems import KeyMissing, RevisionMissing, problems
from daysworth.api.routes import store_router
from daysworth.api.routes.paths import FoodPath
from daysworth.api.schemas.foods import BarcodeOut, FoodIn, FoodOut, barcode_out, food_out
from daysworth.api.schemas.labels import FoodLabelsOut, food_labels_out
from daysworth.db.foods import KeptFood, add_food, change_food, find_foods, read_food
from daysworth.db.label_history import FoodLabel, food_labels
from daysworth.db.stores import read_store
from daysworth.db.transactions import Reading, Writing, day_there, new_id
from daysworth.domain.entries import Role
from daysworth.domain.errors import NotAsItWas
from daysworth.domain.identifiers import FoodId

router = store_router()

HANDS = (Role.COORDINATOR, Role.VOLUNTEER, Role.HOUSEHOLD)
_FOODS_OF_A_BARCODE = 20


@router.get(
    "/foods", response_model=ListOut[FoodOut], responses=problems(), openapi_extra=roles(*Role)
)
async def search_foods(
    edge: AtEdge,
    page: PageAsked,
    *,
    words: Annotated[str, Query(max_length=120, description="Every word must match.")] = "",
    gtin: Annotated[str | None, Query(max_length=14, description="The number on it.")] = None,
) -> Response:
    """Find foods by words, or by the trade item number on the pack."""
    number = None if gtin is None else gtin_14(gtin)
    found = await edge.read(
        lambda reading: find_foods(
            reading, words=words, gtin=number, after=page.after, limit=page.limit
        )
    )
    return await edge.show_page(found, told=food_out, paging=page)


@router.post(
    "/foods",
    status_code=201,
    response_model=FoodOut,
    responses=problems(KeyMissing),
    dependencies=[TAKES_KEY],
    openapi_extra=roles(Role.COORDINATOR, Role.VOLUNTEER),
)
async def add_one_food(asked: FoodIn, edge: AtEdge) -> Response:
    """Add a labelled product with the figures of its label, for one serving.

    They are converted to 100 g. Energy more than 20 % from 4, 4 and 9 kcal a gram is flagged.
    """

    def add(writing: Writing) -> Made:
        food = asked.food(FoodId(new_id("F")))
        kept = add_food(writing, food, gtin=asked.number(), label=asked.label())
        at = edge.address("foods", kept.food.id)
        return Made(told=food_out(kept), at=at, revision=kept.revision)

    return await edge.create(add)


@router.get(
    "/foods/{food}",
    response_model=FoodOut,
    responses={**problems(), 304: {"description": "You have it already"}},
    dependencies=[TAKES_TAG],
    openapi_extra=roles(*Role),
)
async def read_one_food(food: FoodPath, edge: AtEdge) -> Response:
    """Read a food."""
    kept = await edge.read(lambda reading: read_food(reading, FoodId(food)))
    return await edge.show(food_out(kept), revision=kept.revision if kept.is_own else None)


@router.get(
    "/foods/{food}/labels",
    response_model=FoodLabelsOut,
    responses=problems(),
    openapi_extra=roles(*Role),
)
async def read_food_labels(food: FoodPath, edge: AtEdge) -> Response:
    """Read the labels of a food that were read here, to ask whether a new box has the same.

    A household sees those of its own lots.
    """
    id_, mine = FoodId(food), edge.reader.household

    def look(reading: Reading) -> list[FoodLabel]:
        read_food(reading, id_)
        return food_labels(reading, id_, owner=mine)

    return await edge.show(food_labels_out(food, await edge.read(look)))


@router.put(
    "/foods/{food}",
    response_model=FoodOut,
    responses=problems(NotAsItWas, RevisionMissing),
    dependencies=[TAKES_REVISION, TAKES_KEY],
    openapi_extra=roles(Role.COORDINATOR),
)
async def change_one_food(food: FoodPath, *, asked: FoodIn, edge: AtEdge) -> Response:
    """Put new figures of a food of the store's own, given whole, for the old ones."""

    def change(writing: Writing) -> Made:
        kept = change_food(
            writing,
            asked.food(FoodId(food)),
            gtin=asked.number(),
            label=asked.label(),
            if_revision=edge.if_revision(),
        )
        return Made(told=food_out(kept), revision=kept.revision)

    return await edge.change(change)


@router.get(
    "/barcodes",
    response_model=BarcodeOut,
    responses=problems(),
    openapi_extra=roles(*HANDS),
)
async def read_one_barcode(
    edge: AtEdge,
    *,
    scanned: Annotated[
        str,
        Query(
            min_length=1,
            max_length=MOST_CHARACTERS,
            description="A trade item number, or a GS1 element string with %1D for FNC1.",
            examples=["(01)09521234543213(15)261231(10)ABC123"],
        ),
    ],
) -> Response:
    """Read a barcode: its check digit, its date and code, and the foods that have its number."""

    def look(reading: Reading) -> BarcodeOut:
        today = day_there(read_store(reading).settings, at=edge.service.clock())
        pack = read_barcode(scanned, read_in_year=today.year)
        foods: list[KeptFood] = []
        if pack.gtin is not None:
            found = find_foods(
                reading, words="", gtin=pack.gtin, after="", limit=_FOODS_OF_A_BARCODE
            )
            foods = list(found.items)
        return barcode_out(pack, foods)

    return await edge.show(await edge.read(look))
