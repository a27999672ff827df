"""Hold what was promised and handed off against lots, ledger, coverage and totals, to the unit."""

from collections import Counter
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from math import fsum

from daysworth.answers.coverage import CoverageAnswer
from daysworth.answers.given import GivenAnswer
from daysworth.answers.promises import PromiseAnswer
from daysworth.answers.surplus import SurplusAnswer
from daysworth.cli.demo_agreement import Agreement, Books, of_each, of_one, read_books
from daysworth.db.promises import open_promises
from daysworth.db.stock import LotChoice, all_lots
from daysworth.db.transactions import Reading
from daysworth.domain.promise_faults import units_promised


@dataclass(frozen=True, slots=True, kw_only=True)
class PromiseBooks:
    """What a store's books say of promises at one version, each thing in the two ways it is kept.

    Units promised as lots say, and as open promises hold them.
    """

    books: Books
    promised: Mapping[str, int]
    in_promises: Mapping[str, int]

    @property
    def units_on_hand(self) -> int:
        """Count all units of all lots."""
        return self.books.units_on_hand

    @property
    def units_free(self) -> int:
        """Count the units that are promised to nobody."""
        return self.units_on_hand - self.units_promised

    @property
    def units_promised(self) -> int:
        """Count the units that lots say are promised."""
        return sum(self.promised.values())


@dataclass(frozen=True, slots=True, kw_only=True)
class SurplusStood:
    """How a store stood at one moment: its books, and the days that it covers."""

    books: PromiseBooks
    coverage: CoverageAnswer


def read_promise_books(reading: Reading) -> PromiseBooks:
    """Read all that is kept of a store's stock and of its open promises."""
    lots = all_lots(reading, choice=LotChoice(with_empty=True))
    held = units_promised(open_promises(reading.connection, reading.store))
    return PromiseBooks(
        books=read_books(reading),
        promised={lot.id: lot.units_promised for lot in lots},
        in_promises={str(lot): units for lot, units in held.items()},
    )


def promise_books_agree(books: PromiseBooks, *, when: str) -> Iterator[Agreement]:
    """Hold lots against their entries, and what they have promised against open promises."""
    yield of_each(
        f"units on hand {when}: as the ledger adds up, lot by lot",
        counted=books.books.units,
        expected=books.books.units_entered,
    )
    yield of_each(
        f"units promised {when}: as the open promises hold, lot by lot",
        counted=books.promised,
        expected=books.in_promises,
    )


def promising_agrees(
    before: SurplusStood, after: SurplusStood, *, plan: SurplusAnswer
) -> Iterator[Agreement]:
    """Hold the store before promising against the store after it: nothing has gone yet."""
    units = plan.totals.units
    yield of_one(
        "units in the plan: so many more are promised",
        units,
        expected=after.books.units_promised - before.books.units_promised,
    )
    yield of_one(
        "units on hand before promising: as many after it",
        before.books.units_on_hand,
        expected=after.books.units_on_hand,
    )
    yield of_one(
        "kcal in the plan: so many fewer does coverage count on paper",
        round(plan.totals.energy_kcal),
        expected=round(on_paper_kcal(before.coverage) - on_paper_kcal(after.coverage)),
    )


def on_paper_kcal(coverage: CoverageAnswer) -> float:
    """Give the kcal of all that coverage counts, dates aside: what is promised is not in it."""
    return coverage.person_days_on_paper * coverage.mean_need_kcal


def hand_offs_agree(
    before: SurplusStood,
    after: SurplusStood,
    *,
    ended: Sequence[PromiseAnswer],
    deeds: Sequence[int],
) -> Iterator[Agreement]:
    """Hold the store before and after some promises ended against what is told of them.

    `deeds` are the versions of the store that ended them.
    """
    lines = [line for one in ended for place in one.contents for line in place.lines]
    went, held = Counter[str](), sum(line.units for line in lines)
    for line in lines:
        went[line.lot] += line.went or 0
    first, second = before.books, after.books
    fell = {lot: units - second.books.units[lot] for lot, units in first.books.units.items()}
    yield of_each("units that went: so many fewer are on hand, by lot", counted=went, expected=fell)
    yield of_one(
        "units that went: as the ledger says of those deeds",
        went.total(),
        expected=sum(second.books.taken[one] for one in deeds),
    )
    yield of_one(
        "units of the promises that have ended: so many fewer are promised",
        held,
        expected=first.units_promised - second.units_promised,
    )
    yield of_one(
        "units of them that did not go: so many more are free",
        held - went.total(),
        expected=second.units_free - first.units_free,
    )
    kept_kcal = fsum(line.energy_kcal * (1 - (line.went or 0) / line.units) for line in lines)
    yield of_one(
        "kcal of those units: so many more does coverage count on paper",
        round(kept_kcal),
        expected=round(on_paper_kcal(after.coverage) - on_paper_kcal(before.coverage)),
    )


def totals_agree(given: GivenAnswer, *, ended: Sequence[PromiseAnswer]) -> Iterator[Agreement]:
    """Hold the totals given against what is told of each promise, partner by partner."""
    units, mass_g = Counter[str](), 0.0
    for one in ended:
        if one.handed_on is not None and one.summary.went is not None:
            units[one.summary.partner] += one.summary.went.units
            mass_g += one.summary.went.mass_g
    yield of_each(
        "units in the totals given: as they went, by partner",
        counted={one.partner: one.went.units for one in given.partners},
        expected=units,
    )
    yield of_one(
        "grams in the totals given: as they went",
        round(given.to_partners.mass_g),
        expected=round(mass_g),
    )
