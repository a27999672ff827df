"""Read and write what makes a request conditional (RFC 9110, sections 8.8 and 13).

A resource's entity tag is its own revision; an answer's is a fingerprint of all it depends on.
"""

import re
from typing import Final

from daysworth.api.problems import RevisionMissing
from daysworth.domain.errors import NotAsItWas

_REVISION: Final = re.compile(r'"r([0-9]{1,15})(?:\.[0-9]{1,16})?"')
_TAG: Final = re.compile(r'(?:W/)?"([^"]*)"')


def revision_tag(revision: int, *, version: int | None = None) -> str:
    """Write a revision as an entity tag, with the store's version where the resource tells it.

    A change is held against the revision alone: stock that moved meanwhile does not matter to it.
    """
    return f'"r{revision}"' if version is None else f'"r{revision}.{version}"'


def asked_revision(if_match: str | None) -> int:
    """Read the revision that a change is meant for.

    Raises RevisionMissing without one, NotAsItWas for a tag that this service never gave.
    """
    if if_match is None:
        raise RevisionMissing("send If-Match with the ETag you were given when you looked")
    match = _REVISION.fullmatch(if_match.strip())
    if match is None:
        raise NotAsItWas("If-Match is the ETag you were given when you looked, quotes included")
    return int(match[1])


def has_tag(if_none_match: str | None, tag: str) -> bool:
    """Tell whether an If-None-Match names an entity tag, weakly compared, or is a star."""
    if if_none_match is None:
        return False
    return if_none_match.strip() == "*" or tag in _TAG.findall(if_none_match)
