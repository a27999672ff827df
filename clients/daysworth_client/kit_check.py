"""Write the check of a kit as plain text, 80 columns wide, for a terminal or a printer."""

from collections.abc import Iterator
from typing import Final

from daysworth_client.figures import count, day_in_words, one_line
from daysworth_client.kit_answers import KitCheckAnswer, KitFoodPart, KitWarningPart, RulePart
from daysworth_client.kit_lines import (
    cautions,
    item,
    kilograms,
    pack_size,
    people,
    put_together,
    wares_in,
    whom,
)
from daysworth_client.summary_lines import wrapped

_STATUS: Final = {"passed": "passes", "failed": "FAILS", "waived": "waived"}
_VERDICT: Final = {
    "unsuitable": "NOT SUITABLE",
    "unknown": "NOT KNOWN",
    "suitable": "suitable, with a warning",
}


def kit_check_text(answer: KitCheckAnswer) -> str:
    """Write a check for reading: the judgement first, rule by rule, the cautions last."""
    return put_together(
        _heading(answer),
        _rules(answer),
        _troubles(answer),
        _warnings(answer),
        _contents(answer),
        _allergens(answer),
        cautions(answer["cautions"]),
    )


def _heading(answer: KitCheckAnswer) -> Iterator[str]:
    served = people(answer["persons"])
    if answer["household"] is not None:
        served = f"the {served} of {whom(None, answer['household'])}"
    yield from wrapped(f"Is this a complete meal for {served}?")
    yield f"As of {day_in_words(answer['as_of'])}."
    yield ""
    yield from wrapped(_judgement(answer))
    if answer["asks_care_team"]:
        yield from wrapped(
            "Somebody there keeps a medical diet: nothing here says that a food suits it. Ask the"
            " care team."
        )


def _judgement(answer: KitCheckAnswer) -> str:
    if answer["is_sound"]:
        said = "Yes: it passes every rule that it is held to, and all of it may be eaten"
        for_whom = "by anybody it suits: read the labels for each" if _is_anybodys(answer) else ""
        return f"{said} {for_whom}".rstrip() + "."
    failed = sum(one["status"] == "failed" for one in answer["rules"])
    troubled = sum(one["trouble"] is not None for one in answer["contents"])
    unsuited = sum(one["verdict"] != "suitable" for one in answer["warnings"])
    found = [
        (failed, count(failed, "rule fails", many="rules fail")),
        (troubled, count(troubled, "food in it is", many="foods in it are") + " not to be eaten"),
        (unsuited, count(unsuited, "food", many="foods") + " not known to suit those it is for"),
    ]
    return f"No, not as it is: {'; '.join(said for number, said in found if number)}."


def _is_anybodys(answer: KitCheckAnswer) -> bool:
    return answer["household"] is None


def _rules(answer: KitCheckAnswer) -> Iterator[str]:
    yield "Rule by rule"
    for rule in answer["rules"]:
        yield from _rule(rule)


def _rule(rule: RulePart) -> Iterator[str]:
    status = f"  {_STATUS.get(rule['status'], rule['status']):<8}"
    yield from wrapped(one_line(rule["title"]), indent=status, hanging=" " * len(status))
    said = one_line(rule["words"])
    if said and said != rule["title"]:
        yield from wrapped(said, indent=" " * len(status) + "  ")
    if rule["why_waived"] is not None:
        why = f"waived, because: {one_line(rule['why_waived'])}"
        yield from wrapped(why, indent=" " * len(status) + "  ")


def _troubles(answer: KitCheckAnswer) -> Iterator[str]:
    found = [one for one in answer["contents"] if one["trouble"] is not None]
    if found:
        yield "Not to be eaten"
    for one in found:
        yield from item(f"{one_line(one['food_name'])}: {one['trouble']}")


def _warnings(answer: KitCheckAnswer) -> Iterator[str]:
    if answer["household"] is None:
        yield from wrapped(
            "Nobody in particular is named, so it was not asked whom it does not suit: ask again"
            " with a household, or read the labels for each who eats of it."
        )
        return
    if not answer["warnings"]:
        yield "Nothing in it is known to be unsuitable for those it is for."
        return
    yield "For those it is for"
    for one in answer["warnings"]:
        yield from item(_warning(one))


def _warning(one: KitWarningPart) -> str:
    said = f"{one_line(one['food_name'])}: {_VERDICT.get(one['verdict'], one['verdict'])}"
    worst = [each for each in one["findings"] if each["verdict"] == one["verdict"]]
    reasons = "; ".join(
        dict.fromkeys(f"{one_line(each['need'])}: {one_line(each['words'])}" for each in worst)
    )
    said += f" ({reasons})" if reasons else ""
    if not one["was_read"]:
        said += ". Nobody has read its label"
    if one["instead"] is not None:
        there = one["instead"]
        said += f". Instead: {one_line(there['food_name'])}, {one_line(there['place'])}"
        said += f" ({there['lot']})"
    return f"{said}."


def _contents(answer: KitCheckAnswer) -> Iterator[str]:
    yield "What is in it"
    for one in answer["contents"]:
        yield from wrapped(_food(one), indent="  ", hanging="      ")
    wares = wares_in(answer["wares"])
    if wares:
        yield from wrapped(wares, indent="  ", hanging="      ")
    day = answer["pull_by_day"]
    until = "something is undated" if day is None else f"pull by {day_in_words(day)}"
    yield from wrapped(
        f"In all {kilograms(answer['mass_g'])} net, {answer['volume_l']:,.1f} litres;"
        f" {answer['energy_kcal_per_person']:,.0f} kcal and"
        f" {answer['protein_g_per_person']:,.0f} g of protein for each; {until}.",
        indent="  ",
    )


def _food(one: KitFoodPart) -> str:
    said = f"{one['units']} x {one_line(one['food_name'])} ({pack_size(one['unit_mass_g'])})"
    until = one["last_good_day"]
    dated = "no date" if until is None else f"good until {until}"
    opener = ", needs an opener" if one["needs_opener"] else ""
    where = "not stock" if one["lot"] is None else one["lot"]
    return f"{said}, {one['served']}; {dated}{opener}; {where}"


def _allergens(answer: KitCheckAnswer) -> Iterator[str]:
    found = answer["allergens"]
    yield "Allergens"
    for words, names in (
        ("in it", found["present"]),
        ("perhaps in it", found["may_be_present"]),
        ("not known", found["not_known"]),
    ):
        if names:
            yield from wrapped(f"{words}: {', '.join(names)}", indent="  ", hanging="    ")
    if not found["is_read"]:
        yield from wrapped(
            "Not every label in it was read: there may be more.", indent="  ", hanging="    "
        )
    elif not any(found[name] for name in ("present", "may_be_present", "not_known")):
        yield "  none that a label tells of"
