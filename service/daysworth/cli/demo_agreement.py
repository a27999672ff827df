"""Hold a store's books against one another to the unit: lots, ledgers, kits, wares, coverage."""

from collections import Counter
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Final, TypeVar

from daysworth.answers.coverage import CoverageAnswer
from daysworth.answers.round_settling import RoundSettledAnswer
from daysworth.db.kits import KitChoice, all_kits
from daysworth.db.pages_of_rows import MOST_A_PAGE
from daysworth.db.stock import LotChoice, all_lots, list_entries
from daysworth.db.transactions import Reading
from daysworth.db.wares import list_ware_entries, list_wares

_FIRST: Final = (-1, -1)
_SAME_DAYS: Final = 1e-4
"""Days are planned by a solver whose figures are exact to about so much."""

_Key = TypeVar("_Key")

Days = Mapping[str, float]


@dataclass(frozen=True, slots=True, kw_only=True)
class Agreement:
    """Two counts that should be one. `differing` tells of how many of its parts they differ."""

    words: str
    counted: float
    expected: float
    differing: int
    agrees: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class Books:
    """What a store's books say at one version, each thing in the two ways it is kept.

    Units of lots and wares as they stand, and as the sum of their entries; units in kits as lots
    say, and as closed kits hold them. `taken` are the units that each version's entries took off.
    """

    units: Mapping[str, int]
    units_entered: Mapping[str, int]
    in_kits: Mapping[str, int]
    in_closed_kits: Mapping[str, int]
    wares: Mapping[tuple[str, str], int]
    wares_entered: Mapping[tuple[str, str], int]
    wares_in_kits: Mapping[str, int]
    taken: Mapping[int, int]
    kits: int

    @property
    def units_on_hand(self) -> int:
        """Count all units of all lots."""
        return sum(self.units.values())

    @property
    def all_wares(self) -> Counter[str]:
        """Count wares on shelves and in kits, by kind."""
        found = Counter(self.wares_in_kits)
        for (kind, _), units in self.wares.items():
            found[kind] += units
        return found


@dataclass(frozen=True, slots=True, kw_only=True)
class Stood:
    """How a store stood at one moment: its books, and the days that it covers."""

    books: Books
    coverage: CoverageAnswer


def read_books(reading: Reading) -> Books:
    """Read all that is kept of a store's stock, entry by entry."""
    lots = all_lots(reading, choice=LotChoice(with_empty=True))
    kits = all_kits(reading, choice=KitChoice())
    entered, taken = Counter[str](), Counter[int]()
    after: tuple[int, int] | None = _FIRST
    while after is not None:
        page = list_entries(reading, lot=None, after=after, limit=MOST_A_PAGE)
        for entry in page.items:
            entered[entry.lot] += entry.units
            taken[entry.version] -= entry.units
        after = _next(page.next_after)
    held, in_kits = Counter[str](), Counter[str]()
    for kept in kits:
        held.update({str(item.lot): item.units for item in kept.kit.items})
        in_kits.update({str(kind): units for kind, units in kept.kit.wares.items()})
    return Books(
        units={lot.id: lot.units for lot in lots},
        units_entered=entered,
        in_kits={lot.id: lot.units_in_kits for lot in lots},
        in_closed_kits=held,
        wares={(str(one.kind), str(one.place)): one.units for one in list_wares(reading)},
        wares_entered=_wares_entered(reading),
        wares_in_kits=in_kits,
        taken=taken,
        kits=len(kits),
    )


def _wares_entered(reading: Reading) -> Counter[tuple[str, str]]:
    found = Counter[tuple[str, str]]()
    after: tuple[int, int] | None = _FIRST
    while after is not None:
        page = list_ware_entries(reading, after=after, limit=MOST_A_PAGE)
        for entry in page.items:
            found[str(entry.ware), str(entry.place)] += entry.units
        after = _next(page.next_after)
    return found


def _next(key: str | None) -> tuple[int, int] | None:
    if key is None:
        return None
    version, _, line = key.partition(".")
    return int(version), int(line)


def books_agree(books: Books, *, when: str) -> Iterator[Agreement]:
    """Hold lots, kits and wares against their entries and against one another."""
    yield of_each(
        f"units on hand {when}: as the ledger adds up, lot by lot",
        counted=books.units,
        expected=books.units_entered,
    )
    yield of_each(
        f"units in kits {when}: as {books.kits} closed kits hold, by lot",
        counted=books.in_kits,
        expected=books.in_closed_kits,
    )
    yield of_each(
        f"wares on shelves {when}: as their ledger adds up",
        counted=books.wares,
        expected=books.wares_entered,
    )


def packing_agrees(before: Stood, after: Stood, *, packed: int) -> Iterator[Agreement]:
    """Hold the store before packing against the store after it: nothing is more or less."""
    first, second = before.coverage, after.coverage
    yield of_one(
        "kits put up: so many more are closed",
        packed,
        expected=after.books.kits - before.books.kits,
    )
    yield of_one(
        "units on hand before packing: as many after it",
        before.books.units_on_hand,
        expected=after.books.units_on_hand,
    )
    yield of_one(
        "units that coverage counts before packing: as many after it",
        first.units_on_hand,
        expected=second.units_on_hand,
    )
    yield of_each(
        "wares on shelves and in kits before packing: as many after it",
        counted=before.books.all_wares,
        expected=after.books.all_wares,
    )
    yield of_days(
        "everyone-fed days before packing: as many after it",
        counted={"everyone": first.everyone_fed_days or 0.0},
        expected={"everyone": second.everyone_fed_days or 0.0},
    )
    yield of_days(
        "person-days before packing: as many after it",
        counted={"in all": first.person_days},
        expected={"in all": second.person_days},
    )
    yield of_days(
        f"days of {len(first.households)} households, added up: each has as many after packing",
        counted=_by_home(first),
        expected=_by_home(second),
    )


def round_agrees(
    before: Stood, after: Stood, *, settled: RoundSettledAnswer
) -> Iterator[Agreement]:
    """Hold the store before a round, and after it, against what was recorded at the round."""
    fell = before.books.units_on_hand - after.books.units_on_hand
    lines = Counter[str]()
    for line in settled.settled:
        lines[line.outcome] += line.units
    record = settled.record
    pulled = 0 if record is None else record.pulled.units
    yield of_one("units in the round's record: so many fewer are on hand", pulled, expected=fell)
    yield of_one(
        "units in the round's record: as its lines add up",
        pulled,
        expected=lines["eaten"] + lines["given"] + lines["discarded"],
    )
    yield of_one(
        "units in the round's record: as the ledger says of it",
        pulled,
        expected=after.books.taken[settled.version],
    )
    yield of_one(
        "units in the round's record: so many fewer does coverage count",
        pulled,
        expected=before.coverage.units_on_hand - after.coverage.units_on_hand,
    )
    yield of_one(
        "kits eaten or unpacked: so many fewer are closed",
        len({line.kit for line in settled.settled if line.kit is not None}),
        expected=before.books.kits - after.books.kits,
    )


def _by_home(answer: CoverageAnswer) -> Days:
    return {home.household: home.days for home in answer.households if home.days is not None}


def of_each(words: str, *, counted: Mapping[_Key, int], expected: Mapping[_Key, int]) -> Agreement:
    """Hold counts against counts, each with that of its name."""
    differing = sum(counted.get(key, 0) != expected.get(key, 0) for key in {*counted, *expected})
    return _agreement(
        words,
        counted=sum(counted.values()),
        expected=sum(expected.values()),
        differing=differing,
    )


def of_one(words: str, counted: int, *, expected: int) -> Agreement:
    """Hold a count against a count."""
    differing = int(counted != expected)
    return _agreement(words, counted=counted, expected=expected, differing=differing)


def of_days(words: str, *, counted: Days, expected: Days) -> Agreement:
    """Hold days against days, each with those of its name."""
    differing = sum(
        abs(counted.get(name, 0.0) - expected.get(name, 0.0)) > _SAME_DAYS
        for name in {*counted, *expected}
    )
    return _agreement(
        words,
        counted=sum(counted.values()),
        expected=sum(expected.values()),
        differing=differing,
    )


def _agreement(words: str, *, counted: float, expected: float, differing: int) -> Agreement:
    return Agreement(
        words=words,
        counted=counted,
        expected=expected,
        differing=differing,
        agrees=differing == 0,
    )
