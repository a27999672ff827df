"""Look on a label for an ingredient that a household names in its own words.

The words are matched as words: all of them in one ingredient is a match, some of them is a doubt.
Silence says "no" only with the whole list; a word on it that could hide anything leaves a doubt.
"""

from collections.abc import Iterable, Iterator
from dataclasses import replace
from functools import cache, lru_cache
from typing import Final

from daysworth.domain.foods import Food
from daysworth.domain.known import Known
from daysworth.domain.label_reader import plain_words, terms_named
from daysworth.domain.labels import Evidence, Phrase, Presence, Said
from daysworth.domain.restrictions import IMPLIED, Substance

MATCHES_REMEMBERED: Final = 65_536


@lru_cache(maxsize=16_384)
def _bare(words: str) -> frozenset[str]:
    """Give the plain words, without the plural ending that a foreign word may have kept."""
    return _without_plurals(plain_words(words))


def _without_plurals(plain: Iterable[str]) -> frozenset[str]:
    return frozenset(word.removesuffix("s") for word in plain)


@cache
def _tell_nothing() -> frozenset[str]:
    """Give words said of so many ingredients that they tell none of them apart."""
    return _bare(
        "oil dye color coloring flavor flavoring extract powder syrup sauce juice acid natural "
        "artificial fresh dried raw whole ground and or of the with in any all from made added"
    )


@cache
def _of_a_kind() -> tuple[frozenset[str], ...]:
    """Give words for a kind of thing, in doubt for whoever names a thing of that kind."""
    kinds = "oil fat shortening margarine", "dye color coloring colorant pigment", "syrup sweetener"
    return tuple(_bare(kind) for kind in kinds)


@cache
def _of_anything() -> frozenset[str]:
    """Give words for what may be made of anything, so that they are in doubt for everybody."""
    return _bare("starch protein")


@cache
def _loose() -> frozenset[str]:
    """Give words that together still say not what an ingredient was made of."""
    more = "vegetable plant edible food modified hydrolyzed hydrogenated refined mixed glucose"
    return _tell_nothing().union(*_of_a_kind(), _of_anything(), _bare(more))


_MAY_BE_IT: Final = frozenset({Presence.CONTAINED, Presence.IN_DOUBT})


@lru_cache(maxsize=1_024)
def substances_meant(words: str) -> frozenset[Substance]:
    """Give the substances that own words are a name of: a whole group, or by their own name."""
    plain = plain_words(words)
    meant = {one for one in Substance if plain == plain_words(one.replace("_", " "))}
    for hit in terms_named(words):
        if hit.is_group and plain_words(hit.words) == plain:
            meant |= hit.fires
    return frozenset(meant)


@lru_cache(maxsize=1_024)
def _kinds(words: str) -> frozenset[Substance]:
    """Give the groups that own words belong to: "almond" is a tree nut, "groundnut" a peanut."""
    named = {one for hit in terms_named(words) for one in hit.fires | hit.may_be}
    return frozenset(named).difference(*(IMPLIED.get(one, frozenset()) for one in named))


_STRICTEST_FIRST: Final = tuple(Presence)
_TRACES_LAST: Final = (Presence.CONTAINED, Presence.IN_DOUBT, Presence.POSSIBLE)


def look_for(
    words: str, *, known: Known, food: Food, accepts_may_contain: bool = False
) -> Evidence:
    """Tell how an ingredient in a household's own words stands in a food, and by what.

    For whoever accepts traces, a word that may be the thing itself goes before a precaution.
    """
    found = [*_named(_bare(words), known=known, food=food), *_hidden(words, known=known)]
    if not found:
        return _NOT_LISTED if known.has_whole_list else _NOT_KNOWN
    order = _TRACES_LAST if accepts_may_contain else _STRICTEST_FIRST
    return min(found, key=lambda one: order.index(one.presence))


def _named(wanted: frozenset[str], *, known: Known, food: Food) -> Iterator[Evidence]:
    matches = [(phrase, _match(wanted, phrase.plain)) for phrase in known.phrases]
    for phrase, presence in matches:
        if presence is Presence.CONTAINED and phrase.said is Said.PRECAUTION:
            yield _seen(phrase, Presence.POSSIBLE)
        elif presence is not None:
            yield _seen(phrase, presence)
    if wanted and wanted <= _bare(food.name):
        yield Evidence(said=Said.REFERENCE_FOOD, presence=Presence.CONTAINED, words=food.name)


def _seen(phrase: Phrase, presence: Presence) -> Evidence:
    return Evidence(said=phrase.said, presence=presence, words=phrase.words, at=phrase.at)


@lru_cache(maxsize=MATCHES_REMEMBERED)
def _match(wanted: frozenset[str], plain: tuple[str, ...]) -> Presence | None:
    said = _without_plurals(plain)
    if wanted <= said:
        return Presence.CONTAINED
    if (wanted - _tell_nothing()) & said or _is_loose(wanted, said):
        return Presence.IN_DOUBT
    return None


def _is_loose(wanted: frozenset[str], said: frozenset[str]) -> bool:
    """Tell whether an ingredient is named so loosely that it may be made of what is wanted."""
    if not said <= _loose():
        return False
    return bool(said & _of_anything()) or any(
        wanted & kind and said & kind for kind in _of_a_kind()
    )


def _hidden(words: str, *, known: Known) -> Iterator[Evidence]:
    """Find what may stand for it: anything of its group, by whatever name, or an open word."""
    for kind in sorted(_kinds(words)):
        for seen in known.evidence.get(kind, ()):
            if seen.presence is Presence.POSSIBLE:
                yield seen
            elif seen.presence in _MAY_BE_IT:
                yield replace(seen, presence=Presence.IN_DOUBT)
    for open_word in known.open_words:
        yield Evidence(said=Said.INGREDIENTS, presence=Presence.IN_DOUBT, words=open_word)


_NOT_LISTED: Final = Evidence(
    said=Said.INGREDIENTS, presence=Presence.NOT_LISTED, words="not in the whole ingredient list"
)
_NOT_KNOWN: Final = Evidence(
    said=Said.READER, presence=Presence.NOT_KNOWN, words="no whole ingredient list was read"
)
