"""Lay out the lines of a summary: 80 columns, bars of one sign, lists that say what they omit."""

import textwrap
from collections.abc import Iterator
from datetime import date, timedelta
from typing import Final

from daysworth_client.answers import ClassMealsPart, ClassPart, CoverageAnswer, RunsOutPart
from daysworth_client.figures import count, tenths

WIDTH: Final = 80
MOST_LINES: Final = 10
"""How many lots, households or groups are listed before the rest are only counted."""
WORTH_SAYING: Final = 0.1
"""Fewer days than this are not told as a gain."""
_GRAIN: Final = 1e-6
"""Answers are published to six decimals; a figure this near the next whole has reached it."""
_SENTENCE: Final = "      "


def wrapped(text: str, *, indent: str = "", hanging: str | None = None) -> Iterator[str]:
    """Break a text into lines; those after the first are indented by `hanging` where given."""
    yield from textwrap.wrap(
        text,
        WIDTH,
        initial_indent=indent,
        subsequent_indent=indent if hanging is None else hanging,
        break_on_hyphens=False,
    )


def sentence(text: str) -> Iterator[str]:
    """Write a sentence below the line that it explains."""
    yield from wrapped(text, indent=_SENTENCE)


def whole(figure: float) -> int:
    """Round days or person-days down to a whole one."""
    return int(figure + _GRAIN)


def day_number(as_of: str, days: int) -> str:
    """Give the date (ISO) of a day counted from the as-of date, which is day 1."""
    return (date.fromisoformat(as_of) + timedelta(days=days - 1)).isoformat()


def bar(figure: float, *, most: float, width: int) -> str:
    """Draw a figure as signs, `width` of them for the largest; rounded down."""
    return "=" * (int(figure / most * width + _GRAIN) if most > 0 else 0)


def people_of(one: ClassPart | RunsOutPart | ClassMealsPart) -> str:
    """Name a group by its count and its need, never by a name."""
    return f"{people(one['members'])} ({one['need']})"


def people(members: int) -> str:
    """Write a number of people: "1 person", "5 people"."""
    return count(members, "person", many="people")


def runs_out_apart(answer: CoverageAnswer) -> int:
    """Count the people who run out first; 0 where all run out together or nobody does."""
    held = sum(one["members"] for one in answer["held_by"])
    is_apart = not answer["everyone_fed_at_least"] and held < answer["members_with_a_need"]
    return held if is_apart else 0


def more(left_out: int, one: str) -> str:
    """Say how many of a list are not shown."""
    return f"  and {count(left_out, f'more {one}')}"


def gain_in_days(days: float, *, gained: float, horizon_days: int) -> str:
    """Write days gained: "+0.4 days", or "at least +172.5 days" where the horizon ends them."""
    least = "at least " if days + gained >= horizon_days - _GRAIN else ""
    return f"{least}+{tenths(gained)} days"
