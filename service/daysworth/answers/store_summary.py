"""Tell a coordinator how a store stands: its coverage, and the lots that wait for a name."""

from dataclasses import dataclass

from daysworth.answers.coverage import CoverageAnswer
from daysworth.answers.waiting import WaitingAnswer
from daysworth.answers.written import written
from daysworth.db.places import every_place
from daysworth.db.stock import LotChoice, all_lots
from daysworth.db.transactions import Reading


@dataclass(frozen=True, slots=True)
class SummaryAnswer:
    """Coverage of one version of a store, and the lots that nobody has yet said what they are."""

    coverage: CoverageAnswer
    waiting: list[WaitingAnswer]


def waiting_lots(reading: Reading, *, shared_only: bool = False) -> list[WaitingAnswer]:
    """List the lots without a food, by id; where asked, those alone that nobody keeps back."""
    names: dict[str, str] = {place.id: place.name for place in every_place(reading)}
    return [
        WaitingAnswer(lot.id, lot.words or "", lot.units, names.get(lot.place, lot.place))
        for lot in all_lots(reading, choice=LotChoice(is_waiting=True))
        if lot.is_shared or not shared_only
    ]


def summary_json(answer: SummaryAnswer) -> str:
    """Write a summary as JSON, two spaces deep; the same summary gives the same bytes."""
    return written(answer, of=SummaryAnswer)
