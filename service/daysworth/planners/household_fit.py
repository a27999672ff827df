"""Judge a food for a whole household: may it go in their parcel, and for whom is it not?

What binds the home must be met whoever eats the food; what binds one member only keeps it from
that member. A food that no member may eat does not go in.
"""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date

from daysworth.domain.demands import Demand, Eater
from daysworth.domain.eaters import eater_of, home_demands, strictest
from daysworth.domain.identifiers import MemberId
from daysworth.domain.offers import Offer
from daysworth.domain.people import Household
from daysworth.domain.suitability import Judge, judge, reason_for
from daysworth.domain.verdicts import Judgement, Reason, Shown, Verdict
from daysworth.planners.classes import is_present

WORST_FIRST = (Verdict.UNSUITABLE, Verdict.UNKNOWN, Verdict.SUITABLE)


@dataclass(frozen=True, slots=True, kw_only=True)
class Table:
    """A household's present members as eaters, and what binds their whole home."""

    eaters: tuple[tuple[MemberId, Eater], ...]
    home: tuple[Demand, ...]

    @property
    def distinct(self) -> tuple[Eater, ...]:
        """Give each different eater once, in the members' order."""
        return tuple(dict.fromkeys(eater for _, eater in self.eaters))


@dataclass(frozen=True, slots=True, kw_only=True)
class Finding:
    """One reason why a food is not simply suitable, for whom, and whether it binds the home."""

    reason: Reason
    members: tuple[MemberId, ...]
    binds_home: bool

    @property
    def only_advises(self) -> bool:
        """Tell whether it is a medical diet's, which clears nothing and excludes nothing."""
        return self.reason.demand is not None and self.reason.demand.only_advises

    @property
    def shown(self) -> Shown:
        """Give the verdict as a person may read it."""
        return Shown.ASK_CARE_TEAM if self.only_advises else Shown(self.reason.verdict)


@dataclass(frozen=True, slots=True, kw_only=True)
class Fit:
    """Whether a food may go to a household, and all that is to be said about it, worst first."""

    verdict: Verdict
    findings: tuple[Finding, ...]

    @property
    def shown(self) -> Shown:
        """Give the verdict as a person may read it: a medical diet is never cleared."""
        if self.verdict is Verdict.SUITABLE and any(one.only_advises for one in self.findings):
            return Shown.ASK_CARE_TEAM
        return Shown(self.verdict)


def table_of(household: Household, as_of: date) -> Table:
    """Gather who sits at a household's table on a date."""
    present = [member for member in household.members if is_present(member, as_of)]
    home = strictest(home_demands(household))
    return Table(
        eaters=tuple(
            (member.id, eater_of(member, household=household, as_of=as_of)) for member in present
        ),
        home=tuple(sorted(home, key=lambda demand: demand.order)),
    )


def fit(offer: Offer, table: Table, *, judged_by: Judge = judge) -> Fit:
    """Judge a food for a household."""
    judged = {eater: judged_by(offer, eater) for eater in table.distinct}
    return Fit(
        verdict=_verdict(offer, table, judged=judged.values()),
        findings=tuple(sorted(_findings(offer, table, judged=judged), key=_worst_first)),
    )


def _verdict(offer: Offer, table: Table, *, judged: Iterable[Judgement]) -> Verdict:
    said = {reason_for(offer, demand).verdict for demand in table.home}
    for_members = {one.verdict for one in judged}
    if for_members:
        # It is for whoever may eat it; where nobody may, it is for none.
        said.add(max(for_members, key=WORST_FIRST.index))
    return min(said, key=WORST_FIRST.index, default=Verdict.SUITABLE)


def _findings(offer: Offer, table: Table, *, judged: dict[Eater, Judgement]) -> list[Finding]:
    whose: dict[Reason, list[MemberId]] = {}
    for member, eater in table.eaters:
        for reason in judged[eater].reasons:
            if _is_to_be_said(reason):
                whose.setdefault(reason, []).append(member)
    # What binds the home holds though nobody there is born yet, or each is bound more strictly.
    for demand in table.home:
        reason = reason_for(offer, demand)
        if _is_to_be_said(reason):
            whose.setdefault(reason, [])
    return [
        Finding(
            reason=reason,
            members=tuple(members),
            binds_home=reason.demand is not None and reason.demand in table.home,
        )
        for reason, members in whose.items()
    ]


def _is_to_be_said(reason: Reason) -> bool:
    return reason.verdict is not Verdict.SUITABLE or reason.is_warning


def _worst_first(finding: Finding) -> tuple[object, ...]:
    reason = finding.reason
    return (
        WORST_FIRST.index(reason.verdict),
        gravity(reason),
        not finding.binds_home,
        reason.words,
        () if reason.demand is None else reason.demand.order,
        finding.members,
    )


def gravity(reason: Reason) -> int:
    """Rank what a reason is about: an allergy or an infant first, then diets, then chewing."""
    demand = reason.demand
    if demand is None:
        return 2 if reason.is_by_stage else 0
    if demand.allergy is not None or demand.words is not None:
        return 0
    return 1 if reason.substances or demand.formula is not None else 3
