"""Tell what one reading of a label says, under the laws that the label is held to.

What says that a substance is there, or may be, counts as it stands. Silence counts only where the
whole label was read: as "absent" where the law would have the substance declared, and otherwise as
"not listed", and not even that beside a word that nobody here knows.
"""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from functools import lru_cache
from typing import Final

from daysworth.domain.foods import Food
from daysworth.domain.label_reader import plain_words, read_text
from daysworth.domain.labels import (
    Claim,
    Evidence,
    Hit,
    LabelReading,
    Presence,
    Regime,
    Said,
    TextRead,
)
from daysworth.domain.regimes import (
    Duty,
    duty,
    lists_every_ingredient,
    may_mean_coconut,
    packed_since_day,
    regimes_of,
)
from daysworth.domain.restrictions import IMPLIED, Substance, with_implied

LABELS_REMEMBERED: Final = 8_192

Found = tuple[Substance, Evidence]

POSITIVE: Final = (Presence.CONTAINED, Presence.POSSIBLE, Presence.IN_DOUBT)
NEGATIVE: Final = (Presence.ABSENT, Presence.NOT_LISTED)
IN_FOOD: Final = frozenset({Said.INGREDIENTS, Said.CONTAINS_STATEMENT})
_WARNED: Final = frozenset({Said.PRECAUTION})


@dataclass(frozen=True, slots=True, kw_only=True)
class LabelKnown:
    """What one reading says under the laws that the label is held to."""

    text: TextRead
    found: tuple[Found, ...]
    claims: Mapping[Claim, str]
    open_words: tuple[str, ...]
    is_whole: bool
    has_whole_text: bool


def label_known(reading: LabelReading, *, food: Food, packed_since_on: date | None) -> LabelKnown:
    """Tell what one reading says of a label on this food."""
    packed = _packed(reading, packed_since_on)
    regimes = regimes_of(food, named=reading.regime)
    return _label_known(reading, regimes=regimes, packed=packed)


def _packed(reading: LabelReading, packed_since_on: date | None) -> date | None:
    own = None if reading.packed_on is None else packed_since_day(reading.packed_on)
    days = [day for day in (own, packed_since_on) if day is not None]
    return min(days, default=None)


@lru_cache(maxsize=LABELS_REMEMBERED)
def _label_known(
    reading: LabelReading, *, regimes: frozenset[Regime], packed: date | None
) -> LabelKnown:
    text = read_text(reading.text, language=reading.language)
    has_whole_text = reading.is_whole and not text.faults
    claims = {**{claim: claim.replace("_", " ") for claim in reading.claims}}
    claims.update({claim: words for claim, (words, _) in text.claims.items()})
    regimes = _with_meat(reading, text=text, regimes=regimes)
    law = _Law(text, regimes=regimes, packed=packed)
    found = [
        *_ticked(reading),
        *(one for hit in text.hits for one in law.of_hit(hit)),
        *_misspelt(text),
    ]
    found.extend(_of_oats(found, claims=claims, regimes=regimes))
    found.extend(_of_coconut(reading, text=text, law=law))
    found.extend(_claimed(reading, text))
    is_whole = has_whole_text and lists_every_ingredient(regimes)
    found.extend(_silent(reading, found, law=law, is_whole=is_whole))
    return LabelKnown(
        text=text,
        found=tuple(found),
        claims=claims,
        open_words=(
            *(hit.words for hit in text.hits if Substance.MUSTARD in hit.hides),
            *text.strange,
        ),
        is_whole=is_whole,
        has_whole_text=has_whole_text,
    )


def _with_meat(
    reading: LabelReading, *, text: TextRead, regimes: frozenset[Regime]
) -> frozenset[Regime]:
    """Hold a US label that names meat to the law on meat too, whatever a reader ticked."""
    named = reading.contains.union(*(hit.fires for hit in text.hits if hit.said in IN_FOOD))
    if Regime.US_FDA in regimes and Substance.MEAT in with_implied(named):
        return regimes | {Regime.US_MEAT}
    return regimes


def evidence_of(said: Said, presence: Presence, *, words: str, at: int | None = None) -> Evidence:
    """Put one piece of evidence together."""
    return Evidence(said=said, presence=presence, words=words, at=at)


def implying(substance: Substance, evidence: Evidence) -> Iterator[Found]:
    """Give evidence of a substance, and the same of what it implies: wheat is gluten."""
    yield substance, evidence
    for implied in sorted(IMPLIED.get(substance, ())):
        yield implied, evidence


def _ticked(reading: LabelReading) -> Iterator[Found]:
    for substances, presence, said in (
        (reading.contains, Presence.CONTAINED, "the label says it contains"),
        (reading.may_contain, Presence.POSSIBLE, "the label says it may contain"),
    ):
        for substance in sorted(substances):
            words = f"{said} {substance.replace('_', ' ')}"
            yield from implying(substance, evidence_of(Said.READER, presence, words=words))


def _misspelt(text: TextRead) -> Iterator[Found]:
    for odd in text.misspelt:
        words = f"{odd.words}: is {odd.looks_like} meant?"
        for substance in sorted(odd.substances):
            yield from implying(
                substance,
                evidence_of(Said.INGREDIENTS, Presence.IN_DOUBT, words=words, at=odd.at),
            )


class _Law:
    """Say what a term on a label means under the laws that the label is held to."""

    def __init__(self, text: TextRead, *, regimes: frozenset[Regime], packed: date | None) -> None:
        self.text, self.regimes, self.packed = text, regimes, packed
        # A US contains statement, where there is one, names all of the nine that are in the food.
        self._states_all = text.has_contains_statement and regimes == {Regime.US_FDA}

    def duty(self, substance: Substance) -> Duty | None:
        """Tell what the laws ask of the maker for a substance."""
        return duty(substance, regimes=self.regimes, packed_on=self.packed)

    def of_hit(self, hit: Hit) -> Iterator[Found]:
        """Tell what one term that stands in the text says."""
        if hit.said is Said.PRECAUTION:
            yield from self._each(hit, hit.fires, presence=Presence.POSSIBLE)
            yield from self._each(hit, hit.may_be | hit.hides, presence=Presence.IN_DOUBT)
            return
        if hit.said not in IN_FOOD:
            return
        yield from self._each(hit, hit.fires, presence=Presence.CONTAINED)
        doubtful = {one for one in hit.may_be if not self._is_stated(one)}
        doubtful |= {one for one in hit.hides if not self._would_be_declared(one)}
        yield from self._each(hit, doubtful, presence=Presence.IN_DOUBT)

    def _would_be_declared(self, substance: Substance) -> bool:
        if self.duty(substance) is Duty.DECLARED:
            return True
        # The grain that starch and the like hide is wheat: declared, it would not be hidden.
        return substance is Substance.GLUTEN and self.duty(Substance.WHEAT) is Duty.DECLARED

    def _is_stated(self, substance: Substance) -> bool:
        return self._states_all and self.duty(substance) is Duty.DECLARED

    def _each(
        self, hit: Hit, substances: Iterable[Substance], *, presence: Presence
    ) -> Iterator[Found]:
        for substance in sorted(substances):
            if not self._is_exempt(hit, substance):
                evidence = evidence_of(hit.said, presence, words=hit.words, at=hit.at)
                yield from implying(substance, evidence)

    def _is_exempt(self, hit: Hit, substance: Substance) -> bool:
        return all((regime, substance) in hit.exempt for regime in self.regimes)


def _of_oats(
    found: Sequence[Found], *, claims: Mapping[Claim, str], regimes: frozenset[Regime]
) -> Iterator[Found]:
    """Say what oats mean for gluten: by EU law a gluten cereal, elsewhere not without a claim.

    21 CFR 101.91 does not list oats; Regulation (EU) 1169/2011, Annex II, does.
    """
    for substance, evidence in found:
        if substance is not Substance.OATS or evidence.presence not in POSITIVE:
            continue
        # "Gluten-free oats" in a list claim it of the oats, not of the whole food.
        of_itself = plain_words(evidence.words)
        is_claimed = Claim.GLUTEN_FREE in claims or {"gluten", "free"} <= set(of_itself)
        if Regime.EU in regimes and not is_claimed:
            yield Substance.GLUTEN, evidence
        elif Regime.EU in regimes or not is_claimed:
            is_sure = evidence.presence is not Presence.IN_DOUBT
            told = "oats" if is_sure else "may be oats, which"
            words = f"{evidence.words}: {told} may hold gluten from other grain"
            doubt = evidence_of(evidence.said, Presence.IN_DOUBT, words=words, at=evidence.at)
            yield Substance.GLUTEN, doubt


def _of_coconut(reading: LabelReading, *, text: TextRead, law: _Law) -> Iterator[Found]:
    """Say that "tree nuts" alone may stand for coconut on an older US label."""
    if not may_mean_coconut(regimes=law.regimes, packed_on=law.packed):
        return
    # A nut by its name explains the words for the group, where both stand in the same statement.
    for named, where in ((reading.contains, IN_FOOD), (reading.may_contain, _WARNED)):
        nuts = [hit for hit in text.hits if hit.said in where and Substance.TREE_NUT in hit.fires]
        if all(hit.is_group for hit in nuts):
            for hit in nuts:
                yield Substance.COCONUT, _coconut(hit.said, words=hit.words, at=hit.at)
        if not nuts and Substance.TREE_NUT in named:
            yield Substance.COCONUT, _coconut(Said.READER, words="tree nuts")


def _coconut(said: Said, *, words: str, at: int | None = None) -> Evidence:
    doubt = f"{words}: may stand for coconut on a label from before 2025"
    return evidence_of(said, Presence.IN_DOUBT, words=doubt, at=at)


def _claimed(reading: LabelReading, text: TextRead) -> Iterator[Found]:
    """Keep what the pack claims to be free from: evidence that proves nothing."""
    for substance in sorted(reading.free_from):
        words = f"claims to be free from {substance.replace('_', ' ')}"
        yield substance, evidence_of(Said.CLAIM, Presence.NOT_KNOWN, words=words)
    for substance, (words, at) in text.free_from.items():
        yield substance, evidence_of(Said.CLAIM, Presence.NOT_KNOWN, words=words, at=at)


def _silent(
    reading: LabelReading, found: Sequence[Found], *, law: _Law, is_whole: bool
) -> Iterator[Found]:
    """Say what the label's silence is worth, for each substance that nothing on it names."""
    named = {one for one, evidence in found if evidence.presence in POSITIVE}
    strange = law.text.strange
    for substance in Substance:
        if substance in named:
            continue
        asked = law.duty(substance)
        if is_whole and strange and asked is not Duty.DECLARED:
            # Where the law would not have it named, a word that nobody knows may be it.
            yield substance, evidence_of(Said.INGREDIENTS, Presence.IN_DOUBT, words=strange[0])
        elif is_whole and asked is not None:
            yield substance, _SILENT[asked]
        elif is_whole:
            yield substance, _NOT_LISTED
        elif (
            reading.is_whole
            and not reading.text.strip()
            and substance in reading.not_declared
            and asked is Duty.DECLARED
        ):
            yield substance, _LOOKED_FOR


_SILENT: Final = {
    Duty.DECLARED: evidence_of(
        Said.LAW, Presence.ABSENT, words="the law would have it declared, and it is not"
    ),
    Duty.BY_LIST: evidence_of(
        Said.LAW, Presence.ABSENT, words="not in the whole list, which has no open words"
    ),
}
_NOT_LISTED: Final = evidence_of(
    Said.INGREDIENTS, Presence.NOT_LISTED, words="not in the whole ingredient list"
)
_LOOKED_FOR: Final = evidence_of(
    Said.READER, Presence.ABSENT, words="looked for on the whole label, and not declared"
)
