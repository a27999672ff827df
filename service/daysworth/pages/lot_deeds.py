"""Show the page of one lot, and do a deed on it once: what the routes of a lot share."""

from collections.abc import Callable
from dataclasses import dataclass
from functools import partial
from http import HTTPStatus
from typing import Final

from fastapi import Request, Response

from daysworth.db.ledger.held import Held
from daysworth.db.transactions import Writing
from daysworth.domain.cautions import Topic, cautions_on
from daysworth.domain.errors import FieldsRefused, KeyUsed, NotAsItWas, StockRefused
from daysworth.domain.identifiers import LotId, is_plain
from daysworth.domain.label_dates import LabelKind
from daysworth.domain.labels import Regime
from daysworth.pages.box_review import Choice
from daysworth.pages.desk import Desk, new_key
from daysworth.pages.doors import form_of, store_address
from daysworth.pages.frame import go_to
from daysworth.pages.label_part import MOST_IN_SIGHT
from daysworth.pages.lot_page import load_lot
from daysworth.pages.typed_box import Faults, TypedBox, whole_number
from daysworth.pages.typed_label import ALLERGENS, LANGUAGES, TypedLabel, first_at_fault

Deed = Callable[[Writing], Held]

MOST_WHY: Final = 400
DEEDS: Final = frozenset({"name", "date", "throw-out", "release", "label", "settle"})


@dataclass(frozen=True, slots=True, kw_only=True)
class TypedSettling:
    """Which readings were chosen to hold, by number, and why, as typed."""

    keep: frozenset[int] = frozenset()
    why: str = ""


async def do_deed(
    desk: Desk, lot: str, *, work: Deed, deed: str, said: str, label: TypedLabel | None = None
) -> Response:
    """Do a deed once for the form's key, and show the lot; or show what stood against it."""
    key = str(form_of(desk.request).get("key", ""))[:60]
    show = partial(show_lot, desk, lot, label=label)
    try:
        await desk.write_once(
            lambda writing: work(writing).id, key=key, said=f"{lot} {deed} {said}"
        )
    except KeyUsed:
        return await show(problem=desk.words.say("fault-sent-before"), status=409)
    except NotAsItWas:
        return await show(problem=desk.words.say("fault-changed-since"), status=412)
    except (StockRefused, FieldsRefused) as refused:
        return await show(problem=sentence(str(refused)), status=409)
    return go_to(store_address(desk.store.id, "lots", lot) + f"?done={deed}")


async def show_lot(
    desk: Desk,
    lot: str,
    *,
    typed: TypedBox | None = None,
    label: TypedLabel | None = None,
    settling: TypedSettling | None = None,
    faults: Faults | None = None,
    choice: Choice | None = None,
    readings: list[str] | None = None,
    problem: str = "",
    done: str = "",
    status: int = HTTPStatus.OK,
) -> Response:
    """Show a lot, with what was typed and what is wrong with it. Raises NotThere."""
    shown = await desk.read(partial(load_lot, lot=LotId(lot), store=desk.store))
    said = {
        field: desk.words.say(fault) if fault.startswith("fault-") else sentence(fault)
        for field, fault in (faults or {}).items()
    }
    return desk.show(
        "lot.html",
        status=HTTPStatus.UNPROCESSABLE_ENTITY if said else status,
        shown=shown,
        typed=typed or TypedBox(),
        label=label or TypedLabel(),
        settling=settling or TypedSettling(),
        faults=said,
        focus=first_at_fault(said),
        choice=choice,
        readings=readings or [],
        problem=problem,
        done=done,
        key=new_key(),
        kinds=[str(kind) for kind in LabelKind],
        allergens=ALLERGENS,
        laws=[str(law) for law in Regime],
        languages=LANGUAGES,
        most_in_sight=MOST_IN_SIGHT,
        last_day=desk.today.isoformat(),
        cautions=cautions_on({Topic.FOOD, Topic.ALLERGY}),
    )


def seen_revision(request: Request) -> int:
    """Give the revision that the form was made from; none that is there, where it is not told."""
    return whole_number(str(form_of(request).get("revision", ""))) or 0


def why_of(request: Request) -> str:
    """Give the reason that a form gives; empty where it is none that can be kept."""
    why = str(form_of(request).get("why", "")).strip()
    return why if is_plain(why) and len(why) <= MOST_WHY else ""


def sentence(text: str) -> str:
    """Write the words of a refusal as a sentence."""
    return text[:1].upper() + text[1:] + ("" if text.endswith(".") else ".")
