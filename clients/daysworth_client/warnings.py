"""Write a household's warnings as plain text, 80 columns wide, for a terminal or a printer."""

import textwrap
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field
from typing import Final

from daysworth_client.figures import count, day_in_words, one_line
from daysworth_client.suitability_answers import (
    FindingPart,
    SuitablePart,
    WarningPart,
    WarningsAnswer,
)

WIDTH: Final = 80
MOST_QUOTED: Final = 2
"""How many pieces of evidence are quoted for one food; the rest are in the answer itself."""


def household_warnings(answer: WarningsAnswer) -> str:
    """Write what a household must not have: the worst first, the cautions last."""
    parts = (
        _heading(answer),
        _unsuitable(answer),
        _in_doubt(answer),
        _unread(answer),
        _to_mind(answer),
        _suitable(answer),
        _cautions(answer),
    )
    return "\n\n".join("\n".join(lines) for part in parts if (lines := list(part))) + "\n"


def _heading(answer: WarningsAnswer) -> Iterator[str]:
    yield from _wrapped(f"{one_line(answer['store_name'])}: household {answer['household']}")
    yield from _wrapped(f"As of {day_in_words(answer['as_of'])}.")
    needs = ", ".join(map(one_line, answer["needs"]))
    yield from _wrapped(f"Needs: {needs}." if needs else "No need of its own is recorded.")
    for note in answer["notes"]:
        yield from _wrapped(f"Note: {one_line(note)}.")


def _unsuitable(answer: WarningsAnswer) -> Iterator[str]:
    found = [one for one in answer["warnings"] if one["verdict"] == "unsuitable"]
    if found:
        yield f"NOT FOR THIS HOUSEHOLD: {_kinds(found)}"
        yield from _listed(found)


def _in_doubt(answer: WarningsAnswer) -> Iterator[str]:
    found = [one for one in answer["warnings"] if _is_in_doubt(one)]
    if found:
        yield f"NOT KNOWN, because of what the label says or leaves out: {_kinds(found)}"
        yield from _listed(found)


def _is_in_doubt(one: WarningPart) -> bool:
    return one["verdict"] == "unknown" and one["was_read"]


def _unread(answer: WarningsAnswer) -> Iterator[str]:
    found = [
        one for one in answer["warnings"] if one["verdict"] == "unknown" if not one["was_read"]
    ]
    if not found:
        return
    yield f"NOT KNOWN, because nobody has read the label: {_kinds(found)}"
    yield from _wrapped("Give none of these before its label was read for this household:")
    yield from _wrapped("; ".join(_by_name(found)), indent="  ")


def _by_name(found: Iterable[WarningPart]) -> list[str]:
    units: dict[str, int] = {}
    for one in found:
        units[one["food_name"]] = units.get(one["food_name"], 0) + one["units"]
    return [f"{one_line(name)} ({packs})" for name, packs in sorted(units.items())]


def _to_mind(answer: WarningsAnswer) -> Iterator[str]:
    found = [one for one in answer["warnings"] if one["verdict"] == "suitable"]
    if found:
        yield f"MAY BE GIVEN, with a warning: {_kinds(found)}"
        yield from _listed(found)


def _suitable(answer: WarningsAnswer) -> Iterator[str]:
    if answer["ask_care_team"]:
        yield f"ASK YOUR CARE TEAM: {count(len(answer['ask_care_team']), 'food')}"
        yield from _wrapped("Nothing else stands against these:")
        yield from _wrapped("; ".join(_packs(answer["ask_care_team"])), indent="  ")
        return
    found = _packs(answer["suitable"])
    yield f"SUITS EVERYBODY HERE: {count(len(found), 'food')}"
    yield from _wrapped("; ".join(found) or "Nothing in stock is known to.", indent="  ")


def _packs(foods: Iterable[SuitablePart]) -> list[str]:
    return [f"{one_line(one['food_name'])} ({one['units']})" for one in foods]


def _kinds(found: list[WarningPart]) -> str:
    return count(len({one["food_name"] for one in found}), "food")


@dataclass(slots=True)
class _Entry:
    """The labels of one food that are to be told alike."""

    units: int = 0
    places: dict[str, None] = field(default_factory=dict)
    evidence: dict[str, None] = field(default_factory=dict)
    instead: str | None = None
    noted: int = 0
    labels: int = 0


def _listed(found: Iterable[WarningPart]) -> Iterator[str]:
    entries: dict[tuple[str, tuple[str, ...]], _Entry] = {}
    for one in found:
        entry = entries.setdefault((one["food_name"], _reasons(one)), _Entry())
        entry.units += one["units"]
        entry.labels += 1
        entry.noted += one["acknowledged"] is not None
        entry.places.update(dict.fromkeys(lot["place"] for lot in one["lots"]))
        entry.evidence.update(dict.fromkeys(_quotes(one)))
        if entry.instead is None and one["instead"] is not None:
            entry.instead = one["instead"]["food_name"]
    for (name, reasons), entry in entries.items():
        yield from _entry(name, reasons, told=entry)


def _entry(name: str, reasons: tuple[str, ...], *, told: _Entry) -> Iterator[str]:
    packs = count(told.units, "pack")
    places = " and ".join(map(one_line, told.places))
    yield from _wrapped(f"{one_line(name)} ({packs}; {places})", indent="  ", hanging="    ")
    said = "; ".join(reasons)
    quoted = "; ".join(list(told.evidence)[:MOST_QUOTED])
    yield from _wrapped(said + (f": {quoted}" if quoted else ""), indent="    ", hanging="      ")
    if told.instead is not None:
        other = "another label of it" if told.instead == name else one_line(told.instead)
        yield from _wrapped(f"instead: {other}", indent="    ", hanging="      ")
    if told.noted == told.labels:
        yield from _wrapped("acknowledged by a coordinator", indent="    ")


def _reasons(one: WarningPart) -> tuple[str, ...]:
    return tuple(dict.fromkeys(_reason(finding) for finding in _worst(one)))


def _worst(one: WarningPart) -> list[FindingPart]:
    return [finding for finding in one["findings"] if finding["verdict"] == one["verdict"]]


def _reason(finding: FindingPart) -> str:
    whom = "" if finding["binds_home"] else f" (for {count(len(finding['members']), 'member')})"
    return f"{one_line(finding['words'])}{whom}"


_FROM_THE_LABEL: Final = {
    "contains_statement": "the label says",
    "ingredients": "the list has",
    "precaution": "the label warns",
    "reader": "its reader noted",
}


def _quotes(one: WarningPart) -> Iterator[str]:
    for finding in _worst(one):
        for piece in finding["evidence"]:
            if piece["said"] == "reference_food" and piece["presence"] != "absent":
                yield one_line(piece["words"])
            elif piece["said"] in _FROM_THE_LABEL and piece["presence"] != "not_known":
                said = one_line(" ".join(piece["words"].split()))
                yield f'{_FROM_THE_LABEL[piece["said"]]} "{said}"'


def _cautions(answer: WarningsAnswer) -> Iterator[str]:
    yield "Cautions"
    for caution in answer["cautions"]:
        yield from _wrapped(caution["text"], indent="  - ", hanging="    ")


def _wrapped(text: str, *, indent: str = "", hanging: str | None = None) -> Iterator[str]:
    yield from textwrap.wrap(
        text,
        WIDTH,
        initial_indent=indent,
        subsequent_indent=indent if hanging is None else hanging,
        break_on_hyphens=False,
    )
