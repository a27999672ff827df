"""Show who takes what the store can spare and when; add partners, their rules and their windows."""

from dataclasses import replace
from functools import partial
from http import HTTPStatus

from fastapi import Request, Response

from daysworth.answers.partners import opening_answer, partner_answer
from daysworth.api.service import run
from daysworth.db.partners import KeptPartner, add_partner, list_partners, remove_partner
from daysworth.db.transactions import Writing
from daysworth.domain.errors import FieldsRefused, KeyUsed, NotAsItWas, NotThere, PartnerHeld
from daysworth.domain.identifiers import PartnerId
from daysworth.domain.partners import Partner
from daysworth.pages.desk import Desk, desk_for, new_key
from daysworth.pages.doors import Door, behind, form_of, pages_router, store_address
from daysworth.pages.frame import go_to
from daysworth.pages.kits_around import in_words
from daysworth.pages.lot_deeds import seen_revision, sentence
from daysworth.pages.partner_page import DEEDS, do_partner_deed, read_kept, show_partner
from daysworth.pages.promise_page import problems_of
from daysworth.pages.typed_box import Faults
from daysworth.pages.typed_partner import TypedPartner, TypedRule
from daysworth.pages.typed_window import TypedWindow, free_id

router = pages_router(under="/stores/{store}/partners")


@router.get("", openapi_extra=behind(Door.COORDINATOR))
async def partners_page(request: Request) -> Response:
    """List the partners with their windows in words, and show the form that adds one."""
    desk = await desk_for(request)
    return await _show_list(desk, is_removed=request.query_params.get("done") == "remove")


@router.post("", openapi_extra=behind(Door.COORDINATOR))
async def add_one_partner(request: Request) -> Response:
    """Add a partner, and show it: its rules and windows come next."""
    desk = await desk_for(request)
    form = form_of(request)
    typed, key = TypedPartner.of(form), str(form.get("key", ""))[:60]
    faults: Faults = {}
    if typed.read(faults, taken=frozenset()) is None:
        return await _show_list(desk, typed=typed, faults=faults)

    def add(writing: Writing) -> str:
        taken = frozenset(str(one.partner.id) for one in list_partners(writing))
        wanted = typed.read({}, taken=taken)
        assert wanted is not None, "what could be read can be read again"
        return add_partner(writing, wanted).partner.id

    try:
        id_ = await desk.write_once(add, key=key, said=repr(typed))
    except KeyUsed:
        problems = [desk.words.say("fault-sent-before")]
        return await _show_list(desk, typed=typed, problems=problems)
    except (PartnerHeld, FieldsRefused) as refused:
        return await _show_list(desk, typed=typed, problems=problems_of(refused))
    return go_to(store_address(desk.store.id, "partners", id_) + "?done=add")


@router.get("/{partner}", openapi_extra=behind(Door.COORDINATOR))
async def partner_page(request: Request, partner: str) -> Response:
    """Show a partner: its windows with the next dates, what it takes, and forms to change it."""
    desk = await desk_for(request)
    done = request.query_params.get("done", "")
    return await show_partner(desk, partner, done=done if done in DEEDS else "")


@router.post("/{partner}/change", openapi_extra=behind(Door.COORDINATOR))
async def change_one_partner(request: Request, partner: str) -> Response:
    """Change a partner's name and what else is said of it."""
    desk = await desk_for(request)
    typed = TypedPartner.of(form_of(request))
    return await do_partner_deed(
        desk, partner, becomes=typed.put_on, deed="change", said=repr(typed), typed=typed
    )


@router.post("/{partner}/remove", openapi_extra=behind(Door.COORDINATOR))
async def remove_one_partner(request: Request, partner: str) -> Response:
    """Remove a partner that nothing is promised to."""
    desk = await desk_for(request)
    key, seen = str(form_of(request).get("key", ""))[:60], seen_revision(request)

    def remove(writing: Writing) -> str:
        remove_partner(writing, PartnerId(partner), if_revision=seen)
        return partner

    show = partial(show_partner, desk, partner)
    try:
        await desk.write_once(remove, key=key, said=f"partner {partner} remove {seen}")
    except KeyUsed:
        return await show(problems=[desk.words.say("fault-sent-before")], status=409)
    except NotAsItWas:
        return await show(problems=[desk.words.say("fault-changed-since")], status=412)
    except PartnerHeld as refused:
        return await show(problems=problems_of(refused), status=409)
    return go_to(store_address(desk.store.id, "partners") + "?done=remove")


@router.post("/{partner}/rules", openapi_extra=behind(Door.COORDINATOR))
async def set_one_rule(request: Request, partner: str) -> Response:
    """Say what a partner takes of a food group, in the place of what was said of it before."""
    desk = await desk_for(request)
    typed = TypedRule.of(form_of(request))

    def becomes(kept: Partner, faults: Faults) -> Partner | None:
        rule = typed.read(faults)
        if rule is None:
            return None
        others = [one for one in kept.rules if one.group != rule.group]
        # The rule for everything else is read last.
        ordered = sorted((*others, rule), key=lambda one: (one.group is None, one.group or ""))
        return replace(kept, rules=tuple(ordered))

    return await do_partner_deed(
        desk, partner, becomes=becomes, deed="rule", said=str(typed), rule=typed
    )


@router.post("/{partner}/rules/remove", openapi_extra=behind(Door.COORDINATOR))
async def remove_one_rule(request: Request, partner: str) -> Response:
    """Take out the rule for a food group, or that for everything else."""
    desk = await desk_for(request)
    group = str(form_of(request).get("group", ""))[:40]

    def becomes(kept: Partner, _faults: Faults) -> Partner:
        return replace(kept, rules=tuple(one for one in kept.rules if (one.group or "") != group))

    return await do_partner_deed(
        desk, partner, becomes=becomes, deed="rule-remove", said=f"rule of {group}"
    )


@router.post("/{partner}/windows", openapi_extra=behind(Door.COORDINATOR))
async def add_one_window(request: Request, partner: str) -> Response:
    """Add a window, by plain choices."""
    desk = await desk_for(request)
    typed = TypedWindow.of(form_of(request))

    def becomes(kept: Partner, faults: Faults) -> Partner | None:
        asked = typed.read(_window_id(kept, typed), faults)
        if asked is None:
            return None
        return replace(kept, windows=(*kept.windows, asked.window()))

    return await do_partner_deed(
        desk, partner, becomes=becomes, deed="window", said=str(typed), window=typed
    )


@router.post("/{partner}/windows/look", openapi_extra=behind(Door.COORDINATOR))
async def look_at_one_window(request: Request, partner: str) -> Response:
    """Say in words when a window would open, and its next dates. It changes nothing."""
    desk = await desk_for(request)
    typed = TypedWindow.of(form_of(request))
    kept = await read_kept(desk, partner)
    faults: Faults = {}
    asked = typed.read(_window_id(kept.partner, typed), faults)
    if asked is None:
        return await show_partner(desk, partner, window=typed, faults=faults)
    try:
        opening = await run(
            desk.service.reckoners, lambda: opening_answer(asked.window(), at=desk.at)
        )
    except ValueError as fault:
        problems = [sentence(str(fault))]
        return await show_partner(desk, partner, window=typed, problems=problems, status=409)
    return await show_partner(desk, partner, window=typed, looked_at=opening)


@router.post("/{partner}/windows/{window}/remove", openapi_extra=behind(Door.COORDINATOR))
async def remove_one_window(request: Request, partner: str, *, window: str) -> Response:
    """Remove a window that nothing is promised for."""
    desk = await desk_for(request)

    def becomes(kept: Partner, _faults: Faults) -> Partner:
        others = tuple(one for one in kept.windows if one.id != window)
        if len(others) == len(kept.windows):
            raise NotThere(f"{kept.name} has no window {window!r}")
        return replace(kept, windows=others)

    return await do_partner_deed(
        desk, partner, becomes=becomes, deed="window-remove", said=f"window {window}"
    )


def _window_id(partner: Partner, typed: TypedWindow) -> str:
    """Name a window after its choice: what stands in addresses of the API."""
    taken = frozenset(str(one.id) for one in partner.windows)
    return free_id(typed.texts["kind"].replace("_", "-")[:40] or "window", taken)


async def _show_list(
    desk: Desk,
    *,
    typed: TypedPartner | None = None,
    faults: Faults | None = None,
    problems: list[str] | None = None,
    is_removed: bool = False,
) -> Response:
    kept: list[KeptPartner] = await desk.read(list_partners)
    tell = partial(partner_answer, at=desk.at)
    partners = await run(desk.service.reckoners, lambda: [tell(one) for one in kept])
    words = in_words(faults, desk=desk)
    status = HTTPStatus.CONFLICT if problems else HTTPStatus.OK
    return desk.show(
        "partners.html",
        status=HTTPStatus.UNPROCESSABLE_ENTITY if words else status,
        partners=partners,
        typed=typed or TypedPartner(is_nonprofit=True),
        is_removed=is_removed,
        faults=words,
        problems=problems or [],
        key=new_key(),
    )
