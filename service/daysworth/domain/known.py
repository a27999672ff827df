"""Put together what is known of a food: of each substance, how it stands in it, and by what.

Never is safety inferred from silence. What says that a substance is there, or may be, counts
whoever says it; what says that it is not counts only where the whole label was read and a law
makes its silence mean something. Where readings of one label disagree, the stricter holds. A
generic recipe can add a substance and never take one away.
"""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import date

from daysworth.domain.foods import Food, MadeOf
from daysworth.domain.label_known import (
    IN_FOOD,
    NEGATIVE,
    POSITIVE,
    Found,
    LabelKnown,
    evidence_of,
    implying,
    label_known,
)
from daysworth.domain.labels import Claim, Evidence, LabelReading, Phrase, Presence, Said
from daysworth.domain.restrictions import Substance


@dataclass(frozen=True, slots=True, kw_only=True)
class Known:
    """What is known of a food. A substance without evidence is not known.

    `stands` has how each substance stands, in the order of `Substance`. `phrases` are the label's
    own words, for whoever avoids something that no list has. `open_words` are words on it that
    could hide anything, or that nobody here knows. `has_whole_list`: somebody copied the whole
    ingredient list under a law that makes it complete.
    """

    evidence: Mapping[Substance, tuple[Evidence, ...]]
    presences: Mapping[Substance, Presence]
    claims: Mapping[Claim, str]
    stands: tuple[Presence, ...]
    phrases: tuple[Phrase, ...]
    open_words: tuple[str, ...]
    has_whole_list: bool

    def of(self, substance: Substance) -> Presence:
        """Tell how a substance stands in the food."""
        return self.presences.get(substance, Presence.NOT_KNOWN)

    def is_doubted(self, substance: Substance) -> bool:
        """Tell whether a word for what is in it may stand for the substance, traces apart."""
        return any(
            one.presence is Presence.IN_DOUBT and one.said in IN_FOOD
            for one in self.evidence.get(substance, ())
        )


def known_of(
    food: Food, *, readings: Sequence[LabelReading], packed_since_on: date | None
) -> Known:
    """Put together what the readings of a label, and the food's recipe, say."""
    read = [label_known(one, food=food, packed_since_on=packed_since_on) for one in readings]
    found: dict[Substance, list[Evidence]] = {}
    for label in read:
        for substance, evidence in label.found:
            found.setdefault(substance, []).append(evidence)
    for substance, evidence in _by_recipe(food, found):
        found.setdefault(substance, []).append(evidence)
    presences = {one: settled(said) for one, said in found.items()}
    return Known(
        evidence={one: tuple(said) for one, said in found.items()},
        presences=presences,
        stands=tuple(presences.get(one, Presence.NOT_KNOWN) for one in Substance),
        claims=_claims(read),
        phrases=tuple(phrase for label in read for phrase in label.text.phrases),
        open_words=tuple(words for label in read for words in label.open_words),
        has_whole_list=any(label.is_whole for label in read) or food.made_of is MadeOf.WATER,
    )


def settled(evidence: Iterable[Evidence]) -> Presence:
    """Weigh evidence: the worst that is said of a substance, or else the best proved."""
    said = {one.presence for one in evidence}
    for presence in (*POSITIVE, *NEGATIVE):
        if presence in said:
            return presence
    return Presence.NOT_KNOWN


def disagreeing(
    food: Food, *, readings: Sequence[LabelReading], packed_since_on: date | None
) -> frozenset[Substance]:
    """Find the substances that one reading found on the label and another, whole, did not."""
    each = []
    for one in readings:
        by_substance: dict[Substance, list[Evidence]] = {}
        for substance, evidence in label_known(
            one, food=food, packed_since_on=packed_since_on
        ).found:
            by_substance.setdefault(substance, []).append(evidence)
        each.append({substance: settled(said) for substance, said in by_substance.items()})
    return frozenset(
        substance
        for substance in Substance
        if {True, False} <= {_sign(one.get(substance)) for one in each}
    )


def _sign(presence: Presence | None) -> bool | None:
    if presence in POSITIVE:
        return True
    return False if presence in NEGATIVE else None


def _by_recipe(food: Food, found: Mapping[Substance, Sequence[Evidence]]) -> Iterator[Found]:
    if food.made_of is MadeOf.WATER:
        for substance in Substance:
            yield (
                substance,
                evidence_of(Said.REFERENCE_FOOD, Presence.ABSENT, words="drinking water"),
            )
    for substance in sorted(food.facts.contains):
        words = "by its recipe"
        yield from implying(
            substance, evidence_of(Said.REFERENCE_FOOD, Presence.CONTAINED, words=words)
        )
    for substance in sorted(food.facts.may_contain):
        # A recipe says what is usual; a whole label says what is.
        for one, evidence in implying(
            substance,
            evidence_of(Said.REFERENCE_FOOD, Presence.IN_DOUBT, words="usual in its recipe"),
        ):
            if settled(found.get(one, ())) not in NEGATIVE:
                yield one, evidence


def _claims(read: Sequence[LabelKnown]) -> Mapping[Claim, str]:
    """Give the claims that stand: another whole text without the claim takes it away."""
    named = {claim: words for label in read for claim, words in label.claims.items()}
    return {
        claim: words
        for claim, words in named.items()
        if all(claim in label.claims for label in read if label.has_whole_text)
    }
