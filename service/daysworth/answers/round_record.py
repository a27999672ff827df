"""Write the record of rounds: what was eaten, given and thrown away, and whether waste falls.

The names here are the names in JSON. What was unpacked stays in the store until it is decided on by
itself, so it is told apart and is no part of what was pulled.
"""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from itertools import groupby, zip_longest
from math import fsum

from daysworth.answers.kit_words import day_words, number_words
from daysworth.answers.rounding import figure, figure_or_none
from daysworth.db.rounds import RoundLine, RoundTotal
from daysworth.domain.entries import RoundOutcome
from daysworth.domain.identifiers import LotId

Days = list[date]
"""The days of rounds, in order."""


@dataclass(frozen=True, slots=True, kw_only=True)
class OutcomeTotal:
    """Units, mass and energy that went one way; what is not known of some counts nothing."""

    units: int
    mass_g: float
    energy_kcal: float


@dataclass(frozen=True, slots=True, kw_only=True)
class RoundLineAnswer:
    """Units of one lot that were settled at a round, alone or in a kit, and how they went."""

    outcome: str
    lot: str | None
    kit: str | None
    food_name: str | None
    units: int
    mass_g: float | None
    energy_kcal: float | None
    why: str | None
    by: str
    at: str


@dataclass(frozen=True, slots=True, kw_only=True)
class RoundRecordAnswer:
    """One round: all that was pulled, which is what was eaten, given and thrown away.

    `discarded_share` is the thrown-away part of the mass pulled, null where nothing was;
    `discarded_share_before` that of the round before which has a record, and
    `discarded_share_change` the difference: below nought where waste falls.
    """

    round_on: date
    pulled: OutcomeTotal
    eaten: OutcomeTotal
    given: OutcomeTotal
    discarded: OutcomeTotal
    unpacked: OutcomeTotal
    discarded_share: float | None
    round_before_on: date | None
    discarded_share_before: float | None
    discarded_share_change: float | None
    words: str


@dataclass(frozen=True, slots=True, kw_only=True)
class RoundsAnswer:
    """The rounds to come by the store's rule, and the record of those there were, latest first.

    `latest_on` is the latest there has been; null: none within two years.
    """

    store: str
    version: int
    as_of: date
    rounds_rule: str
    latest_on: date | None
    coming: Days
    records: list[RoundRecordAnswer]


def round_records(totals: Iterable[RoundTotal]) -> list[RoundRecordAnswer]:
    """Write the records of rounds, the latest first, each beside the one before it."""
    ordered = sorted(totals, key=lambda one: one.round_on, reverse=True)
    by_round = [
        (day, {one.outcome: one for one in found})
        for day, found in groupby(ordered, key=lambda one: one.round_on)
    ]
    return [
        _record(day, found, before=before)
        for (day, found), before in zip_longest(by_round, by_round[1:])
    ]


def round_lines(
    lines: Sequence[RoundLine], *, food_names: Mapping[LotId, str]
) -> list[RoundLineAnswer]:
    """Write the lines of a record, in the order in which they were written."""
    return [
        RoundLineAnswer(
            outcome=one.outcome,
            lot=one.lot,
            kit=one.kit,
            food_name=None if one.lot is None else food_names.get(one.lot),
            units=one.units,
            mass_g=figure_or_none(one.mass_g),
            energy_kcal=figure_or_none(one.energy_kcal),
            why=one.why,
            by=one.by,
            at=one.at,
        )
        for one in lines
    ]


Outcomes = Mapping[RoundOutcome, RoundTotal]

_PULLED = (RoundOutcome.EATEN, RoundOutcome.GIVEN, RoundOutcome.DISCARDED)


def _record(
    round_on: date, found: Outcomes, *, before: tuple[date, Outcomes] | None
) -> RoundRecordAnswer:
    share = _discarded_share(found)
    share_before = None if before is None else _discarded_share(before[1])
    change = None if share is None or share_before is None else share - share_before
    return RoundRecordAnswer(
        round_on=round_on,
        pulled=_total(found, *_PULLED),
        eaten=_total(found, RoundOutcome.EATEN),
        given=_total(found, RoundOutcome.GIVEN),
        discarded=_total(found, RoundOutcome.DISCARDED),
        unpacked=_total(found, RoundOutcome.UNPACKED),
        discarded_share=figure_or_none(share),
        round_before_on=None if before is None else before[0],
        discarded_share_before=figure_or_none(share_before),
        discarded_share_change=figure_or_none(change),
        words=_words(found, change=change, before_on=None if before is None else before[0]),
    )


def _total(found: Outcomes, *outcomes: RoundOutcome) -> OutcomeTotal:
    each = [found[outcome] for outcome in outcomes if outcome in found]
    return OutcomeTotal(
        units=sum(one.units for one in each),
        mass_g=figure(fsum(one.mass_g for one in each)),
        energy_kcal=figure(fsum(one.energy_kcal for one in each)),
    )


def _mass_g(found: Outcomes, *outcomes: RoundOutcome) -> float:
    return fsum(found[outcome].mass_g for outcome in outcomes if outcome in found)


def _discarded_share(found: Outcomes) -> float | None:
    pulled_g = _mass_g(found, *_PULLED)
    return _mass_g(found, RoundOutcome.DISCARDED) / pulled_g if pulled_g > 0 else None


def _words(found: Outcomes, *, change: float | None, before_on: date | None) -> str:
    pulled_g = _mass_g(found, *_PULLED)
    share = _discarded_share(found)
    if share is None:
        return "nothing was eaten, given or thrown away"
    eaten, given, discarded = (_kilograms(_mass_g(found, one)) for one in _PULLED)
    said = (
        f"{_kilograms(pulled_g)} pulled: {eaten} eaten, {given} given, "
        f"{discarded} thrown away ({share:.0%})"
    )
    if change is None or before_on is None:
        return said
    points = number_words(round(abs(change) * 100, 1))
    than = f"than at the round of {day_words(before_on)}"
    if abs(change) < 0.0005:
        return f"{said}, as much of it as at the round of {day_words(before_on)}"
    return f"{said}, {points} points {'less' if change < 0 else 'more'} {than}"


def _kilograms(mass_g: float) -> str:
    return f"{number_words(round(mass_g / 1000, 1))} kg"
