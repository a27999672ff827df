"""Write a store's promises as plain text, 80 columns wide: by the time of their visits."""

from collections.abc import Iterator, Sequence

from daysworth_client.figures import count, one_line
from daysworth_client.kit_lines import put_together
from daysworth_client.partner_answers import PromiseInListPart
from daysworth_client.summary_lines import wrapped
from daysworth_client.surplus_plan import load


def promises_text(promises: Sequence[PromiseInListPart]) -> str:
    """Write promises for reading: how many wait, then each with what became of it."""
    if not promises:
        return "Nothing is promised.\n"
    return put_together(_heading(promises), *(promise_lines(one) for one in promises))


def _heading(promises: Sequence[PromiseInListPart]) -> Iterator[str]:
    waiting = [one for one in promises if one["went"] is None]
    units = sum(one["promised"]["units"] for one in waiting)
    mass_g = sum(one["promised"]["mass_g"] for one in waiting)
    yield from wrapped(
        f"{count(len(promises), 'promise')}; {len(waiting):,} of them"
        f" {'waits' if len(waiting) == 1 else 'wait'} for the day, with {load(units, mass_g)}."
    )


def promise_lines(one: PromiseInListPart) -> Iterator[str]:
    """Write a promise: for which visit, how much, and what became of it."""
    yield from wrapped(f"{one_line(one['words'])}: {one_line(one['partner_name'])}")
    promised, went = one["promised"], one["went"]
    said = f"{load(promised['units'], promised['mass_g'])} promised"
    if went is not None:
        said += f", {load(went['units'], went['mass_g'])} went"
    yield from wrapped(f"{said}: {one_line(one['state_words'])}.", indent="  ", hanging="    ")
    yield f"  {one_line(one['id'])}"
