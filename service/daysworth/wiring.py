"""Put the service together: the one place where its parts are chosen. Nothing is done at import."""

from collections.abc import AsyncIterator, Callable
from concurrent.futures import ThreadPoolExecutor
from contextlib import asynccontextmanager
from datetime import UTC, datetime
from typing import Final

from fastapi import FastAPI
from sqlalchemy import Engine

from daysworth.answers.answer_cache import AnswerCache
from daysworth.answers.kept_snapshots import KeptSnapshots
from daysworth.answers.planning_pool import PlanningPool
from daysworth.answers.reference_data import reference_fingerprint, release
from daysworth.answers.store_calendar import CalendarOffice
from daysworth.answers.store_comparison import ComparisonOffice
from daysworth.answers.store_coverage import CoverageOffice
from daysworth.answers.store_kits import KitOffice
from daysworth.answers.store_notices import NoticeOffice
from daysworth.answers.store_packing import PackingOffice
from daysworth.answers.store_rounds import RoundOffice
from daysworth.answers.store_suitability import SuitabilityOffice
from daysworth.answers.store_surplus import SurplusOffice
from daysworth.answers.store_timeline import TimelineOffice
from daysworth.answers.store_wish_list import WishListOffice
from daysworth.api.openapi import describe
from daysworth.api.problems import answer_errors
from daysworth.api.routes import (
    about,
    bring_list,
    calendar,
    comparison,
    coverage,
    delivery_notes,
    foods,
    given,
    households,
    intake,
    kit_labels,
    kit_plans,
    kits,
    ledger,
    lots,
    members,
    notices,
    parcels,
    partners,
    patterns,
    places,
    promises,
    rounds,
    snapshot,
    stores,
    suitability,
    surplus,
    timeline,
    wares,
    wish_list,
)
from daysworth.api.service import Service
from daysworth.db.engine import is_sqlite
from daysworth.pages.refusals import answer_page_errors
from daysworth.pages.routes import bring_list as bring_list_pages
from daysworth.pages.routes import calendar as calendar_pages
from daysworth.pages.routes import comparison as comparison_pages
from daysworth.pages.routes import given as given_pages
from daysworth.pages.routes import households as household_pages
from daysworth.pages.routes import kit_deeds as kit_deed_pages
from daysworth.pages.routes import kits as kit_pages
from daysworth.pages.routes import (
    labels,
    links,
    log,
    log_labels,
    notice,
    sign_in,
    static,
    summary,
)
from daysworth.pages.routes import lots as lot_pages
from daysworth.pages.routes import parcels as parcel_pages
from daysworth.pages.routes import partners as partner_pages
from daysworth.pages.routes import promises as promise_pages
from daysworth.pages.routes import round as round_pages
from daysworth.pages.routes import surplus as surplus_pages
from daysworth.pages.routes import timeline as timeline_pages
from daysworth.pages.routes import wish_list as wish_list_pages

PLANNERS: Final = 2
MOST_WAITING_TO_PLAN: Final = 16
"""Questions beyond those that are being planned; whoever asks one more is told to come back."""

PLANNING_SECONDS: Final = 60.0
RECKONERS: Final = 2
READERS: Final = 4
"""Short reads; more threads than this take turns at the interpreter more than they read."""

WRITERS_OF_A_SERVER: Final = 8
"""Connections of one process that may write to PostgreSQL at once, to different stores."""

HASHERS: Final = 2
"""Checking a password takes 64 MB while it lasts."""

NOTICE_BYTES: Final = 8 * 1024 * 1024
WISH_LIST_BYTES: Final = 8 * 1024 * 1024
TIMELINE_BYTES: Final = 32 * 1024 * 1024
COMPARISON_BYTES: Final = 16 * 1024 * 1024
ROUND_BYTES: Final = 16 * 1024 * 1024
SURPLUS_BYTES: Final = 32 * 1024 * 1024

_ROOMS: Final = (
    about,
    stores,
    places,
    households,
    members,
    parcels,
    foods,
    intake,
    lots,
    ledger,
    snapshot,
    coverage,
    comparison,
    notices,
    suitability,
    timeline,
    wish_list,
    bring_list,
    patterns,
    wares,
    kit_plans,
    # Before kits: "labels" would else be the id of one.
    kit_labels,
    kits,
    rounds,
    partners,
    surplus,
    promises,
    delivery_notes,
    given,
    calendar,
)

_PAGES: Final = (
    sign_in,
    summary,
    household_pages,
    parcel_pages,
    lot_pages,
    labels,
    # Their labels before any one of them: "labels" would else be the id of a kit.
    kit_pages,
    kit_deed_pages,
    round_pages,
    surplus_pages,
    promise_pages,
    partner_pages,
    given_pages,
    calendar_pages,
    links,
    notice,
    comparison_pages,
    timeline_pages,
    wish_list_pages,
    bring_list_pages,
    log,
    log_labels,
    static,
)


def now() -> datetime:
    """Give the instant, aware, by this machine's clock."""
    return datetime.now(UTC)


def build_service(
    engine: Engine,
    *,
    clock: Callable[[], datetime] = now,
    site: str = "",
    planning_s: float = PLANNING_SECONDS,
) -> Service:
    """Choose the parts of a service for a database and a clock.

    `site` is where its pages are reached from outside, if not as each browser reached them;
    `planning_s` is how many seconds a plan may take.
    """
    snapshots = KeptSnapshots(engine)
    rests_on = (release(), reference_fingerprint())
    writers = 1 if is_sqlite(engine) else WRITERS_OF_A_SERVER
    return Service(
        engine=engine,
        calendars=CalendarOffice(engine, snapshots=snapshots),
        coverage=CoverageOffice(
            engine,
            cache=AnswerCache(),
            release=release(),
            reference=reference_fingerprint(),
        ),
        comparisons=_comparisons(engine, snapshots=snapshots, rests_on=rests_on),
        kits=KitOffice(engine, snapshots=snapshots),
        notices=NoticeOffice(engine, cache=AnswerCache(most_bytes=NOTICE_BYTES), rests_on=rests_on),
        packing=PackingOffice(engine, snapshots=snapshots),
        rounds=_rounds(engine, snapshots=snapshots, rests_on=rests_on),
        suitability=SuitabilityOffice(engine, snapshots=snapshots),
        surplus=_surplus(engine, snapshots=snapshots, rests_on=rests_on),
        timelines=TimelineOffice(
            engine, cache=AnswerCache(most_bytes=TIMELINE_BYTES), rests_on=rests_on
        ),
        wishes=WishListOffice(
            engine, cache=AnswerCache(most_bytes=WISH_LIST_BYTES), rests_on=rests_on
        ),
        clock=clock,
        writers=ThreadPoolExecutor(writers, "write"),
        readers=ThreadPoolExecutor(READERS, "read"),
        planners=PlanningPool(
            threads=PLANNERS, most_waiting=MOST_WAITING_TO_PLAN, limit_s=planning_s
        ),
        reckoners=ThreadPoolExecutor(RECKONERS, "reckon"),
        hashers=ThreadPoolExecutor(HASHERS, "hash"),
        site=site.rstrip("/"),
    )


def _comparisons(
    engine: Engine, *, snapshots: KeptSnapshots, rests_on: tuple[str, str]
) -> ComparisonOffice:
    return ComparisonOffice(
        engine,
        snapshots=snapshots,
        cache=AnswerCache(most_bytes=COMPARISON_BYTES),
        rests_on=rests_on,
    )


def _rounds(engine: Engine, *, snapshots: KeptSnapshots, rests_on: tuple[str, str]) -> RoundOffice:
    return RoundOffice(
        engine,
        snapshots=snapshots,
        cache=AnswerCache(most_bytes=ROUND_BYTES),
        rests_on=rests_on,
    )


def _surplus(
    engine: Engine, *, snapshots: KeptSnapshots, rests_on: tuple[str, str]
) -> SurplusOffice:
    return SurplusOffice(
        engine,
        snapshots=snapshots,
        cache=AnswerCache(most_bytes=SURPLUS_BYTES),
        rests_on=rests_on,
    )


def shut_down(service: Service, *, drop_waiting: bool) -> None:
    """End a service's threads when they have done what they are at.

    Where what waits is dropped, plans on their way are stopped.
    """
    service.planners.shut_down(drop_waiting=drop_waiting)
    for executor in (service.reckoners, service.hashers, service.readers, service.writers):
        executor.shutdown(wait=True, cancel_futures=drop_waiting)


def build_app(service: Service) -> FastAPI:
    """Build the application around a service."""

    @asynccontextmanager
    async def lifespan(_app: FastAPI) -> AsyncIterator[None]:
        yield
        shut_down(service, drop_waiting=True)
        service.engine.dispose()

    app = FastAPI(
        title="Daysworth",
        version=release(),
        summary="Pooled emergency food for a neighbourhood or congregation, counted in days.",
        lifespan=lifespan,
        redirect_slashes=False,
        # The pages of documentation load scripts from elsewhere; the description itself does not.
        docs_url=None,
        redoc_url=None,
        openapi_url="/v1/openapi.json",
    )
    app.state.service = service
    answer_errors(app)
    for room in _ROOMS:
        app.include_router(room.router)
    for page in _PAGES:
        app.include_router(page.router)
    answer_page_errors(app)
    describe(app)
    return app
