"""Gather what pages of kits share: names of homes and places, the next round, sheets for labels."""

from dataclasses import dataclass
from datetime import date
from functools import partial
from typing import Final

from daysworth.answers.kit_list import KitSummary
from daysworth.answers.store_kits import KitsAsked
from daysworth.api.service import run
from daysworth.db.households import household_names
from daysworth.db.kits import KitChoice
from daysworth.db.pages_of_rows import Page
from daysworth.db.places import KeptPlace, every_place
from daysworth.db.transactions import Reading
from daysworth.domain.typed_dates import DateOrder
from daysworth.pages.desk import Desk
from daysworth.pages.kits_page import Names
from daysworth.pages.typed_box import Faults
from daysworth.printing.label_sheets import LabelSheet, sheet_in_words

MOST_KITS: Final = 1_000
"""Kits are a line each, and are printed: a store has fewer than this."""


@dataclass(frozen=True, slots=True)
class Around:
    """The places of a store, and the names of its households."""

    places: list[KeptPlace]
    names: Names


async def around(desk: Desk) -> Around:
    """Gather the names that a page of kits is read with."""

    def look(reading: Reading) -> Around:
        return Around(every_place(reading), household_names(reading))

    return await desk.read(look)


async def next_round(desk: Desk) -> date | None:
    """Give the next round after today; None: the store's rule has none within two years."""
    ask = partial(desk.service.rounds.rounds, desk.store.id, at=desk.at)
    coming = (await run(desk.service.readers, ask)).coming
    return coming[0] if coming else None


async def all_closed(desk: Desk, *, after: str = "") -> Page[KitSummary]:
    """List closed kits by id, as many as a page shows."""
    asked = KitsAsked(choice=KitChoice(), after=after, limit=MOST_KITS)
    ask = partial(desk.service.kits.kits, desk.reader, asked=asked, at=desk.at)
    return await run(desk.service.reckoners, ask)


async def to_look_at(desk: Desk) -> frozenset[str]:
    """Find the kits that somebody has to look at again before anybody eats of them."""
    found: set[str] = set()
    after: str | None = ""
    while after is not None:
        page = await all_closed(desk, after=after)
        found.update(kit.id for kit in page.items if kit.changed_since_packing)
        after = page.next_after
    return frozenset(found)


def sheets(desk: Desk) -> list[tuple[str, str]]:
    """Give the sheets that labels are printed on, each in words."""
    return [(str(one), sheet_in_words(one, words=desk.words)) for one in LabelSheet]


def usual_sheet(desk: Desk) -> str:
    """Give the sheet that a store prints on unless it chooses another: four labels to a page.

    Where dates are written with the month first, paper is of US Letter size (common practice).
    """
    is_us = desk.words.date_order is DateOrder.MONTH
    return str(LabelSheet.LETTER_4 if is_us else LabelSheet.A4_4)


def in_words(faults: Faults | None, *, desk: Desk) -> dict[str, str]:
    """Say what is wrong with fields: a message by its key, and a sentence as it is."""
    return {
        field: desk.words.say(fault) if fault.startswith("fault-") else fault
        for field, fault in (faults or {}).items()
    }
