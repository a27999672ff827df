"""Look on a label for an ingredient that a household names in its own words.

The words are matched as words: all of them in one ingredient is a match, some of them is a doubt.
Silence says "no" only with the whole list; a word on it that could hide anything leaves a doubt.
"""

from dataclasses import replace
from functools import lru_cache
from typing import Final

from daysworth.domain.foods import Food
from daysworth.domain.known import Known
from daysworth.domain.label_reader import plain_words, terms_named
from daysworth.domain.labels import Evidence, Phrase, Presence, Said
from daysworth.domain.restrictions import IMPLIED, Substance

# Said of so many ingredients that they tell none of them apart.
_TELL_NOTHING: Final = frozenset(
    plain_words(
        "oil dye color coloring flavor flavoring extract powder syrup sauce juice acid natural "
        "artificial fresh dried raw whole ground and or of the with in any all from made added"
    )
)

_MAY_BE_IN_IT: Final = frozenset({Presence.CONTAINED, Presence.POSSIBLE, Presence.IN_DOUBT})


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


def look_for(words: str, *, known: Known, food: Food) -> Evidence:
    """Tell how an ingredient in a household's own words stands in a food, and by what."""
    wanted = frozenset(plain_words(words))
    best: Evidence | None = None
    for phrase in known.phrases:
        found = _in_phrase(wanted, phrase)
        if found is not None and (best is None or _rank(found) < _rank(best)):
            best = found
    if best is not None and best.presence is Presence.CONTAINED:
        return best
    if wanted and wanted <= frozenset(plain_words(food.name)):
        return Evidence(said=Said.REFERENCE_FOOD, presence=Presence.CONTAINED, words=food.name)
    return best or _hidden(words, known=known) or _silent(known)


def _rank(evidence: Evidence) -> int:
    return list(Presence).index(evidence.presence)


def _in_phrase(wanted: frozenset[str], phrase: Phrase) -> Evidence | None:
    said = frozenset(phrase.plain)
    if wanted <= said:
        presence = Presence.POSSIBLE if phrase.said is Said.PRECAUTION else Presence.CONTAINED
    elif (wanted - _TELL_NOTHING) & said:
        presence = Presence.IN_DOUBT
    else:
        return None
    return Evidence(said=phrase.said, presence=presence, words=phrase.words, at=phrase.at)


def _hidden(words: str, *, known: Known) -> Evidence | None:
    """Find what may stand for it: anything of its group, by whatever name, or an open word."""
    for kind in sorted(_kinds(words)):
        for seen in known.evidence.get(kind, ()):
            if seen.presence in _MAY_BE_IN_IT:
                return replace(seen, presence=Presence.IN_DOUBT)
    for open_word in known.open_words:
        return Evidence(said=Said.INGREDIENTS, presence=Presence.IN_DOUBT, words=open_word)
    return None


def _silent(known: Known) -> Evidence:
    if known.has_whole_list:
        said = "not in the whole ingredient list"
        return Evidence(said=Said.INGREDIENTS, presence=Presence.NOT_LISTED, words=said)
    said = "no whole ingredient list was read"
    return Evidence(said=Said.READER, presence=Presence.NOT_KNOWN, words=said)
