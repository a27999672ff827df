"""List kinds of bad snapshot: where one thing is broken, and what must be said of it."""

import json
from dataclasses import dataclass
from typing import Final

from tests.cli.documents import Json, Path, at, changed, good, without, written


@dataclass(frozen=True)
class Broken:
    """A good document with one thing changed, and the words that must name it.

    `is_structural` says that the published schema must refuse it as well.
    """

    name: str
    path: Path
    value: Json
    says: tuple[str, ...]
    is_structural: bool = False

    def document(self) -> Json:
        """Give the broken document."""
        return changed(good(), self.path, self.value)

    def text(self) -> bytes:
        """Give the broken document as a file."""
        return written(self.document())


LOT: Final = ("lots", 2)
MEMBER: Final = ("households", 0, "members", 0)
_LOT_ID: Final = str(at(good(), *LOT, "id"))
_MEMBER_WHERE: Final = ("households number 1", "members number 1")
_SECRET: Final = "an-odd-berry"
"""A health fact that no message may repeat."""

SHAPES: Final = (
    Broken("negative units", (*LOT, "units"), -1, ("lots number 3 > units", "-1"), True),
    Broken("a negative mass", (*LOT, "net_mass_g"), -0.5, ("lots number 3 > net_mass_g",), True),
    Broken("negative energy", ("foods", 1, "energy_kcal_100g"), -1.0, ("foods number 2",), True),
    Broken("negative pets", ("households", 1, "pets"), -2, ("households number 2 > pets",), True),
    Broken("a negative version", ("version",), -1, ("version", "0 or more", "-1"), True),
    Broken("a part of a pack", (*LOT, "units"), 1.5, ("lots number 3 > units", "whole"), True),
    Broken("a number as words", (*LOT, "units"), "3", ("lots number 3 > units", "'3'"), True),
    Broken("true for a number", (*LOT, "units"), True, ("lots number 3 > units", "whole"), True),
    Broken("units past counting", (*LOT, "units"), 10**400, ("lots number 3 > units",), True),
    Broken("a mass past weighing", (*LOT, "net_mass_g"), 1e300, ("net_mass_g", "1e+300"), True),
    Broken("a list for a lot", LOT, [], ("lots number 3", "object"), True),
    Broken("an object for a list", ("lots",), {}, ("lots", "list"), True),
    Broken("null for a list", ("households",), None, ("households", "list"), True),
    Broken("null for settings", ("settings",), None, ("settings", "object"), True),
    Broken("an unknown field", (*LOT, "colour"), "red", ("lots number 3 > colour",), True),
    Broken("another format", ("format",), "pantry-9", ("format", "daysworth-snapshot-4"), True),
    Broken("an unknown group", ("foods", 0, "group"), "gold", ("foods number 1 > group",), True),
    Broken("an id too long", (*LOT, "id"), "x" * 65, ("lots number 3 > id", "64"), True),
    Broken("an empty id", (*LOT, "id"), "", ("lots number 3 > id", "at least 1"), True),
    Broken("a home of nobody", ("households", 0, "members"), [], ("members", "at least 1"), True),
    Broken("a day without a month", (*LOT, "printed"), "2026-9", ("lots number 3",), True),
    Broken("a date as a number", ("taken_on",), 20260901, ("taken_on", "YYYY-MM-DD"), True),
    Broken("a time of day", ("taken_on",), "2026-09-01T10:00:00", ("taken_on",), True),
)
RULES: Final = (
    Broken("NaN", (*LOT, "net_mass_g"), float("nan"), ("lots number 3 > net_mass_g", "finite")),
    Broken("infinity", ("foods", 0, "net_mass_g"), float("inf"), ("foods number 1", "finite")),
    Broken("a snapshot of 1926", ("taken_on",), "1926-09-01", ("taken_on", "2000")),
    Broken("a label of 1926", (*LOT, "printed"), "1926-01", ("lots number 3", "1926-01")),
    Broken("a label of 2126", (*LOT, "printed"), "2126", ("lots number 3", "2126")),
    Broken("30 February", (*LOT, "printed"), "2026-02-30", ("lots number 3", "2026-02-30")),
    Broken("a birth of 1850", (*MEMBER, "born_on"), "1850-01-01", ("member", "birth", "1900")),
    Broken("opened tomorrow", (*LOT, "opened_on"), "2026-09-02", (_LOT_ID, "opened_on")),
    Broken("a zone of Mars", ("settings", "timezone"), "Mars/Base", ("settings", "Mars/Base")),
    Broken("a zone elsewhere", ("settings", "timezone"), "../UTC", ("settings", "../UTC")),
    Broken("rounds by the second", ("settings", "rounds_rule"), "FREQ=SECONDLY", ("settings",)),
    Broken("a food it lacks", (*LOT, "food"), "moss", (_LOT_ID, "food", "moss")),
    Broken("a place it lacks", (*LOT, "place"), "moon", (_LOT_ID, "place", "moon")),
    Broken("an owner it lacks", (*LOT, "owner"), "H99", (_LOT_ID, "owner", "H99")),
    Broken("promised beyond stock", (*LOT, "units_promised"), 999_999, ("lots number 3",)),
)
HEALTH: Final = (
    Broken("an unknown allergy", (*MEMBER, "restrictions"), [{"allergy": _SECRET}], _MEMBER_WHERE),
    Broken("an unknown diet", (*MEMBER, "restrictions"), [{"diet": _SECRET}], _MEMBER_WHERE),
    Broken("restrictions as words", (*MEMBER, "restrictions"), _SECRET, _MEMBER_WHERE),
    Broken("a restriction as words", (*MEMBER, "restrictions"), [_SECRET], _MEMBER_WHERE),
    Broken("an allergy of a member", (*MEMBER, "allergy"), _SECRET, _MEMBER_WHERE),
    Broken("an allergy of a home", ("households", 0, "allergy"), _SECRET, ("households number 1",)),
    Broken("a home as words", ("households", 0), f"allergy {_SECRET}", ("households number 1",)),
    Broken("homes as words", ("households",), f"allergy {_SECRET}", ("households",)),
    Broken("an allergy of nobody", ("allergy",), _SECRET, ("allergy",)),
)
SECRET: Final = _SECRET

REPEATED: Final = {
    "households": ("households", 0),
    "members": MEMBER,
    "foods": ("foods", 0),
    "places": ("places", 0),
    "lots": LOT,
}
"""Of each kind of thing, one that is written down twice."""


def repeating(kind: str) -> tuple[bytes, str]:
    """Write one thing of a kind down twice; give the file and the id that stands twice."""
    path = REPEATED[kind]
    document = good()
    holder = at(document, *path[:-1])
    assert isinstance(holder, list)
    thing = at(document, *path)
    holder.append(json.loads(json.dumps(thing)))
    return written(document), str(at(thing, "id"))


MISSING: Final[tuple[tuple[Path, str], ...]] = (
    (("taken_on",), "taken_on"),
    (("store_name",), "store_name"),
    ((*LOT, "units"), "lots number 3 > units"),
    (("foods", 1, "energy_kcal_100g"), "foods number 2 > energy_kcal_100g"),
    (("households", 0, "members", 0, "id"), "households number 1 > members number 1 > id"),
)


def lacking(path: Path) -> bytes:
    """Give the good document without one field, as a file."""
    return written(without(good(), path))
