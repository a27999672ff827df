"""Write the days by household, those with the same days on one line, the worst off first."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Final

from daysworth_client.answers import HouseholdPart
from daysworth_client.figures import count, fitted, tenths
from daysworth_client.summary_lines import MOST_LINES, bar, people, wrapped

MOST_NAMED: Final = 8
"""How many households of a line are named before the rest are only counted."""
_BAR: Final = 20
_NAME: Final = 16


@dataclass(frozen=True, slots=True)
class _Level:
    """The households that are shown with the same days."""

    days: str
    homes: list[HouseholdPart]


def households(homes: Sequence[HouseholdPart]) -> Iterator[str]:
    """List the days of households, worst first; those with as many days share a line."""
    if not homes:
        return
    yield "Days by household, worst first"
    levels = _levels([home for home in homes if home["days"] is not None])
    longest = max((home["days"] or 0.0 for home in homes), default=0.0)
    for level in levels[:MOST_LINES]:
        yield from _line(level, longest=longest)
    if rest := sum(len(level.homes) for level in levels[MOST_LINES:]):
        yield f"  and {count(rest, 'more household')}, with more days than these"
    if without := [home for home in homes if home["days"] is None]:
        yield from wrapped(f"no need of its own: {_named(without)}", indent="  ", hanging="    ")


def _levels(homes: Sequence[HouseholdPart]) -> list[_Level]:
    found: dict[str, list[HouseholdPart]] = {}
    for home in homes:
        days = tenths(home["days"] or 0.0) + ("+" if home["at_least"] else " ")
        found.setdefault(days, []).append(home)
    return [_Level(days, alike) for days, alike in found.items()]


def _line(level: _Level, *, longest: float) -> Iterator[str]:
    drawn = bar(level.homes[0]["days"] or 0.0, most=longest, width=_BAR)
    head = f"  {level.days:>7} {drawn:<{_BAR}} "
    members = people(sum(home["members"] for home in level.homes))
    homes = count(len(level.homes), "household")
    yield from wrapped(
        f"{homes}, {members}: {_named(level.homes)}", indent=head, hanging=" " * len(head)
    )


def _named(homes: Sequence[HouseholdPart]) -> str:
    names = [fitted(home["household"], _NAME).rstrip() for home in homes[:MOST_NAMED]]
    left_out = len(homes) - MOST_NAMED
    return ", ".join(names) + (f" and {left_out} more" if left_out > 0 else "")
