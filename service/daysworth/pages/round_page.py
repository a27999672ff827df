"""Lay out a round for working it: place by place, a box to tick for each, what was done so far.

A tick says that it was done. At first those are ticked by which nothing is thrown away and nobody
is handed anything before the day of the visit; what is thrown away somebody ticks who has seen it.
"""

from collections.abc import Collection, Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from datetime import date
from typing import Final, Self

from starlette.datastructures import FormData

from daysworth.answers.round_plan import (
    LookedAtAnswer,
    PortionAnswer,
    ProposalAnswer,
    RoundPlanAnswer,
)
from daysworth.answers.round_settling import Accepted, accepted, is_past
from daysworth.domain.errors import NotAsItWas
from daysworth.domain.identifiers import is_plain
from daysworth.pages.coverage_shown import Said
from daysworth.pages.kits_page import Names, name_of
from daysworth.pages.typed_box import CHECKED, MOST_CHARACTERS, Faults, whole_number
from daysworth.planners.round_proposals import RoundAction
from daysworth.wording.catalogue import Catalogue

ACCEPT: Final = "accept-"
TO: Final = "to-"

MOST_TICKED: Final = 180
"""How many can be ticked at once: each has up to two fields, and a form has 400 at most."""


@dataclass(frozen=True, slots=True, kw_only=True)
class TypedRound:
    """What was ticked, and who took what, as the form said it; `ticked` None: nothing was sent.

    `round_day`, `as_of` and `version` say which plan the form was made from.
    """

    ticked: frozenset[str] | None = None
    takers: Mapping[str, str] = field(default_factory=dict)
    round_day: str = ""
    as_of: str = ""
    version: int | None = None

    @classmethod
    def of(cls, form: FormData) -> Self:
        """Read the form."""
        said = {name: str(value) for name, value in form.items()}
        return cls(
            ticked=frozenset(
                name.removeprefix(ACCEPT)
                for name, value in said.items()
                if name.startswith(ACCEPT) and value == CHECKED
            ),
            takers={
                name.removeprefix(TO): value.strip()[: MOST_CHARACTERS + 1]
                for name, value in said.items()
                if name.startswith(TO)
            },
            round_day=said.get("round", "")[:10],
            as_of=said.get("as_of", "")[:10],
            version=whole_number(said.get("version", "")),
        )

    def __str__(self) -> str:
        """Write all that was said, so that a form's key is not used for two things."""
        ticked, takers = sorted(self.ticked or ()), sorted(self.takers.items())
        return f"round {self.round_day} of {self.as_of} at {self.version}: {ticked} {takers}"


@dataclass(frozen=True, slots=True, kw_only=True)
class LineShown:
    """One proposal: its number on the page, what to do, and whether it can be and is ticked.

    `is_to_be_looked_at`: a kit that has changed is not recorded as eaten before somebody looked.
    `taker` is who takes what of it is handed off; None: nothing of it is. `portions` name parcels
    and, for the screen, their households.
    """

    number: int
    proposal: ProposalAnswer
    portions: Sequence[tuple[PortionAnswer, str | None]]
    do: Said
    rest: Said | None
    can_be_ticked: bool
    is_ticked: bool
    is_to_be_looked_at: bool
    taker: str | None
    kept_by_name: str | None


@dataclass(frozen=True, slots=True, kw_only=True)
class PlaceShown:
    """What is to be done in one place."""

    place_name: str
    lines: Sequence[LineShown]
    to_look_at: Sequence[LookedAtAnswer]


def places_shown(
    plan: RoundPlanAnswer,
    *,
    typed: TypedRound,
    changed: Collection[str],
    names: Names,
    words: Catalogue,
) -> list[PlaceShown]:
    """Lay out the worklist in walking order; `changed` are the kits that are to be looked at."""
    number, shown = 0, []
    for place in plan.worklist:
        lines = []
        for one in place.proposals:
            number += 1
            line = _line(
                one, number=number, as_of=plan.as_of, typed=typed, names=names, words=words
            )
            lines.append(_held_back(line) if _is_held_back(one, changed=changed) else line)
        shown.append(
            PlaceShown(place_name=place.place_name, lines=lines, to_look_at=place.to_look_at)
        )
    return shown


def _line(
    one: ProposalAnswer,
    *,
    number: int,
    as_of: date,
    typed: TypedRound,
    names: Names,
    words: Catalogue,
) -> LineShown:
    can_be_ticked = number <= MOST_TICKED and not is_for_later(one, on=as_of)
    if typed.ticked is None:
        is_ticked = is_ticked_at_first(one, on=as_of)
    else:
        is_ticked = one.proposal in typed.ticked
    return LineShown(
        number=number,
        proposal=one,
        portions=[(portion, name_of(portion.household, names)) for portion in one.portions],
        do=_what_to_do(one.action, one.action_on, one=one, as_of=as_of, words=words),
        rest=_rest(one, as_of=as_of, words=words),
        can_be_ticked=can_be_ticked,
        is_ticked=can_be_ticked and is_ticked,
        is_to_be_looked_at=False,
        taker=_taker(one, as_of=as_of, typed=typed),
        kept_by_name=name_of(one.kept_by, names),
    )


def _taker(one: ProposalAnswer, *, as_of: date, typed: TypedRound) -> str | None:
    if not hands_off(one) or is_for_later(one, on=as_of):
        return None
    return typed.takers.get(one.proposal, one.partner_name or "")


def _is_held_back(one: ProposalAnswer, *, changed: Collection[str]) -> bool:
    return one.action == RoundAction.EAT_WHOLE and one.kit in changed


def _held_back(line: LineShown) -> LineShown:
    return replace(line, can_be_ticked=False, is_ticked=False, is_to_be_looked_at=True)


def _actions(one: ProposalAnswer) -> Iterator[tuple[str, date | None]]:
    yield one.action, one.action_on
    if one.rest_action is not None:
        yield one.rest_action, one.rest_on


def hands_off(one: ProposalAnswer) -> bool:
    """Tell whether anything of a proposal is handed off."""
    return any(action == RoundAction.HAND_OFF for action, _ in _actions(one))


def is_for_later(one: ProposalAnswer, *, on: date) -> bool:
    """Tell whether nothing of a proposal is to be recorded on a day.

    It may still be eaten, or is past its date and goes to a partner by a promise alone.
    """
    return all(
        (action == RoundAction.DISCARD and day is not None and day > on)
        or (action == RoundAction.HAND_OFF and is_past(one, on=on))
        for action, day in _actions(one)
    )


def is_ticked_at_first(one: ProposalAnswer, *, on: date) -> bool:
    """Tell whether a proposal is ticked before anybody touched it."""
    return not any(
        action == RoundAction.DISCARD
        or (action == RoundAction.HAND_OFF and day is not None and day > on)
        for action, day in _actions(one)
    )


def _what_to_do(
    action: str,
    day: date | None,
    *,
    one: ProposalAnswer,
    as_of: date,
    words: Catalogue,
) -> Said:
    said = "" if day is None else words.day(day)
    match action:
        case RoundAction.HAND_OFF:
            key = "round-do-promise" if is_past(one, on=as_of) else "round-do-hand-off"
            return key, {"partner": one.partner_name or "", "day": said}
        case RoundAction.DISCARD if day is not None and day > as_of:
            return "round-do-discard-later", {"day": said}
        case RoundAction.DISCARD:
            why = "past" if is_past(one, on=as_of) else "damaged"
            return f"round-do-discard-{why}", {}
        case RoundAction.UNPACK:
            return "round-do-unpack", {}
        case RoundAction.EAT_WHOLE:
            return "round-do-eat-whole", {"day": said}
        case _:
            return "round-do-eat-first", {"day": said}


def _rest(one: ProposalAnswer, *, as_of: date, words: Catalogue) -> Said | None:
    if one.rest_action is None or not one.rest_units:
        return None
    return _what_to_do(one.rest_action, one.rest_on, one=one, as_of=as_of, words=words)


def check_plan(plan: RoundPlanAnswer, typed: TypedRound) -> None:
    """Raise NotAsItWas where a plan is not the one that a form was made from."""
    made_from = (typed.version, typed.as_of, typed.round_day)
    if made_from != (plan.version, plan.as_of.isoformat(), str(plan.round_on)):
        raise NotAsItWas("the stock was changed since the round was read")


def find_faults(plan: RoundPlanAnswer, typed: TypedRound, *, changed: Collection[str]) -> Faults:
    """Find what keeps what was ticked from being recorded, by field."""
    faults: Faults = {}
    wanted = _wanted(plan, typed)
    if not wanted:
        faults["accept"] = "fault-round-nothing"
    if any(_is_held_back(one, changed=changed) for one in plan.proposals if one.proposal in wanted):
        faults["accept"] = "fault-round-look-first"
    for number, one in enumerate(plan.proposals, start=1):
        taker = typed.takers.get(one.proposal, "")
        if one.proposal in wanted and hands_off(one) and not _is_name(taker):
            faults[f"to-{number}"] = "fault-round-taker"
    return faults


def _is_name(text: str) -> bool:
    return bool(text) and len(text) <= MOST_CHARACTERS and is_plain(text)


def _wanted(plan: RoundPlanAnswer, typed: TypedRound) -> list[str]:
    """Give what was ticked and can be recorded today; what is gone from the plan is left out."""
    ticked = typed.ticked or frozenset()
    return [
        one.proposal
        for one in plan.proposals
        if one.proposal in ticked and not is_for_later(one, on=plan.as_of)
    ]


def take_up(plan: RoundPlanAnswer, typed: TypedRound) -> Accepted:
    """Turn what was ticked into decisions, each hand-off with whoever took it.

    Raises FieldsRefused.
    """
    by_id = {one.proposal: one for one in plan.proposals}
    by_taker: dict[str | None, list[str]] = {}
    for id_ in _wanted(plan, typed):
        taker = typed.takers.get(id_) if hands_off(by_id[id_]) else None
        by_taker.setdefault(taker, []).append(id_)
    parts = [accepted(plan, ids, to=taker) for taker, ids in by_taker.items()]
    return Accepted(
        decisions=[one for part in parts for one in part.decisions],
        left=[one for part in parts for one in part.left],
    )
