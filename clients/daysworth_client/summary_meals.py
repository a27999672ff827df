"""Write how many complete meals each group has, and what the food as shared is made of."""

from collections.abc import Iterator
from typing import Final

from daysworth_client.answers import ClassMealsPart, CoverageAnswer, DietMixPart
from daysworth_client.figures import count, tenths
from daysworth_client.summary_lines import people_of, sentence, wrapped

MOST_GROUPS: Final = 3
_WORTH_SAYING_SHARE: Final = 0.01
_RUNS_OUT: Final = {
    "protein": "protein runs out",
    "starch": "starch runs out",
    "fruit_or_vegetable": "fruit and vegetables run out",
}


def complete_meals(answer: CoverageAnswer) -> Iterator[str]:
    """List the complete meals of each group, fewest for each person first."""
    groups = sorted(answer["complete_meals"], key=meals_each)
    if not groups:
        return
    yield "Complete meals that need no heat and no added water"
    yield from sentence(
        "This counts meals that could be put together from what is known to suit each group, were"
        " all of that its own: not days, and not its share. A meal is a serving each of protein,"
        " starch, and fruit or vegetables."
    )
    for one in groups[:MOST_GROUPS]:
        yield from wrapped(_meals(one), indent="  ", hanging=" " * 18)
    if len(groups) > MOST_GROUPS:
        yield f"  and {count(len(groups) - MOST_GROUPS, 'more group')}, with as many each or more"


def meals_each(one: ClassMealsPart) -> float:
    """Give a group's complete meals for each of its people."""
    return one["person_meals"] / one["members"]


def _meals(one: ClassMealsPart) -> str:
    scarce = one["scarcest"]
    ends = "" if scarce is None else f"; {_RUNS_OUT[scarce]} first"
    each = f"{tenths(meals_each(one))} each"
    return f"{each:>12}  {people_of(one)}{ends}"


def diet_mix(answer: CoverageAnswer) -> Iterator[str]:
    """Write the energy from protein and fat, and the sodium, beside published figures."""
    mix = answer["diet_mix"]
    if answer["everyone_fed_days"] is None or mix["energy_kcal"] <= 0:
        return
    least, most = mix["protein_share_planned"]
    fat, sodium_mg = mix["fat_share_planned"], mix["sodium_mg_limit"]
    yield "What the food is made of, shared as above"
    yield _part(
        "protein",
        here=_of_energy(mix["protein_share"]),
        against=_against(_hundredths(mix["protein_share"]), least=least * 100, most=most * 100),
        planned=f"{percent(least)} to {percent(most)}",
    )
    yield _part(
        "fat",
        here=_of_energy(mix["fat_share"]),
        against=_against(_hundredths(mix["fat_share"]), least=fat * 100, most=100),
        planned=f"at least {percent(fat)}",
    )
    yield _part(
        "sodium",
        here=_milligrams(mix["sodium_mg_per_person_day"]),
        against=_against(mix["sodium_mg_per_person_day"], least=sodium_mg, most=sodium_mg),
        planned=f"at most {sodium_mg:,.0f} mg",
    )
    yield from sentence(
        "Planned: for relief food; sodium: the most an adult should eat. Sources (in full with"
        f" --json): {_work(mix['planned_source'])}; {_work(mix['sodium_limit_source'])}."
    )
    yield from _without_figure(mix)


def _part(name: str, *, here: str, against: str, planned: str) -> str:
    return f"  {name:<8} {here:<22} {against} ({planned})"


def _against(here: float | None, *, least: float, most: float) -> str:
    """Say whether a figure, as it is shown, is more or less than planned."""
    if here is None:
        return "planned"
    if round(here) < round(least):
        return "less than planned"
    return "more than planned" if round(here) > round(most) else "as planned"


def _hundredths(share: float | None) -> float | None:
    return None if share is None else share * 100


def _work(source: str) -> str:
    """Name the work that a figure is from, without what it says."""
    return source.partition(":")[0]


def _of_energy(share: float | None) -> str:
    return "not known" if share is None else f"{percent(share)} of the energy"


def _milligrams(sodium_mg: float | None) -> str:
    return "not known" if sodium_mg is None else f"{sodium_mg:,.0f} mg a day each"


def _without_figure(mix: DietMixPart) -> Iterator[str]:
    for name, share in (
        ("fat", mix["energy_without_fat_figure_share"]),
        ("sodium", mix["energy_without_sodium_figure_share"]),
    ):
        if share >= _WORTH_SAYING_SHARE:
            yield from sentence(
                f"Foods that give {percent(share)} of the energy have no figure for {name}: the"
                " figure above is that of the others."
            )


def percent(share: float) -> str:
    """Write a share as a whole number of hundredths: "14 %"."""
    return f"{share * 100:.0f} %"
