"""Record what became of what was due at a round: all of it in one write, or nothing."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import asdict
from datetime import date

from sqlalchemy import insert

from daysworth.db.kits import KeptKit
from daysworth.db.ledger.held import Held, change, find
from daysworth.db.ledger.kits import eat_kit, unpack_kit
from daysworth.db.ledger.round_decisions import DecidedOn, RoundDecision, check_decisions
from daysworth.db.people_kept import Kept
from daysworth.db.rounds import RoundLine
from daysworth.db.tables import ROUND_LINE
from daysworth.db.transactions import Writing
from daysworth.domain.entries import EntryKind, RoundOutcome
from daysworth.domain.identifiers import LotId

_ENTRIES: Mapping[RoundOutcome, EntryKind] = {
    RoundOutcome.EATEN: EntryKind.EATEN,
    RoundOutcome.GIVEN: EntryKind.HANDED_OFF,
    RoundOutcome.DISCARDED: EntryKind.DISCARDED,
}


def settle_round(
    writing: Writing, round_on: date, *, decisions: Sequence[RoundDecision]
) -> list[RoundLine]:
    """Do what was decided at a round, and record it; kits first, so that what is unpacked is free.

    Gives a line for each lot that was decided on, and for each lot in a kit. Raises FieldsRefused,
    naming every fault by the number of its decision.
    """
    about = check_decisions(writing, round_on, decisions=decisions)
    lines = [
        line
        for one in decisions
        if one.kit is not None
        for line in _settle_kit(writing, one, about=about, round_on=round_on)
    ]
    lines += [
        _settle_lot(writing, one, about=about, round_on=round_on)
        for one in decisions
        if one.lot is not None
    ]
    _keep(writing, lines)
    return lines


def _settle_kit(
    writing: Writing, one: RoundDecision, *, about: DecidedOn, round_on: date
) -> Iterator[RoundLine]:
    assert one.kit is not None, "only of decisions on kits"
    deed = eat_kit if one.outcome is RoundOutcome.EATEN else unpack_kit
    ended: KeptKit = deed(writing, one.kit, why=one.why, detail={"round": round_on})
    for item in ended.kit.items:
        lot = about.lots[item.lot]
        yield _line(writing, one, lot=lot, about=about, units=item.units, round_on=round_on)


def _settle_lot(
    writing: Writing, one: RoundDecision, *, about: DecidedOn, round_on: date
) -> RoundLine:
    assert one.lot is not None, "only of decisions on lots"
    assert one.units is not None, "a sound decision on a lot says how many"
    lot = find(writing, one.lot)
    detail: dict[str, Kept] = {"round": round_on}
    if one.to:
        detail["to"] = one.to
    kind = _ENTRIES[one.outcome]
    change(writing, lot, kind=kind, units=-one.units, why=one.why, detail=detail)
    return _line(writing, one, lot=lot, about=about, units=one.units, round_on=round_on)


def _line(
    writing: Writing,
    one: RoundDecision,
    *,
    lot: Held,
    about: DecidedOn,
    units: int,
    round_on: date,
) -> RoundLine:
    food = about.food_of(lot)
    unit_mass_g = lot.net_mass_g
    if unit_mass_g is None and food is not None:
        unit_mass_g = food.net_mass_g
    return RoundLine(
        version=writing.version,
        line=next(writing.lines),
        round_on=round_on,
        lot=LotId(lot.id),
        kit=one.kit,
        outcome=one.outcome,
        units=units,
        mass_g=None if unit_mass_g is None else units * unit_mass_g,
        energy_kcal=None if food is None else units * food.energy_kcal(lot.net_mass_g),
        at=writing.instant,
        by=writing.by.signs_as,
        why=one.why,
    )


def _keep(writing: Writing, lines: Sequence[RoundLine]) -> None:
    rows = [{"store": writing.store, **asdict(line)} for line in lines]
    writing.connection.execute(insert(ROUND_LINE), rows)
