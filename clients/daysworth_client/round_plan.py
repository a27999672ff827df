"""Write a round's worklist as plain text, 80 columns wide: place by place, in walking order."""

from collections.abc import Iterator
from typing import Final

from daysworth_client.figures import count, day_in_words, fitted, one_line
from daysworth_client.kit_lines import cautions, kilograms, put_together, titled
from daysworth_client.round_answers import ProposalPart, RoundPlanAnswer, WorkPlacePart
from daysworth_client.summary_lines import wrapped

ACTIONS: Final = {
    "eat_first": "to be eaten first",
    "hand_off": "to be handed off",
    "discard": "to be thrown away",
    "eat_whole": "in kits to be eaten whole",
    "unpack": "in kits to be unpacked",
}


def round_plan_text(answer: RoundPlanAnswer) -> str:
    """Write a round for reading: what is due in all, the work by place, the cautions last."""
    return put_together(
        round_heading(answer),
        *(_place(one) for one in answer["worklist"]),
        cautions(answer["cautions"]),
    )


def round_heading(answer: RoundPlanAnswer) -> Iterator[str]:
    """Write of which round it is, and what is due in all."""
    held_on, next_on = answer["round_on"], answer["next_round_on"]
    if held_on is None:
        yield from titled(answer["store_name"], "no round has been held within two years")
        yield from wrapped(_coming(next_on))
        return
    yield from titled(answer["store_name"], f"the round of {day_in_words(held_on)}")
    said = f"As of {day_in_words(answer['as_of'])}. Due is what is past its date or damaged"
    if next_on is not None:
        said += f", or passes its date before the next round, on {day_in_words(next_on)}"
    yield from wrapped(f"{said}: {count(answer['due'], 'lot or kit', many='lots and kits')}.")
    yield from due_in_all(answer)


def due_in_all(answer: RoundPlanAnswer) -> Iterator[str]:
    """Write how much is proposed of each action."""
    for total in answer["totals"]:
        if total["units"]:
            words = ACTIONS.get(total["action"], total["action"])
            yield (
                f"  {total['units']:>7,} {fitted('unit' if total['units'] == 1 else 'units', 6)}"
                f"{fitted(words, 28)}{kilograms(total['mass_g']):>12}"
                f"{total['energy_kcal']:>14,.0f} kcal"
            )


def _coming(next_on: str | None) -> str:
    if next_on is None:
        return "By the store's rule there is none within two years either."
    return f"The next is on {day_in_words(next_on)}; nothing is due until then."


def _place(place: WorkPlacePart) -> Iterator[str]:
    yield fitted(place["place_name"], 80).rstrip()
    for one in place["proposals"]:
        yield from _proposal(one)
    if place["to_look_at"]:
        yield "  To look at"
    for lot in place["to_look_at"]:
        named = f"{fitted(lot['food_name'], 40)} {fitted(lot['why'], 20)}"
        yield f"  {lot['units']:>17,} x {named}".rstrip()


def _proposal(one: ProposalPart) -> Iterator[str]:
    day = one["last_good_day"] or "no date"
    what = f"{one['units']:>7,} x " if one["kit"] is None else f"{'kit':>7}   "
    owned = _kept(one) if one["kit"] is None else f" ({one['kit']})"
    yield from wrapped(
        f"{one_line(one['name'])}{one_line(owned)}",
        indent=f"  {day:<10}{what}",
        hanging=" " * 22,
    )
    yield from wrapped(one_line(one["words"]), indent=" " * 22, hanging=" " * 24)
    if one["to_pass_on"]:
        listed = ", ".join(map(one_line, one["to_pass_on"]))
        yield from wrapped(
            f"of what is in it, to hand off: {listed}", indent=" " * 22, hanging=" " * 24
        )


def _kept(one: ProposalPart) -> str:
    number = one["kept_by_parcel"]
    if one["kept_by"] is None and number is None:
        return ""
    return ", kept by a household" if number is None else f", kept by parcel {number}"
