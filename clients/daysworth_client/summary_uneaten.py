"""Write what will pass its date uneaten even if all goes by plan, and where it stands."""

from collections.abc import Iterator
from typing import Final

from daysworth_client.answers import CoverageAnswer
from daysworth_client.figures import count, tenths
from daysworth_client.summary_lines import MOST_LINES, more, sentence, whole
from daysworth_client.summary_stock import lot_line

_NEARLY_WHOLE: Final = 1e-4
_WORTH_SAYING_UNITS: Final = 0.1


def will_spoil(answer: CoverageAnswer) -> Iterator[str]:
    """List what spoils uneaten, the earliest date first."""
    spoiled = answer["will_spoil"]
    lots = [lot for lot in spoiled["lots"] if lot["units"] >= _WORTH_SAYING_UNITS]
    if answer["everyone_fed_days"] is None:
        return
    if spoiled["at_least"]:
        least = count(whole(spoiled["person_days"]), "person-day")
        yield f"Will pass its date uneaten: at least {least}"
        yield from sentence("Which lots is too much to work out for a store of this size.")
        return
    if not lots:
        return
    person_days = count(whole(spoiled["person_days"]), "person-day")
    if whole(spoiled["person_days"]) < 1:
        person_days = "less than 1 person-day"
    yield f"Will pass its date uneaten, hand it on before: {person_days}"
    yield from sentence(
        f"Left over in the next {answer['scenario']['horizon_days']} days even if everyone eats as"
        " above and what spoils first is eaten first."
    )
    for lot in lots[:MOST_LINES]:
        yield lot_line(
            units(lot["units"]), food=lot["food"], place=lot["place"], day=lot["last_good_day"]
        )
    if len(lots) > MOST_LINES:
        yield more(len(lots) - MOST_LINES, "lot")


def units(figure: float) -> str:
    """Write units that may be a part of one: "12", "3.5"."""
    nearest = round(figure)
    return str(nearest) if abs(figure - nearest) < _NEARLY_WHOLE else tenths(figure)
