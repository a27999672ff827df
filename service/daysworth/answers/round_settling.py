"""Turn proposals of a round that were accepted into decisions, as they were planned.

What is to be eaten first is recorded as eaten, what is handed off as given to whoever took it. What
is thrown away only from a later day on stays until that day, and so does what goes on a later visit
unless somebody says who took it; the answer says so. What is past its date already goes to a
partner by a promise alone, which is held against the partner's rules: it stays.
"""

from collections.abc import Collection, Iterator, Sequence
from dataclasses import dataclass
from datetime import date
from typing import Final

from daysworth.answers.kit_words import day_words
from daysworth.answers.round_plan import ProposalAnswer, RoundPlanAnswer
from daysworth.answers.round_record import RoundLineAnswer, RoundRecordAnswer
from daysworth.db.ledger.round_decisions import RoundDecision
from daysworth.domain.entries import RoundOutcome
from daysworth.domain.errors import Fault, FieldsRefused
from daysworth.domain.identifiers import KitId, LotId
from daysworth.domain.rounds import LOOK_AHEAD_DAYS, round_days
from daysworth.planners.rotation_round import EARLIEST_DAYS
from daysworth.planners.round_proposals import RoundAction


@dataclass(frozen=True, slots=True, kw_only=True)
class LeftAnswer:
    """Units of a proposal that was accepted which stay where they are for now, and why."""

    proposal: str
    lot: str | None
    units: int
    words: str


@dataclass(frozen=True, slots=True, kw_only=True)
class RoundSettledAnswer:
    """What was recorded at a round, what stays for now, and the round's record with it."""

    question: str
    store: str
    version: int
    round_on: date
    settled: list[RoundLineAnswer]
    left: list[LeftAnswer]
    record: RoundRecordAnswer | None


@dataclass(frozen=True, slots=True, kw_only=True)
class Accepted:
    """What accepted proposals come to: decisions, and what stays for now."""

    decisions: Sequence[RoundDecision]
    left: Sequence[LeftAnswer]


_OUTCOMES: Final = {
    RoundAction.EAT_FIRST: RoundOutcome.EATEN,
    RoundAction.HAND_OFF: RoundOutcome.GIVEN,
    RoundAction.DISCARD: RoundOutcome.DISCARDED,
    RoundAction.EAT_WHOLE: RoundOutcome.EATEN,
    RoundAction.UNPACK: RoundOutcome.UNPACKED,
}


_WHY: Final = {
    RoundAction.EAT_FIRST: "eaten first, as proposed",
    RoundAction.HAND_OFF: "handed off, as proposed",
    RoundAction.EAT_WHOLE: "eaten whole, as proposed",
    RoundAction.UNPACK: "unpacked, as proposed",
}


def accepted(
    plan: RoundPlanAnswer,
    proposals: Sequence[str] | None,
    *,
    to: str | None,
    changed: Collection[str] = (),
) -> Accepted:
    """Turn proposals into decisions, all of the plan when none are named.

    `to` says who took what is handed off; without it, the partner whom the plan names, where the
    visit is on the day. Kits that have `changed` since they were put up are not eaten unseen: they
    stay. Raises
    FieldsRefused for a proposal that the plan has not, for a hand-off to nobody, and where nothing
    can be recorded today.
    """
    by_id = {one.proposal: one for one in plan.proposals}
    wanted = list(by_id) if proposals is None else list(dict.fromkeys(proposals))
    faults = [
        Fault(f"accept number {number}", f"there is no proposal {one!r} in this round now")
        for number, one in enumerate(wanted, start=1)
        if one not in by_id
    ]
    if faults:
        raise FieldsRefused(tuple(faults))
    decisions: list[RoundDecision] = []
    left: list[LeftAnswer] = []
    for id_ in wanted:
        for part in _parts(by_id[id_]):
            if part.stays(plan.as_of, to=to):
                left.append(part.left(plan.as_of))
            elif part.action is RoundAction.EAT_WHOLE and part.of.kit in changed:
                left.append(part.unseen())
            else:
                decisions.append(part.decision(to=to))
    if not decisions:
        what = "nothing of it is to be done today: " + (
            left[0].words if left else "nothing is due at this round"
        )
        raise FieldsRefused((Fault("accept", what),))
    return Accepted(decisions=decisions, left=left)


def is_past(one: ProposalAnswer, *, on: date) -> bool:
    """Tell whether what is proposed something for is past its last good day."""
    return one.last_good_day is not None and one.last_good_day < on


def check_round_day(rule: str, *, round_on: date, as_of: date) -> None:
    """Raise FieldsRefused for a day that is no day of a round, or that no round is worked on."""
    days_ahead = (round_on - as_of).days
    if not -LOOK_AHEAD_DAYS <= days_ahead <= EARLIEST_DAYS:
        what = f"must be within two years back and {EARLIEST_DAYS} days ahead"
    elif not round_days(rule, from_on=round_on, to_on=round_on):
        what = "is no day of a round by this store's rule"
    else:
        return
    raise FieldsRefused((Fault("round", what),))


@dataclass(frozen=True, slots=True, kw_only=True)
class _Part:
    """What is proposed for some of the units of a proposal."""

    of: ProposalAnswer
    action: RoundAction
    action_on: date | None
    units: int

    def stays(self, on: date, *, to: str | None) -> bool:
        """Tell whether nothing of it is to be recorded on a day: it is thrown away or goes later.

        Where somebody says who took it, it has gone.
        """
        is_later = self.action_on is not None and self.action_on > on
        if self.action is RoundAction.HAND_OFF and self.of.partner_name is not None:
            return is_past(self.of, on=on) or (is_later and to is None)
        return self.action is RoundAction.DISCARD and is_later

    def left(self, on: date) -> LeftAnswer:
        """Say that it stays until its day."""
        since = "" if self.action_on is None else f" on {day_words(self.action_on)}"
        words = f"{self.units} × {self.of.name} "
        if self.action is RoundAction.HAND_OFF:
            words += f"can go to {self.of.partner_name}{since}: promise it"
            words += "" if is_past(self.of, on=on) else ", or say who took it"
        else:
            words += f"may still be eaten: thrown away only{since}"
        return LeftAnswer(proposal=self.of.proposal, lot=self.of.lot, units=self.units, words=words)

    def unseen(self) -> LeftAnswer:
        """Say that a kit stays until somebody has looked at it."""
        words = f"the kit {self.of.name} has changed since it was put up: look at it again first"
        return LeftAnswer(proposal=self.of.proposal, lot=None, units=self.units, words=words)

    def decision(self, *, to: str | None) -> RoundDecision:
        """Give the decision. Raises FieldsRefused for a hand-off to nobody."""
        taker = to or self.of.partner_name
        if self.action is RoundAction.HAND_OFF and taker is None:
            what = f"say who took what is handed off ({self.of.name})"
            raise FieldsRefused((Fault("to", what),))
        return RoundDecision(
            outcome=_OUTCOMES[self.action],
            lot=None if self.of.lot is None else LotId(self.of.lot),
            kit=None if self.of.kit is None else KitId(self.of.kit),
            units=None if self.of.lot is None else self.units,
            # No parcel stands in the ledger: its entries outlast a household that leaves.
            why=_WHY.get(self.action, self.of.words),
            to=taker if self.action is RoundAction.HAND_OFF else None,
        )


def _parts(one: ProposalAnswer) -> Iterator[_Part]:
    yield _Part(
        of=one,
        action=RoundAction(one.action),
        action_on=one.action_on,
        units=one.action_units,
    )
    if one.rest_action is not None and one.rest_units:
        yield _Part(
            of=one,
            action=RoundAction(one.rest_action),
            action_on=one.rest_on,
            units=one.rest_units,
        )
