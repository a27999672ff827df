"""Write where the days go: person-days step by step, with what is lost at each and why."""

from collections.abc import Iterator
from itertools import pairwise
from typing import Final

from daysworth_client.answers import CoverageAnswer, ScenarioPart, StepPart
from daysworth_client.figures import tenths
from daysworth_client.summary_lines import bar, people, runs_out_apart, sentence, whole

_BAR: Final = 36
_LABELS: Final = {
    "on_paper": "On paper",
    "usable": "Usable as things are",
    "in_date": "In date",
    "balanced": "As a balanced diet",
    "suitable": "That people may eat",
    "fair": "Shared fairly",
}
_USUAL: Final = ["cannot be eaten without heat", "is kept by households for themselves"]
"""Both reasons of the usual scenario: asking with either let go tells them apart."""
_LOST: Final = {
    "in_date": "past its date, without one, or past it before it can be eaten",
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
            yield from sentence(_nothing_lost(step["step"], answer))
        if step["at_most"]:
            yield from sentence("At most: how near a plan comes was too much to work out.")
    yield from sentence(_to_the_days(answer, answer["everyone_fed_days"]))


def _step(step: StepPart, *, most: float, lost: int) -> Iterator[str]:
    label = _LABELS[step["step"]]
    drawn = bar(step["person_days"], most=most, width=_BAR)
    figures = f"{whole(step['person_days']):>9,}{f'-{lost:,}' if lost else '':>9}"
    yield f"  {label:<20}{figures}  {drawn}".rstrip()


def _on_paper(answer: CoverageAnswer, most: float) -> str:
    horizon_days = answer["scenario"]["horizon_days"]
    each = tenths(most / answer["members_with_a_need"])
    said = f"{each} days each: all food here, whatever its date and whoever may eat it"
    if most >= answer["members_with_a_need"] * horizon_days:
        return f"{said}; no more than {horizon_days} days are counted."
    return f"{said}."


def _nothing_lost(step: str, answer: CoverageAnswer) -> str:
    """Say that a step loses nothing; not as if nobody had to do without."""
    if step != "suitable":
        return "Nothing more is lost."
    said = "Nothing is lost, taken all together: what some may not eat, others can."
    if not runs_out_apart(answer):
        return said
    return f"{said} It is single groups that run out: see above."


def _to_the_days(answer: CoverageAnswer, days: float) -> str:
    """Lead from the last step to the days for everyone."""
    fed = answer["members_with_a_need"]
    whose = people(fed)
    if fed < answer["members"]:
        need = "needs" if fed == 1 else "need"
        whose = f"the {whose} who {need} food (a breastfed infant needs none)"
    said = f"That is {tenths(answer['person_days'] / fed)} days each for {whose}"
    if not (held := runs_out_apart(answer)):
        return f"{said}."
    then = f"{people(held)} {'runs' if held == 1 else 'run'} out then"
    return f"{said}; but everyone is fed only for {tenths(days)}: {then}."


def _lost(step: str, scenario: ScenarioPart) -> str:
    return _not_usable(scenario) if step == "usable" else _LOST[step]


def _not_usable(scenario: ScenarioPart) -> str:
    reasons = []
    if not scenario["heating"]:
        reasons.append("cannot be eaten without heat")
    if scenario["stock"] == "shared":
        reasons.append("is kept by households for themselves")
    if scenario["places_lost"]:
        reasons.append("stands in a place that is lost")
    if scenario["households_away"]:
        reasons.append("belongs to a household that is away")
    said = "it " + (", or ".join(reasons) or "cannot be used as things are")
    if reasons == _USUAL:
        return f"{said}. Ask again with heating, or with their own stock, to see each"
    return said
