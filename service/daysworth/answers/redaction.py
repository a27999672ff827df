"""Show an answer on coverage to a reader, less what that reader may not know.

It happens after the cache. Coordinators see all of it. What people must not eat is theirs and that
household's alone: nobody else is told which need holds the days down. A household sees its own
days and no other's, a volunteer none; a script sees each household's, for the weekly notice. Which
labels to read first is told to whoever may read them, by the food and not by the need. What runs
out first, and what would suit those whom it leaves, is told to coordinators alone. What will spoil
is everyone's to know, but for the lots that a household keeps for itself.
"""

from dataclasses import replace

from daysworth.answers.coverage import ClassAnswer, CoverageAnswer
from daysworth.answers.coverage_parts import ClassMealsAnswer, SpoilingAnswer
from daysworth.domain.cautions import Topic, cautions_on
from daysworth.domain.entries import Credential, Role
from daysworth.reference.cautions import CautionRow

WITHHELD = "not shown here"


def view_of(reader: Credential) -> str:
    """Name what a reader sees: readers of one view are given the same bytes."""
    return reader.role if reader.household is None else f"{reader.role} {reader.household}"


def seen_by(reader: Credential, answer: CoverageAnswer) -> CoverageAnswer:
    """Give what a reader may see of an answer."""
    if reader.role is Role.COORDINATOR:
        return answer
    own = [] if reader.role is Role.VOLUNTEER else answer.households
    if reader.role is Role.HOUSEHOLD:
        own = [one for one in answer.households if one.household == reader.household]
    return replace(
        answer,
        held_by=_withheld(answer.held_by),
        runs_out_first=[],
        classes=_withheld(answer.classes),
        households=own,
        complete_meals=_meals_withheld(answer.complete_meals),
        will_spoil=_spoiling_seen(answer.will_spoil, reader),
        labels_to_read=answer.labels_to_read if reader.role is Role.VOLUNTEER else [],
        cautions=_everyones(answer),
    )


def _withheld(classes: list[ClassAnswer]) -> list[ClassAnswer]:
    shown = [replace(one, need=WITHHELD) for one in classes]
    return sorted(shown, key=lambda one: (one.days, -one.members))


def _meals_withheld(classes: list[ClassMealsAnswer]) -> list[ClassMealsAnswer]:
    shown = [replace(one, need=WITHHELD) for one in classes]
    return sorted(shown, key=lambda one: (one.person_meals / one.members, -one.members))


def _spoiling_seen(spoiling: SpoilingAnswer, reader: Credential) -> SpoilingAnswer:
    """Leave out the lots that a household keeps for itself, unless it is the reader's own."""
    shown = [one for one in spoiling.lots if one.kept_by in (None, reader.household)]
    return replace(spoiling, lots=shown)


def _everyones(answer: CoverageAnswer) -> list[CautionRow]:
    """Give every caution that may apply: which of them do would tell of who is fed."""
    topics = set(Topic) if answer.scenario.places_lost else set(Topic) - {Topic.FLOOD}
    return list(cautions_on(topics))
