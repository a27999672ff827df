"""Write what the demonstration of kits and rounds did as plain text, 80 columns wide."""

from collections.abc import Iterator, Sequence
from itertools import groupby
from typing import Final, TypedDict

from daysworth_client.figures import count, day_in_words, fitted, one_line, tenths
from daysworth_client.kit_answers import KitInListPart
from daysworth_client.kit_lines import cautions, kilograms, put_together, titled, whom
from daysworth_client.kit_plan import how_good, kinds_made, made_of_wanted
from daysworth_client.kit_plan_answers import KitPlanAnswer, PickPlacePart
from daysworth_client.round_answers import (
    ProposalPart,
    RoundPlanAnswer,
    RoundSettledAnswer,
    WorkPlacePart,
)
from daysworth_client.round_plan import due_in_all
from daysworth_client.round_records import record_lines
from daysworth_client.summary_lines import WIDTH, wrapped

_FIRST: Final = 3
"""How many things of a list are shown before the rest are only counted."""

_CAUTIONS: Final = frozenset(
    {"read_every_label", "when_in_doubt", "never_heat_unopened", "opened_two_hours"}
)
"""Those for whoever packs and whoever eats of a kit; each answer of its own has all of its."""


class AgreementPart(TypedDict):
    """Two counts that should be one."""

    words: str
    counted: float
    expected: float
    differing: int
    agrees: bool


class StoodPart(TypedDict):
    """How the store stood at one moment."""

    when: str
    units_on_hand: int
    kits: int
    everyone_fed_days: float | None
    person_days: float


class RoundDemo(TypedDict):
    """All that the demonstration did, in its order."""

    question: str
    store: str
    store_name: str
    as_of: str
    older: list[KitInListPart]
    plan: KitPlanAnswer
    kits: list[KitInListPart]
    round: RoundPlanAnswer
    settled: RoundSettledAnswer
    second_look: RoundPlanAnswer
    stood: list[StoodPart]
    agreement: list[AgreementPart]
    agrees: bool


def round_demo_text(demo: RoundDemo) -> str:
    """Write the demonstration for reading: step by step, whether it agrees, the cautions last."""
    return put_together(
        _heading(demo),
        _planned(demo),
        _picking(demo["plan"]["picking"]),
        _put_up(demo),
        how_good(demo["plan"]),
        _due(demo["round"]),
        _recorded(demo["settled"]),
        _second_look(demo["second_look"]),
        _stood(demo["stood"]),
        agreement_lines(demo["agreement"], number=7),
        cautions([one for one in demo["plan"]["cautions"] if one["id"] in _CAUTIONS]),
        _more_cautions(),
    )


def _heading(demo: RoundDemo) -> Iterator[str]:
    yield from titled(demo["store_name"], "kits, and a round")
    yield from wrapped(
        f"As of {day_in_words(demo['as_of'])}. All of this happens in a database that is thrown"
        " away afterwards."
    )
    yield ""
    older = "; ".join(f"{one_line(one['name'])}, {_pull_by(one)}" for one in demo["older"])
    yield from wrapped(f"Put up by hand some time ago: {older}.")


def _planned(demo: RoundDemo) -> Iterator[str]:
    yield f"1. A plan: {made_of_wanted(demo['plan'])} can be put up"
    yield from kinds_made(demo["plan"])


def _picking(places: Sequence[PickPlacePart]) -> Iterator[str]:
    yield "2. The picking list, in walking order"
    for place in places:
        yield f"  {fitted(place['place_name'], WIDTH - 2).rstrip()}"
        units: dict[str, int] = {}
        for line in place["lines"]:
            units[line["name"]] = units.get(line["name"], 0) + line["units"]
        listed = "; ".join(f"{many} x {one_line(name)}" for name, many in units.items())
        yield from wrapped(f"{listed}.", indent="    ")


def _put_up(demo: RoundDemo) -> Iterator[str]:
    totals = demo["plan"]["totals"]
    yield (
        f"3. Put up in one transaction: {count(totals['kits'], 'kit')},"
        f" {count(totals['person_meals'], 'meal')}, {kilograms(totals['mass_g'])} of food"
    )
    older = {one["id"] for one in demo["older"]}
    kits = sorted((one for one in demo["kits"] if one["id"] not in older), key=_alike)
    for _, alike in groupby(kits, key=_alike):
        yield _kits(list(alike))


def _alike(one: KitInListPart) -> tuple[str, str, int]:
    return one["pull_by_day"] or "", one["name"], one["parcel_number"] or 0


def _kits(alike: Sequence[KitInListPart]) -> str:
    one = alike[0]
    for_whom = fitted(whom(one["parcel_number"], None), 10)
    until = f"pull by {one['pull_by_day'] or 'undated':<10}"
    said = f"  {len(alike):>2} x {until}  for {one['persons']:>2}, {for_whom} "
    return f"{said}{fitted(one['name'], WIDTH - len(said))}".rstrip()


def _pull_by(one: KitInListPart) -> str:
    day = one["pull_by_day"]
    return "undated" if day is None else f"good until {day_in_words(day)}"


def _due(answer: RoundPlanAnswer) -> Iterator[str]:
    held_on = answer["round_on"]
    of = "" if held_on is None else f" of {day_in_words(held_on)}"
    yield (
        f"4. The round{of}: {count(answer['due'], 'lot or kit is', many='lots and kits are')} due"
    )
    yield from due_in_all(answer)
    proposals = [one for place in answer["worklist"] for one in place["proposals"]]
    for one in proposals:
        if one["kit"] is not None:
            yield from wrapped(_proposal(one), indent="  ", hanging="      ")
    for place in answer["worklist"]:
        yield from wrapped(_place(place), indent="  ", hanging="      ")


def _place(place: WorkPlacePart) -> str:
    lots = [one for one in place["proposals"] if one["kit"] is None]
    said = f"{one_line(place['place_name'])}: {count(len(lots), 'lot')}"
    good = [one for one in lots if one["action"] != "discard"]
    shown = min(good or lots, key=lambda one: len(one["words"]), default=None)
    return said if shown is None else f"{said}, such as {_proposal(shown)}"


def _proposal(one: ProposalPart) -> str:
    if one["kit"] is not None:
        return f"The kit {one_line(one['name'])}: {one_line(one['words'])}"
    return f"{one['units']} x {one_line(one['name'])}: {one_line(one['words'])}"


def _recorded(settled: RoundSettledAnswer) -> Iterator[str]:
    yield "5. All that was proposed is accepted at once, and recorded in one transaction"
    if settled["record"] is not None:
        yield from record_lines(settled["record"], indent="  ")
    for left in settled["left"][:_FIRST]:
        yield from wrapped(f"Stays for now: {one_line(left['words'])}.", indent="  ")


def _second_look(answer: RoundPlanAnswer) -> Iterator[str]:
    due = count(answer["due"], "lot or kit is", many="lots and kits are")
    yield f"6. A second look at the same round: {due} due"
    proposals = [one for place in answer["worklist"] for one in place["proposals"]]
    for one in proposals[:_FIRST]:
        yield from wrapped(_proposal(one), indent="    ", hanging="      ")
    if len(proposals) > _FIRST:
        yield f"    and {count(len(proposals) - _FIRST, 'more', many='more')}"


def _stood(stood: Sequence[StoodPart]) -> Iterator[str]:
    yield f"  {'':<18}{'units on hand':>14}{'closed kits':>13}{'everyone fed':>15}{'in all':>18}"
    for one in stood:
        days = one["everyone_fed_days"]
        fed = "no days" if days is None else f"{tenths(days)} days"
        yield (
            f"  {one['when']:<18}{one['units_on_hand']:>14,}{one['kits']:>13,}{fed:>15}"
            f"{one['person_days']:>6,.0f} person-days"
        )


def agreement_lines(agreement: Sequence[AgreementPart], *, number: int) -> Iterator[str]:
    """Write whether counts that should be one are one, each with its figure."""
    broken = sum(not one["agrees"] for one in agreement)
    if broken:
        yield f"{number}. IT DOES NOT AGREE: {broken} of {len(agreement)} counts"
    else:
        yield f"{number}. It agrees, to the unit: {count(len(agreement), 'count')}"
    for one in agreement:
        mark = "yes" if one["agrees"] else "NO "
        yield from wrapped(
            one_line(one["words"]) + _lacks(one),
            indent=f"  {mark} {_figure(one['counted']):>8}  ",
            hanging=" " * 18,
        )


def _lacks(one: AgreementPart) -> str:
    if one["agrees"]:
        return ""
    return f" -- BUT {_figure(one['expected'])}, and {one['differing']:,} differ"


def _figure(value: float) -> str:
    return f"{value:,.0f}" if value == round(value) else f"{value:,.2f}"


def _more_cautions() -> Iterator[str]:
    yield from wrapped(
        "There are more cautions with each plan and each round. Packing and labels are an aid: what"
        " is on a pack's own label is what counts."
    )
