"""Write what the demonstration of surplus did as plain text, 80 columns wide."""

from collections.abc import Iterator, Sequence
from datetime import date
from typing import Final, TypedDict

from daysworth.cli.demo_round_text import AgreementPart, agreement_lines
from daysworth_client.figures import count, day_in_words, fitted, one_line, tenths
from daysworth_client.kit_lines import cautions, kilograms, put_together, titled
from daysworth_client.partner_answers import (
    AcceptanceRulePart,
    GivenAnswer,
    PartnerPart,
    PromiseInListPart,
    PromiseLinePart,
    PromisePart,
)
from daysworth_client.summary_lines import wrapped
from daysworth_client.surplus_answers import FloorsAnswer, SurplusAnswer
from daysworth_client.surplus_plan import (
    floor_lines,
    how_good,
    in_all,
    load,
    looked_at,
    staying_lines,
    visit_lines,
)

_CAUTIONS: Final = frozenset({"read_every_label", "when_in_doubt", "no_home_canned"})


class WindowAheadPart(TypedDict):
    """A partner's window, and its visits in the twelve weeks from the as-of date on."""

    partner_name: str
    window: str
    visits: list[str]


class NotePart(TypedDict):
    """What the delivery note of a promise says, added up."""

    promise: str
    partner_name: str
    visit_on: str
    words: str
    has_gone: bool
    lines: int
    units: int
    net_mass_g: float
    with_label_read: int
    struck: int
    law: str


class SurplusStoodPart(TypedDict):
    """How the store stood at one moment."""

    when: str
    as_of: str
    units_on_hand: int
    units_promised: int
    everyone_fed_days: float | None
    person_days: float


class SurplusDemo(TypedDict):
    """All that the demonstration did, in its order."""

    question: str
    store: str
    store_name: str
    as_of: str
    partners: list[PartnerPart]
    windows: list[WindowAheadPart]
    plan: SurplusAnswer
    floors: FloorsAnswer
    promised: list[PromiseInListPart]
    ended: list[PromisePart]
    second_look: SurplusAnswer
    given: GivenAnswer
    notes: list[NotePart]
    stood: list[SurplusStoodPart]
    agreement: list[AgreementPart]
    agrees: bool


def surplus_demo_text(demo: SurplusDemo) -> str:
    """Write the demonstration for reading: step by step, whether it agrees, the cautions last."""
    plan = demo["plan"]
    return put_together(
        _heading(demo),
        _partners(demo["partners"], windows=demo["windows"]),
        _planned(plan),
        *(visit_lines(one, is_short=True) for one in plan["visits"]),
        staying_lines(plan["staying"]),
        how_good(plan["stages"]),
        _floors(demo["floors"]),
        _promised(demo["promised"]),
        _ended(demo["ended"]),
        _second_look(demo["second_look"], ended=demo["ended"]),
        _given(demo["given"]),
        _notes(demo["notes"]),
        _stood(demo["stood"]),
        _agreement(demo["agreement"]),
        cautions([one for one in plan["cautions"] if one["id"] in _CAUTIONS]),
    )


def _heading(demo: SurplusDemo) -> Iterator[str]:
    yield from titled(demo["store_name"], "giving what would spoil")
    yield from wrapped(
        f"As of {day_in_words(demo['as_of'])}. A shop has just given much that is near its date:"
        " more than the homes can eat in time. All of this happens in a database that is thrown"
        " away afterwards."
    )


def _partners(
    partners: Sequence[PartnerPart], *, windows: Sequence[WindowAheadPart]
) -> Iterator[str]:
    yield "1. Who takes what can be spared, and when: the coming twelve weeks"
    for one in partners:
        yield f"  {fitted(one['name'], 78).rstrip()}"
        for window in one["windows"]:
            ahead = next(
                each["visits"]
                for each in windows
                if each["partner_name"] == one["name"] and each["window"] == window["id"]
            )
            yield from _said(window["opening"]["words"])
            yield from _said(f"{count(len(ahead), 'visit')}: {_days(ahead)}")
            bounds = [
                *([] if window["most_kg"] is None else [f"at most {window['most_kg']:g} kg"]),
                *(
                    []
                    if window["most_units"] is None
                    else [f"at most {window['most_units']} units"]
                ),
                *(
                    []
                    if window["vehicle_kg"] is None
                    else [f"we carry {window['vehicle_kg']:g} kg"]
                ),
            ]
            notice = window["notice_days"]
            told = "on the day itself" if notice == 0 else f"{count(notice, 'day')} before"
            yield from _said("; ".join([*bounds, f"to be promised {told}"]))
        taken = [rule["words"] for rule in sorted(one["rules"], key=_is_for_all)]
        without = [] if one["without_rule"] is None else [one["without_rule"]]
        yield from _said("; ".join([*taken, *without]))


def _is_for_all(rule: AcceptanceRulePart) -> bool:
    return rule["group"] is None


def _days(visits: Sequence[str]) -> str:
    days = [date.fromisoformat(one[:10]) for one in visits]
    return ", ".join(f"{day.day} {day:%b}" for day in days)


def _said(words: str) -> Iterator[str]:
    said = f"{words[:1].upper()}{words[1:].rstrip('.')}."
    yield from wrapped(one_line(said), indent="    ", hanging="      ")


def _planned(plan: SurplusAnswer) -> Iterator[str]:
    yield "2. The plan: what goes where, before it spoils"
    yield from looked_at(plan, indent="  ")
    yield from in_all(plan, indent="  ")


def _floors(answer: FloorsAnswer) -> Iterator[str]:
    yield "3. And if everyone were to stay fed for other days than the store's own floor?"
    yield from floor_lines(answer["floors"])


def _promised(promised: Sequence[PromiseInListPart]) -> Iterator[str]:
    units = sum(one["promised"]["units"] for one in promised)
    mass_g = sum(one["promised"]["mass_g"] for one in promised)
    yield f"4. Promised in one transaction: {len(promised)} promises wait, {load(units, mass_g)}"
    for one in promised:
        yield from _promise(one)
    yield from wrapped(
        "What is promised stands here until its day, and counts in nobody's days any more.",
        indent="  ",
    )


def _promise(one: PromiseInListPart) -> Iterator[str]:
    promised = one["promised"]
    said = (
        f"  {one['visit_on']}  {promised['units']:>5,} units{kilograms(promised['mass_g']):>10}  "
    )
    yield f"{said}{fitted(one['partner_name'], 80 - len(said))}".rstrip()


def _ended(ended: Sequence[PromisePart]) -> Iterator[str]:
    yield f"5. The days go by: what became of the first {len(ended)}"
    for one in ended:
        summary = one["summary"]
        yield from wrapped(
            f"{one_line(summary['words'])}, {one_line(summary['partner_name'])}:"
            f" {one_line(summary['state_words'])}.",
            indent="  ",
            hanging="    ",
        )
        went = summary["went"]
        if went is not None and went["units"]:
            yield f"    {load(went['units'], went['mass_g'])} went"
        for line in (line for place in one["contents"] for line in place["lines"]):
            yield from _short(line)
        if one["why"]:
            yield from wrapped(f"Why: {one_line(one['why'])}.", indent="    ")


def _short(line: PromiseLinePart) -> Iterator[str]:
    if line["went"] is not None and line["went"] < line["units"]:
        yield from wrapped(
            f"{line['went']} of {line['units']} x {one_line(line['food_name'])}:"
            f" {one_line(line['why'] or '')}.",
            indent="    ",
            hanging="      ",
        )


def _second_look(plan: SurplusAnswer, *, ended: Sequence[PromisePart]) -> Iterator[str]:
    totals = plan["totals"]
    freed = {
        line["lot"]
        for one in ended
        for place in one["contents"]
        for line in place["lines"]
        if (line["went"] or 0) < line["units"]
    }
    yield f"6. A second look, on {day_in_words(plan['as_of'])}: what is free again"
    if not totals["visits"]:
        yield "  Nothing of it can go now."
    for one in plan["visits"]:
        lines = [line for place in one["packing"] for line in place["lines"]]
        listed = "; ".join(f"{line['units']} x {one_line(line['food_name'])}" for line in lines)
        yield from wrapped(
            f"{one_line(one['words'])}, {one_line(one['partner_name'])}: {listed}.",
            indent="  ",
            hanging="    ",
        )
    for left in plan["staying"]:
        if left["lot"] in freed:
            named = f"{left['units']} x {one_line(left['food_name'])}"
            yield from wrapped(
                f"Stays: {named}, since {one_line(left['words'])}.", indent="  ", hanging="    "
            )


def _given(given: GivenAnswer) -> Iterator[str]:
    yield (
        f"7. Given from {day_in_words(given['from_on'])} to {day_in_words(given['to_on'])}:"
        f" {count(given['hand_offs'], 'hand-off')}"
    )
    for one in given["partners"]:
        went = one["went"]
        yield (
            f"  {fitted(one['partner_name'], 32)}{went['units']:>6,} units"
            f"{kilograms(went['mass_g']):>10}{went['energy_kcal']:>11,.0f} kcal"
        )
    meals = given["to_partners"]["meals"]
    yield from wrapped(
        f"As meals: {meals:,.0f}, {one_line(given['meals_words'])}.", indent="  ", hanging="    "
    )


def _notes(notes: Sequence[NotePart]) -> Iterator[str]:
    yield "8. The delivery notes, each checked again as it is written"
    for one in notes:
        gone = "went" if one["has_gone"] else "to go"
        said = (
            f"  {one['visit_on']}  {fitted(one['partner_name'], 26)}"
            f"{count(one['lines'], 'line'):>8}{one['units']:>5,} units"
            f"{kilograms(one['net_mass_g']):>9} {gone}"
        )
        yield said + (f", {one['struck']} struck" if one["struck"] else "")
    read, lines = (sum(one[of] for one in notes) for of in ("with_label_read", "lines"))
    yield from wrapped(
        f"Of {count(lines, 'line')}, {read:,} had the label read here: those name the allergens,"
        " the others say that nobody read them.",
        indent="  ",
        hanging="    ",
    )
    for law in dict.fromkeys(one["law"] for one in notes):
        yield from wrapped(f"On each: {one_line(law)}", indent="  ", hanging="    ")


def _stood(stood: Sequence[SurplusStoodPart]) -> Iterator[str]:
    yield f"  {'':<20}{'units on hand':>14}{'promised':>10}{'everyone fed':>14}{'in all':>18}"
    for one in stood:
        days = one["everyone_fed_days"]
        fed = "no days" if days is None else f"{tenths(days)} days"
        yield (
            f"  {one['when']:<20}{one['units_on_hand']:>14,}{one['units_promised']:>10,}"
            f"{fed:>14}{one['person_days']:>6,.0f} person-days"
        )
    yield from wrapped(
        "The plan holds the floor by what has really gone by each day. What is promised counts in "
        "no days from the moment on that it is, though it stands here until its visit: in an "
        "emergency let the promise lapse, and it counts again.",
        indent="  ",
        hanging="  ",
    )


def _agreement(agreement: Sequence[AgreementPart]) -> Iterator[str]:
    yield from agreement_lines(agreement, number=9)
