"""Show the page of one kit, and do a deed on it once: what the routes of a kit share."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from datetime import date, datetime
from functools import partial
from http import HTTPStatus
from typing import Final, Self

from fastapi import Response
from starlette.datastructures import FormData

from daysworth.answers.kit import KitAnswer
from daysworth.answers.kit_contents import RuleAnswer
from daysworth.api.service import run
from daysworth.db.kits import KeptKit, read_kit
from daysworth.db.transactions import Reading, Writing, day_there
from daysworth.domain.entries import KitState
from daysworth.domain.errors import FieldsRefused, KeyUsed, NotAsItWas, StockRefused
from daysworth.domain.identifiers import HouseholdId, KitId, is_plain
from daysworth.domain.kit_rules import RuleStatus
from daysworth.pages.desk import Desk, new_key
from daysworth.pages.doors import form_of, store_address
from daysworth.pages.frame import go_to
from daysworth.pages.kits_around import around, in_words, next_round, sheets, usual_sheet
from daysworth.pages.kits_page import Names, TypedLabels, name_of
from daysworth.pages.lot_deeds import MOST_WHY, sentence
from daysworth.pages.typed_box import Faults
from daysworth.pages.wish_page import size_of

Deed = Callable[[Writing], KeptKit]

DEEDS: Final = frozenset({"move", "unpack", "eat", "confirm"})


_RULES_IN_ORDER: Final = [RuleStatus.FAILED, RuleStatus.WAIVED, RuleStatus.PASSED]


@dataclass(frozen=True, slots=True, kw_only=True)
class BesideIt:
    """What a page says of a kit beside the answer itself; `rules` have those that failed first."""

    household_name: str | None
    revision: int
    ended_on: date | None
    looked_on: date | None
    is_past: bool
    rules: Sequence[RuleAnswer]


@dataclass(frozen=True, slots=True, kw_only=True)
class TypedDeed:
    """What was typed for a deed on a kit: which deed, the place to move it to, and why."""

    deed: str = ""
    place: str = ""
    why: str = ""

    @classmethod
    def of(cls, form: FormData, *, deed: str) -> Self:
        """Read the form."""
        return cls(
            deed=deed,
            place=str(form.get("place", ""))[:65],
            why=str(form.get("why", "")).strip()[: MOST_WHY + 1],
        )

    def reason(self, faults: Faults) -> str | None:
        """Read why; None: nothing was written. Notes where it cannot be kept."""
        if not is_plain(self.why) or len(self.why) > MOST_WHY:
            faults[f"{self.deed}-why"] = "fault-words"
        return self.why or None

    def why_in(self, deed: str) -> str:
        """Give what was typed as the reason for a deed; nothing where it was for another."""
        return self.why if self.deed == deed else ""


async def do_kit_deed(desk: Desk, kit: str, *, work: Deed, typed: TypedDeed) -> Response:
    """Do a deed once for the form's key, and show the kit; or show what stood against it."""
    key = str(form_of(desk.request).get("key", ""))[:60]
    show = partial(show_kit, desk, kit, typed=typed)
    said = f"kit {kit} {typed.deed} {typed.place} {typed.why}"
    try:
        await desk.write_once(lambda writing: work(writing).id, key=key, said=said)
    except KeyUsed:
        return await show(problem=desk.words.say("fault-sent-before"), status=409)
    except NotAsItWas:
        return await show(problem=desk.words.say("fault-changed-since"), status=412)
    except (StockRefused, FieldsRefused) as refused:
        return await show(problem=sentence(str(refused)), status=409)
    return go_to(store_address(desk.store.id, "kits", kit) + f"?done={typed.deed}")


async def show_kit(
    desk: Desk,
    kit: str,
    *,
    typed: TypedDeed | None = None,
    labels: TypedLabels | None = None,
    faults: Faults | None = None,
    problem: str = "",
    done: str = "",
    status: int = HTTPStatus.OK,
) -> Response:
    """Show a kit, with what was typed and what is wrong with it. Raises NotThere."""
    beside = await around(desk)
    answer = await _look(desk, KitId(kit))
    is_ended = answer.state != KitState.CLOSED
    if is_ended and (problem or faults):
        faults, problem = None, desk.words.say("kit-ended-already")
        status = HTTPStatus.CONFLICT
    return desk.show(
        "kit.html",
        status=HTTPStatus.UNPROCESSABLE_ENTITY if faults else status,
        kit=answer,
        shown=_beside_it(desk, answer, names=beside.names),
        size_of=size_of,
        next_round_on=await next_round(desk),
        places=[one for one in beside.places if one.id != answer.place],
        sheets=sheets(desk),
        typed=typed or TypedDeed(),
        labels=labels or TypedLabels(sheet=usual_sheet(desk), kit=kit),
        faults=in_words(faults, desk=desk),
        problem=problem,
        done=done,
        key=new_key(),
    )


async def _look(desk: Desk, kit: KitId) -> KitAnswer:
    """Look at a kit; where it is for a household, the reading is logged before. Raises NotThere."""

    def whose(reading: Reading) -> HouseholdId | None:
        return read_kit(reading, kit).kit.household

    household = await desk.read(whose)
    if household is not None:
        await desk.disclose("kit", household=household)
    ask = partial(desk.service.kits.kit, desk.reader, kit, at=desk.at)
    return await run(desk.service.reckoners, ask)


def _beside_it(desk: Desk, answer: KitAnswer, *, names: Names) -> BesideIt:
    def day_of(instant: str | None) -> date | None:
        if instant is None:
            return None
        return day_there(desk.store.settings, at=datetime.fromisoformat(instant))

    return BesideIt(
        household_name=name_of(answer.household, names),
        revision=revision_of(answer),
        ended_on=day_of(answer.ended_at),
        looked_on=day_of(answer.looked_at),
        is_past=answer.days_left is not None and answer.days_left < 0,
        rules=sorted(answer.rules, key=lambda one: _RULES_IN_ORDER.index(RuleStatus(one.status))),
    )


def revision_of(answer: KitAnswer) -> int:
    """Give the revision that a kit's entity tag names."""
    return int(answer.etag.strip('"').removeprefix("r"))
