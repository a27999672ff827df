"""Write what a store can spare as plain text, 80 columns wide: what goes where, what stays, why."""

from collections.abc import Iterator, Sequence
from itertools import groupby
from typing import Final

from daysworth_client.figures import count, day_in_words, fitted, one_line, tenths
from daysworth_client.kit_lines import cautions, kilograms, put_together, titled
from daysworth_client.summary_lines import wrapped
from daysworth_client.surplus_answers import (
    FloorPart,
    FloorsAnswer,
    PackLinePart,
    PlannedVisitPart,
    StayingPart,
    SurplusAnswer,
    SurplusStagePart,
)

_PERCENT: Final = 100
_SETTLED: Final = 0.0001
"""A hundredth of a percent; a lesser gap is not told as a figure."""

_KINDS: Final = {
    "use_by": "use by",
    "best_by": "best by",
    "sell_by": "sell by",
    "packed_on": "packed on",
}
_WHY: Final = {
    "floor": "needed here",
    "capacity": "no room",
    "no_window": "no visit in time",
    "refused": "not taken",
    "never_goes": "goes to nobody",
}


def surplus_text(answer: SurplusAnswer) -> str:
    """Write a plan for reading: the visits in their order, what stays, how good it is."""
    return put_together(
        _heading(answer),
        *(visit_lines(one) for one in answer["visits"]),
        staying_lines(answer["staying"]),
        how_good(answer["stages"]),
        cautions(answer["cautions"]),
    )


def floors_text(answer: FloorsAnswer) -> str:
    """Write for reading how much could go if everyone were to stay fed for other days."""
    return put_together(_floors_heading(answer), floor_lines(answer["floors"]))


def _heading(answer: SurplusAnswer) -> Iterator[str]:
    yield from titled(answer["store_name"], "what could be given before it spoils")
    yield from wrapped(f"As of {day_in_words(answer['as_of'])}.")
    yield from looked_at(answer)
    yield from in_all(answer)


def looked_at(answer: SurplusAnswer, *, indent: str = "") -> Iterator[str]:
    """Write what the plan looked at: which food, and how many visits."""
    visits = count(answer["open_visits"], "visit")
    yield from wrapped(
        f"Looked at: shared food that is good until some day before"
        f" {day_in_words(answer['until_on'])}, and {visits} that can still be promised"
        " before then.",
        indent=indent,
    )


def in_all(answer: SurplusAnswer, *, indent: str = "") -> Iterator[str]:
    """Write how much goes in all, and what is kept for everyone."""
    totals = answer["totals"]
    if not totals["visits"]:
        yield from wrapped("Nothing can go.", indent=indent)
    else:
        takes = "visit takes" if totals["visits"] == 1 else "visits take"
        yield from wrapped(
            f"{totals['visits']:,} {takes} {load(totals['units'], totals['mass_g'])},"
            f" {totals['energy_kcal']:,.0f} kcal.",
            indent=indent,
        )
    yield from wrapped(_sentence(answer["floor_words"]), indent=indent)


def load(units: int, mass_g: float) -> str:
    """Write units with their net mass: "12 units (4.8 kg)"."""
    return f"{count(units, 'unit')} ({kilograms(mass_g)})"


def visit_lines(one: PlannedVisitPart, *, is_short: bool = False) -> Iterator[str]:
    """Write a visit: when and to whom, what to know, and what to take from which place.

    A short list adds up the packs of a food; the long one names each lot with its date.
    """
    yield from wrapped(f"{one_line(one['words'])}: {one_line(one['partner_name'])}")
    yield from wrapped(
        f"{load(one['units'], one['mass_g'])}, {one['energy_kcal']:,.0f} kcal. "
        f"Promise it by {day_in_words(one['promise_by_day'])}.",
        indent="  ",
    )
    for named in ("driver", "appointment", "contact"):
        words = {"driver": one["driver"], "appointment": one["appointment"]}
        said = words.get(named, one["contact"])
        if said:
            yield from wrapped(_sentence(f"{named}: {one_line(said)}"), indent="  ", hanging="    ")
    if one["law"] is not None:
        yield from wrapped(one_line(one["law"]), indent="  ")
    for place in one["packing"]:
        yield f"  {fitted(place['place_name'], 78).rstrip()}"
        if is_short:
            yield from _by_food(place["lines"])
        else:
            yield from (_lot(line) for line in place["lines"])


def _by_food(lines: Sequence[PackLinePart]) -> Iterator[str]:
    units: dict[str, int] = {}
    for line in lines:
        units[line["food_name"]] = units.get(line["food_name"], 0) + line["units"]
    listed = "; ".join(f"{many} x {one_line(name)}" for name, many in units.items())
    yield from wrapped(f"{listed}.", indent="    ")


def _lot(line: PackLinePart) -> str:
    kind = _KINDS.get(line["label_kind"], line["label_kind"])
    date = "no date" if line["printed"] is None else f"{kind} {line['printed']}"
    named = f"{fitted(line['food_name'], 38)} {fitted(date, 20)}"
    return f"{line['units']:>7,} x {named} {one_line(line['lot'])}".rstrip()


def staying_lines(staying: Sequence[StayingPart]) -> Iterator[str]:
    """Write what could spoil and goes nowhere: under each kind of reason, lot by lot."""
    if not staying:
        return
    yield f"What stays, and why: {count(sum(one['units'] for one in staying), 'unit')}"
    order = list(_WHY)
    by_why = sorted(
        staying, key=lambda one: order.index(one["why"]) if one["why"] in order else len(order)
    )
    for why, some in groupby(by_why, key=lambda one: one["why"]):
        yield f"  {_WHY.get(why, why).capitalize()}"
        for words, alike in groupby(sorted(some, key=_by_words), key=_reason):
            units: dict[str, int] = {}
            for one in alike:
                units[_named(one)] = units.get(_named(one), 0) + one["units"]
            listed = ", ".join(f"{many} x {name}" for name, many in units.items())
            said = _sentence(f"{listed}: {one_line(words)}")
            yield from wrapped(said, indent="    ", hanging="      ")


def _by_words(one: StayingPart) -> tuple[str, str, str, str]:
    return _reason(one), one["last_good_day"] or "", one["food_name"], one["lot"]


def _reason(one: StayingPart) -> str:
    """Give the reason without the lot's date that it may end with, so that lots stand together."""
    return one["words"].removesuffix(_its_date(one))


def _named(one: StayingPart) -> str:
    is_dated = _reason(one) != one["words"]
    return one_line(one["food_name"]) + (f" ({one['last_good_day']})" if is_dated else "")


def _its_date(one: StayingPart) -> str:
    day = one["last_good_day"]
    return "" if day is None else f", {day_in_words(day)}"


def how_good(stages: Sequence[SurplusStagePart]) -> Iterator[str]:
    """Write what a plan reaches of each aim, and how far from the best it can be at most."""
    yield "How good this plan is; each aim is held by those before it"
    for number, one in enumerate(stages, start=1):
        words = one_line(one["words"])
        said = f"{number}. {words[:1].upper()}{words[1:]}: {_reached(one)}."
        yield from wrapped(said, indent="  ", hanging="     ")


def _reached(one: SurplusStagePart) -> str:
    value, bound = _figure(one["aim"], one["value"]), _figure(one["aim"], one["bound"])
    if one["gap"] == 0:
        return f"{value}; proved, no plan does better"
    if one["aim"] != "energy":
        return f"{value}; no plan does with less than {bound}"
    share = one["gap"] * _PERCENT
    more = f"{share:.2f} %" if one["gap"] >= _SETTLED else "less than 0.01 %"
    return f"{value}; no plan reaches more than {bound}, which is {more} more"


def _figure(aim: str, value: float) -> str:
    return f"{tenths(value)} days" if aim == "earliness" else f"{value:,.0f}"


def floor_lines(floors: Sequence[FloorPart]) -> Iterator[str]:
    """Write what could go with each floor, the lowest first; the store's own is marked."""
    yield f"  {'everyone fed for':<18}{'visits':>7}{'units':>8}{'mass':>12}{'beside your own':>18}"
    for one in floors:
        totals = one["totals"]
        own = "your own" if one["is_own_floor"] else _more(one["more_mass_g"])
        days = "no floor" if one["floor_days"] == 0 else count(one["floor_days"], "day")
        yield (
            f"  {days:<18}{totals['visits']:>7,}{totals['units']:>8,}"
            f"{kilograms(totals['mass_g']):>12}{own:>18}"
        )


def _more(mass_g: float) -> str:
    written = kilograms(abs(mass_g))
    if written == kilograms(0):
        return "the same"
    return f"{written} {'more' if mass_g > 0 else 'less'}"


def _floors_heading(answer: FloorsAnswer) -> Iterator[str]:
    yield from titled(answer["store_name"], "what could be given with other floors")
    yield from wrapped(
        f"As of {day_in_words(answer['as_of'])}, of what is good until some day before"
        f" {day_in_words(answer['until_on'])}. The floor is for how many days everyone is to stay"
        f" fed, whatever is given; your own is {count(answer['own_floor_days'], 'day')}."
    )


def _sentence(words: str) -> str:
    return f"{words[:1].upper()}{words[1:].rstrip('.')}."
