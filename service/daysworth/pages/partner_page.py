"""Show the page of one partner, and change the partner once: what its routes share."""

from collections.abc import Callable
from functools import partial
from http import HTTPStatus
from typing import Final

from fastapi import Response

from daysworth.answers.partners import OpeningAnswer, partner_answer
from daysworth.api.service import run
from daysworth.db.partners import KeptPartner, change_partner, read_partner
from daysworth.db.transactions import Writing
from daysworth.domain.errors import FieldsRefused, KeyUsed, NotAsItWas, PartnerHeld
from daysworth.domain.identifiers import PartnerId
from daysworth.domain.partners import Partner
from daysworth.pages.desk import Desk, new_key
from daysworth.pages.doors import form_of, store_address
from daysworth.pages.frame import go_to
from daysworth.pages.kits_around import in_words
from daysworth.pages.lot_deeds import seen_revision, sentence
from daysworth.pages.promise_page import problems_of
from daysworth.pages.typed_box import Faults
from daysworth.pages.typed_partner import GROUPS, TAKES, TypedPartner, TypedRule
from daysworth.pages.typed_window import (
    IN_ORDER,
    KINDS,
    NTHS,
    WEEKDAYS,
    TypedWindow,
    in_page_order,
)

Change = Callable[[Partner, Faults], Partner | None]
"""What becomes of a partner; None: what is wrong was noted."""

DEEDS: Final = frozenset({"add", "change", "rule", "rule-remove", "window", "window-remove"})


async def do_partner_deed(
    desk: Desk,
    partner: str,
    *,
    becomes: Change,
    deed: str,
    said: str,
    typed: TypedPartner | None = None,
    rule: TypedRule | None = None,
    window: TypedWindow | None = None,
) -> Response:
    """Change a partner once for the form's key, and show it; or show what stood against it."""
    key = str(form_of(desk.request).get("key", ""))[:60]
    show = partial(show_partner, desk, partner, typed=typed, rule=rule, window=window)
    faults: Faults = {}
    try:
        wanted = None
        if not await desk.was_done(key):
            wanted = await _wanted(desk, partner, becomes=becomes, faults=faults)
            if wanted is None:
                return await show(faults=faults)
        work = partial(_change, partner=partner, wanted=wanted, seen=seen_revision(desk.request))
        await desk.write_once(work, key=key, said=f"partner {partner} {deed} {said}")
    except KeyUsed:
        return await show(problems=[desk.words.say("fault-sent-before")], status=409)
    except NotAsItWas:
        return await show(problems=[desk.words.say("fault-changed-since")], status=412)
    except (PartnerHeld, FieldsRefused) as refused:
        return await show(problems=problems_of(refused), status=409)
    except ValueError as fault:
        return await show(problems=[sentence(str(fault))], status=409)
    return go_to(store_address(desk.store.id, "partners", partner) + f"?done={deed}")


async def _wanted(desk: Desk, partner: str, *, becomes: Change, faults: Faults) -> Partner | None:
    """Give what the partner becomes, away from whoever else asks: windows take a while to check.

    Raises NotThere, NotAsItWas, FieldsRefused; ValueError, in words, for windows that overlap.
    """
    kept = await read_kept(desk, partner)
    if kept.revision != seen_revision(desk.request):
        raise NotAsItWas(f"partner {partner!r} was changed since you looked")
    return await run(desk.service.reckoners, partial(becomes, kept.partner, faults))


def _change(writing: Writing, *, partner: str, wanted: Partner | None, seen: int) -> str:
    if wanted is None:
        raise NotAsItWas(f"partner {partner!r} was changed since you looked")
    return change_partner(writing, PartnerId(partner), partner=wanted, if_revision=seen).partner.id


async def read_kept(desk: Desk, partner: str) -> KeptPartner:
    """Read a partner. Raises NotThere."""
    return await desk.read(lambda reading: read_partner(reading, PartnerId(partner)))


async def show_partner(
    desk: Desk,
    partner: str,
    *,
    typed: TypedPartner | None = None,
    rule: TypedRule | None = None,
    window: TypedWindow | None = None,
    looked_at: OpeningAnswer | None = None,
    faults: Faults | None = None,
    problems: list[str] | None = None,
    done: str = "",
    status: int = HTTPStatus.OK,
) -> Response:
    """Show a partner, with what was typed and what is wrong with it. Raises NotThere.

    `looked_at` is a window that was asked about and is not added.
    """
    kept = await read_kept(desk, partner)
    answer = await run(desk.service.reckoners, partial(partner_answer, kept, at=desk.at))
    timezone = desk.store.settings.timezone
    words = in_words(in_page_order(faults or {}), desk=desk)
    return desk.show(
        "partner.html",
        status=HTTPStatus.UNPROCESSABLE_ENTITY if words else status,
        partner=answer,
        revision=kept.revision,
        typed=typed or TypedPartner.as_kept(kept.partner),
        rule=rule or TypedRule(),
        window=window or TypedWindow.usual(today=desk.today, timezone=timezone),
        looked_at=looked_at,
        kinds=KINDS,
        weekdays=WEEKDAYS,
        nths=NTHS,
        months=IN_ORDER,
        groups=GROUPS,
        takes=TAKES,
        faults=words,
        problems=problems or [],
        done=done,
        key=new_key(),
    )
