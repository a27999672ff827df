"""Write a packing plan as plain text, 80 columns wide: what is made, what to pick up where."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from typing import Final

from daysworth_client.figures import count, day_in_words, fitted, one_line, tenths
from daysworth_client.kit_lines import (
    cautions,
    foods_in,
    item,
    kilograms,
    people,
    put_together,
    titled,
    wares_in,
    whom,
)
from daysworth_client.kit_plan_answers import (
    KindMadePart,
    KitPlanAnswer,
    KitsAlikePart,
    PickLinePart,
    PickPlacePart,
    StagePart,
)
from daysworth_client.summary_lines import WIDTH, wrapped

_GAP: Final = 1e-6
"""Figures are published to six decimals; a gap below that is none."""


def kit_plan_text(answer: KitPlanAnswer) -> str:
    """Write a plan for reading: how many of each, the kits, the picking list, the cautions last."""
    return put_together(
        _heading(answer),
        kinds_made(answer),
        kits_made(answer),
        picking_list(answer),
        how_good(answer),
        cautions(answer["cautions"]),
    )


def _heading(answer: KitPlanAnswer) -> Iterator[str]:
    yield from titled(answer["store_name"], "which kits can be put up?")
    where = answer["place_name"]
    stand = "" if where is None else f", to stand in {one_line(where)}"
    yield from wrapped(f"As of {day_in_words(answer['as_of'])}{stand}.")
    yield ""
    totals = answer["totals"]
    made = made_of_wanted(answer)
    if not totals["kits"]:
        yield from wrapped(f"{made[:1].upper()}{made[1:]} can be put up.")
        return
    yield from wrapped(
        f"{made[:1].upper()}{made[1:]} can be put up:"
        f" {count(totals['person_meals'], 'meal')} for one person, or"
        f" {tenths(totals['person_days'])} person-days; {kilograms(totals['mass_g'])} of food,"
        f" {totals['energy_kcal']:,.0f} kcal. Nothing was changed."
    )


def made_of_wanted(answer: KitPlanAnswer) -> str:
    """Say how many kits the plan makes, and of how many that were wanted."""
    made = answer["totals"]["kits"]
    wanted = sum(one["wanted"] for one in answer["kinds"])
    if not made:
        return f"none of the {count(wanted, 'kit')} wanted" if wanted > 1 else "no kit"
    if made < wanted:
        return f"{made:,} of the {count(wanted, 'kit')} wanted"
    return f"all {count(made, 'kit')} wanted" if made > 1 else "the kit wanted"


def kinds_made(answer: KitPlanAnswer) -> Iterator[str]:
    """Write how many of each kind are wanted and made, and why no more."""
    yield f"  {'made':>4} {'wanted':>7} {'serves':>7}  {'for':<16}kit"
    for one in answer["kinds"]:
        yield from _kind(one)


def _kind(one: KindMadePart) -> Iterator[str]:
    for_whom = fitted(whom(one["parcel_number"], one["household"]), 16)
    yield from wrapped(
        one_line(one["name"]),
        indent=f"  {one['made']:>4} {one['wanted']:>7,} {one['persons']:>7}  {for_whom}",
        hanging=" " * 39,
    )
    if one["short"] is not None:
        yield from wrapped(
            f"why no more: {one_line(one['short'])}", indent=" " * 8, hanging=" " * 10
        )


@dataclass(slots=True)
class _Told:
    """Kits of one kind with the same foods and wares, whichever lots they are of."""

    first: KitsAlikePart
    how_many: int = 0
    days: list[str] = field(default_factory=list)


def kits_made(answer: KitPlanAnswer) -> Iterator[str]:
    """Write the kits, those of a kind with the same foods together."""
    if not answer["kits"]:
        return
    told: dict[tuple[int, str, str], _Told] = {}
    for one in answer["kits"]:
        key = (one["kind"], foods_in(one["contents"]), wares_in(one["wares"]))
        here = told.setdefault(key, _Told(one))
        here.how_many += one["how_many"]
        here.days.append(one["pull_by_day"] or "")
    yield "The kits"
    patterns = {one["number"]: one["name"] for one in answer["kinds"]}
    for (kind, foods, wares), here in told.items():
        yield from _kits(here, pattern=patterns.get(kind, ""), foods=foods, wares=wares)


def _kits(told: _Told, *, pattern: str, foods: str, wares: str) -> Iterator[str]:
    one = told.first
    by = "" if pattern in ("", one["name"]) else f"; its pattern: {one_line(pattern)}"
    yield from wrapped(
        f"{one_line(one['name'])}, for {people(one['persons'])}"
        f" ({whom(one['parcel_number'], one['household'])}){by}",
        indent=f"  {told.how_many:>2} x ",
        hanging=" " * 7,
    )
    yield from wrapped(f"In each: {foods}; {wares}.", indent=" " * 7, hanging=" " * 9)
    yield from wrapped(
        f"{_until(told.days)}; {one['energy_kcal_per_person']:,.0f} kcal and"
        f" {one['protein_g_per_person']:,.0f} g of protein for each; {kilograms(one['mass_g'])}"
        " net.",
        indent=" " * 7,
    )
    for waiver in one["waivers"]:
        why = f"Waived: {one_line(waiver['title'])}, because {one_line(waiver['why'])}"
        yield from wrapped(why, indent=" " * 7)


def _until(days: Sequence[str]) -> str:
    dated = sorted(day for day in days if day)
    if len(dated) < len(days):
        return "Something in it is undated"
    if dated[0] == dated[-1]:
        return f"Pull by {day_in_words(dated[0])}"
    return f"Pull by {day_in_words(dated[0])} at the earliest"


def picking_list(answer: KitPlanAnswer) -> Iterator[str]:
    """Write what to pick up in each place, the places in walking order."""
    if not answer["picking"]:
        return
    yield "Picking list, in walking order"
    for place in answer["picking"]:
        yield from _picked_in(place)


def _picked_in(place: PickPlacePart) -> Iterator[str]:
    yield f"  {fitted(place['place_name'], WIDTH - 2).rstrip()}"
    for line in place["lines"]:
        yield _pick(line)


def _pick(line: PickLinePart) -> str:
    if line["ware"] is not None:
        return f"  {line['units']:>6,} x {fitted(line['name'], 60)}".rstrip()
    until = "no date" if line["last_good_day"] is None else f"good until {line['last_good_day']}"
    named = f"{fitted(line['name'], 34)} {until:<22}"
    return f"  {line['units']:>6,} x {named} {one_line(line['lot'] or '')[:12]}".rstrip()


def how_good(answer: KitPlanAnswer) -> Iterator[str]:
    """Write what each aim reaches, and how far the best there may be is from it."""
    if not (answer["kits"] and answer["stages"]):
        return
    yield (
        "How good the plan is: no plan does better, aim by aim"
        if answer["is_proved_best"]
        else "How good the plan is, aim by aim: a gap says how much better one might be"
    )
    for stage in answer["stages"]:
        yield from item(_stage(stage))


def _stage(stage: StagePart) -> str:
    said = f"{one_line(stage['words'])}: {_figure(stage['value'])}"
    if stage["gap"] <= _GAP:
        return said
    return f"{said}, and no plan exceeds {_figure(stage['bound'])} (a gap of {stage['gap']:.1%})"


def _figure(value: float) -> str:
    return f"{value:,.0f}" if abs(value - round(value)) <= _GAP else f"{value:,.1f}"
