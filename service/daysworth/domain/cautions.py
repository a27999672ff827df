"""Choose the cautions that go with an answer about food."""

from collections.abc import Iterable
from enum import StrEnum

from daysworth.domain.eaters import is_advised
from daysworth.domain.people import Household
from daysworth.domain.restrictions import Diet
from daysworth.reference.cautions import CautionRow, caution_rows


class Topic(StrEnum):
    """What a caution is about."""

    FOOD = "food"
    FIRE = "fire"
    WATER = "water"
    ALLERGY = "allergy"
    INFANTS = "infants"
    MEDICAL = "medical"
    FLOOD = "flood"
    CHILDREN = "children"


def cautions_on(topics: Iterable[Topic]) -> tuple[CautionRow, ...]:
    """List the cautions on the given topics, in the order they are shown."""
    wanted = set(topics)
    return tuple(row for row in caution_rows() if row.topic in wanted)


def topics_of(households: Iterable[Household], *, infants: bool) -> frozenset[Topic]:
    """Find the topics that the people concerned bring with them.

    `infants` says whether any of them is under twelve months, or fed formula or baby food.
    """
    homes = tuple(households)
    found = {Topic.INFANTS} if infants else set[Topic]()
    restrictions = [r for home in homes for member in home.members for r in member.restrictions]
    if any(r.allergy or r.words or r.diet is Diet.GLUTEN_FREE for r in restrictions):
        found.add(Topic.ALLERGY)
    if any(is_advised(home) for home in homes) or any(r.diet is Diet.PUREED for r in restrictions):
        found.add(Topic.MEDICAL)
    return frozenset(found)
