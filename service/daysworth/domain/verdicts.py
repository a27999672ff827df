"""Say how a food stands for a person: the verdict, and the reasons behind it in words."""

from dataclasses import dataclass
from enum import StrEnum
from typing import Final

from daysworth.domain.demands import Demand
from daysworth.domain.labels import Evidence
from daysworth.domain.restrictions import Substance


class Verdict(StrEnum):
    """What is known of a food for a member, the worst last."""

    SUITABLE = "suitable"
    UNKNOWN = "unknown"
    UNSUITABLE = "unsuitable"


_SUITABLE: Final = Verdict.SUITABLE
_UNKNOWN: Final = Verdict.UNKNOWN
_UNSUITABLE: Final = Verdict.UNSUITABLE
"""An enum's members take long to look up, next to all else that is asked of each food."""


class Shown(StrEnum):
    """A verdict as a person may read it: a medical diet is never told that a food suits."""

    SUITABLE = "suitable"
    ASK_CARE_TEAM = "ask_care_team"
    UNKNOWN = "unknown"
    UNSUITABLE = "unsuitable"


@dataclass(frozen=True, slots=True, kw_only=True)
class Reason:
    """One finding behind a verdict, in words.

    `demand` None: by age alone. `substances` are those it is about, `evidence` what it goes by
    besides what is known of them. `is_warning`: to be shown although the food suits. `is_by_stage`:
    the food is for another age, which is no fault of the food.
    """

    verdict: Verdict
    words: str
    demand: Demand | None = None
    substances: frozenset[Substance] = frozenset()
    evidence: tuple[Evidence, ...] = ()
    is_warning: bool = False
    is_by_stage: bool = False


@dataclass(frozen=True, slots=True)
class Judgement:
    """A verdict with every reason behind it; it is as bad as the worst of them."""

    reasons: tuple[Reason, ...]

    @property
    def verdict(self) -> Verdict:
        """Give the worst verdict among the reasons; suitable when there is none."""
        worst = _SUITABLE
        for reason in self.reasons:
            if reason.verdict is _UNSUITABLE:
                return reason.verdict
            if reason.verdict is _UNKNOWN:
                worst = reason.verdict
        return worst

    @property
    def shown(self) -> Shown:
        """Give the verdict as a person may read it."""
        if self.verdict is Verdict.SUITABLE and any(
            reason.demand is not None and reason.demand.only_advises for reason in self.reasons
        ):
            return Shown.ASK_CARE_TEAM
        return Shown(self.verdict)
