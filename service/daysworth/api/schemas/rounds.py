"""Say how what became of a round is sent in."""

from typing import Annotated, Literal, Self

from pydantic import Field, model_validator

from daysworth.answers.round_plan import RoundPlanAnswer
from daysworth.answers.round_record import RoundRecordAnswer
from daysworth.api.schemas.plain import Day, Input, Output, Ref, Why, Words
from daysworth.api.schemas.stock import UnitsIn
from daysworth.db.ledger.round_decisions import RoundDecision
from daysworth.domain.entries import RoundOutcome
from daysworth.domain.identifiers import KitId, LotId

MOST_DECISIONS = 500

OutcomeIn = Annotated[RoundOutcome, Field(strict=False)]
ProposalRef = Annotated[Ref, Field(max_length=80, examples=["lot:L001"])]


class DecisionIn(Input):
    """What became of units of a lot, or of a whole kit.

    A lot is eaten, given (say `to` whom) or discarded (say `why`); a kit is eaten or unpacked, and
    takes no units.
    """

    outcome: OutcomeIn
    lot: Ref | None = None
    kit: Ref | None = None
    units: UnitsIn | None = None
    why: Why | None = None
    to: Words | None = None

    def decision(self) -> RoundDecision:
        """Give the decision."""
        return RoundDecision(
            outcome=self.outcome,
            lot=None if self.lot is None else LotId(self.lot),
            kit=None if self.kit is None else KitId(self.kit),
            units=self.units,
            why=self.why,
            to=self.to,
        )


class RoundSettleIn(Input):
    """Decisions, or proposals of the round's plan that are accepted, with the plan's version.

    `accept` is "all", or a list of proposals. `version` and `as_of` are those of the plan that was
    read. `to` says who took what is handed off.
    """

    accept: (
        Literal["all"]
        | Annotated[list[ProposalRef], Field(min_length=1, max_length=MOST_DECISIONS)]
        | None
    ) = None
    version: Annotated[int, Field(ge=0, le=2**53 - 1)] | None = None
    as_of: Day | None = None
    to: Words | None = None
    decisions: Annotated[list[DecisionIn], Field(max_length=MOST_DECISIONS)] = Field(
        default_factory=list
    )

    @model_validator(mode="after")
    def _whole(self) -> Self:
        if (self.accept is None) == (not self.decisions):
            raise ValueError("give decisions, or what is accepted: one of them")
        if self.accept is not None and self.version is None:
            raise ValueError("what is accepted comes with the version of the plan that was read")
        return self

    @property
    def proposals(self) -> list[str] | None:
        """Give the proposals that are accepted; None: all."""
        return self.accept if isinstance(self.accept, list) else None


class RoundOut(Output):
    """A round: its plan as of today, and its record so far; null where there is none.

    `why_no_plan` says why a round that has a record is planned no more.
    """

    plan: RoundPlanAnswer | None
    why_no_plan: str | None
    record: RoundRecordAnswer | None
