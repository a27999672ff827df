"""Write where the days go: person-days step by step, with what is lost at each and why."""

from collections.abc import Iterator
from itertools import pairwise
from typing import Final

from daysworth_client.answers import CoverageAnswer, ScenarioPart, StepPart
from daysworth_client.summary_lines import bar, sentence, whole

_BAR: Final = 36
_LABELS: Final = {
    "on_paper": "On paper",
    "usable": "Usable as things are",
    "in_date": "In date",
    "balanced": "As a balanced diet",
    "suitable": "That people may eat",
    "fair": "Shared fairly",
}
_LOST: Final = {
    "in_date": "it is past its date, has none, or passes it before anybody could eat it",
    "balanced": "it is oil, sugar, sauce or drink beyond a small part of the food, or there is"
    " too little protein or water to go with it",
    "suitable": "it holds what somebody must not eat, or nobody has read its label for them",
    "fair": "that is what it costs to feed those first who run out first",
}


def where_the_days_go(answer: CoverageAnswer) -> Iterator[str]:
    """Draw the steps from all food on paper to the fair shares; they never rise."""
    steps = answer["where_the_days_go"]
    if not steps or answer["everyone_fed_days"] is None:
        return
    yield "Where the days go, in person-days: from all on the shelves to what feeds people"
    most = steps[0]["person_days"]
    yield from _step(steps[0], most=most, lost=0)
    yield from sentence(_on_paper(answer, most))
    for before, step in pairwise(steps):
        lost = whole(before["person_days"]) - whole(step["person_days"])
        yield from _step(step, most=most, lost=lost)
        if lost:
            reason = _lost(step["step"], answer["scenario"])
            yield from sentence(f"{lost:,} less: {reason}.")
        else:
            yield from sentence("Nothing is lost here.")


def _step(step: StepPart, *, most: float, lost: int) -> Iterator[str]:
    label = _LABELS[step["step"]]
    drawn = bar(step["person_days"], most=most, width=_BAR)
    figures = f"{whole(step['person_days']):>9,}{f'-{lost:,}' if lost else '':>9}"
    yield f"  {label:<20}{figures}  {drawn}".rstrip()


def _on_paper(answer: CoverageAnswer, most: float) -> str:
    horizon_days = answer["scenario"]["horizon_days"]
    said = "All the food on the shelves, whatever its date and whoever may eat it"
    if most >= answer["members_with_a_need"] * horizon_days:
        return f"{said}; no more than {horizon_days} days are counted."
    return f"{said}."


def _lost(step: str, scenario: ScenarioPart) -> str:
    return _not_usable(scenario) if step == "usable" else _LOST[step]


def _not_usable(scenario: ScenarioPart) -> str:
    reasons = []
    if not scenario["heating"]:
        reasons.append("it cannot be eaten without heat")
    if scenario["stock"] == "shared":
        reasons.append("households keep it for themselves")
    if scenario["places_lost"]:
        reasons.append("it stands in a place that is lost")
    if scenario["households_away"]:
        reasons.append("it belongs to a household that is away")
    return ", or ".join(reasons) or "it cannot be used as things are"
