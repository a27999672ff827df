"""Write the record of rounds as plain text, 80 columns wide, so that waste is seen to fall."""

from collections.abc import Iterator
from typing import Final

from daysworth_client.figures import day_in_words
from daysworth_client.kit_lines import put_together
from daysworth_client.round_answers import OutcomeTotalPart, RoundRecordPart, RoundsAnswer
from daysworth_client.summary_lines import bar, wrapped

_BAR: Final = 14


def rounds_text(answer: RoundsAnswer) -> str:
    """Write the rounds for reading: those to come, then the record, the latest first."""
    return put_together(_heading(answer), _table(answer), _each(answer))


def _heading(answer: RoundsAnswer) -> Iterator[str]:
    yield "Rounds: what came off the shelves, and how much of it was thrown away"
    coming = [day_in_words(day) for day in answer["coming"][:2]]
    said = f"As of {day_in_words(answer['as_of'])}."
    if answer["latest_on"] is not None:
        said += f" The latest round was that of {day_in_words(answer['latest_on'])}."
    if coming:
        said += f" To come: {' and '.join(coming)}."
    yield from wrapped(said)
    if not answer["records"]:
        yield from wrapped("No round has a record yet: nothing was settled at one.")


def _table(answer: RoundsAnswer) -> Iterator[str]:
    if not answer["records"]:
        return
    yield f"  {'round':<12}{'pulled':>10}{'eaten':>10}{'given':>10}{'thrown away':>14}  of it"
    most = max(one["discarded_share"] or 0.0 for one in answer["records"])
    for one in answer["records"]:
        yield _row(one, most=most)


def _row(one: RoundRecordPart, *, most: float) -> str:
    share = one["discarded_share"]
    drawn = "" if share is None else f"{share:>5.0%} {bar(share, most=most, width=_BAR)}"
    masses = f"{_kg(one['pulled']):>10}{_kg(one['eaten']):>10}{_kg(one['given']):>10}"
    return f"  {one['round_on']:<12}{masses}{_kg(one['discarded']):>14} {drawn}".rstrip()


def _kg(total: OutcomeTotalPart) -> str:
    return f"{total['mass_g'] / 1000:,.1f} kg"


def _each(answer: RoundsAnswer) -> Iterator[str]:
    for one in answer["records"]:
        yield from record_lines(one)


def record_lines(one: RoundRecordPart, *, indent: str = "") -> Iterator[str]:
    """Write one round's record: in words, and in units."""
    yield from wrapped(f"Round of {day_in_words(one['round_on'])}: {one['words']}.", indent=indent)
    yield from wrapped(
        f"In units: {one['pulled']['units']:,} pulled, of which {one['eaten']['units']:,} eaten,"
        f" {one['given']['units']:,} given and {one['discarded']['units']:,} thrown away;"
        f" {one['unpacked']['units']:,} unpacked from kits and back on the shelf.",
        indent=f"{indent}  ",
    )
