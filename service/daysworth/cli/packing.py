"""Ask which kits can be put up from the stock of a snapshot file, and by which patterns."""

import re
from typing import TYPE_CHECKING, Annotated, Final, NamedTuple

import typer

from daysworth.cli.files import read_bytes
from daysworth.cli.options import AsJson, Day, Source

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping

    from daysworth.domain.identifiers import PlaceId
    from daysworth.domain.meal_patterns import MealPattern
    from daysworth.domain.snapshot import Snapshot
    from daysworth.planners.packing_kinds import PackAsked

_KIT: Final = re.compile(r"(.+?)=([0-9]{1,3})(?:@(.+))?")

MaybeSource = Annotated[
    str | None,
    typer.Argument(
        metavar="SNAPSHOT|-", help="A snapshot file, for its own patterns; - is standard input."
    ),
]
KitsWanted = Annotated[
    list[str],
    typer.Option(
        "--kit",
        metavar="PATTERN=WANTED",
        help="So many kits; PATTERN=WANTED@HOUSEHOLD for a home. Repeatable.",
    ),
]
Persons = Annotated[
    int | None,
    typer.Option(
        "--persons", min=1, max=24, metavar="N", help="How many a kit for no household serves."
    ),
]
ToStand = Annotated[
    str | None,
    typer.Option("--place", metavar="P", help="Where they are to stand; the first place if not."),
]


class KitWanted(NamedTuple):
    """So many kits by a pattern, for a household or for anybody."""

    pattern: str
    wanted: int
    household: str | None


def kit_written(written: str) -> KitWanted:
    """Read what is wanted, such as std-ravioli-peas-nuts=4@H11. Raises typer.BadParameter."""
    found = _KIT.fullmatch(written)
    if found is None or not int(found[2]):
        raise typer.BadParameter(
            f"{written!r} is not a pattern and how many kits, such as std-ravioli-peas-nuts=4, or"
            " std-ravioli-peas-nuts=4@H11 for a household"
        )
    return KitWanted(found[1], int(found[2]), found[3])


def patterns(source: MaybeSource = None, *, as_json: AsJson = False) -> None:
    """List the patterns that kits are put together by: the built-in ones, and a file's own."""
    import json

    from daysworth.answers.patterns import PatternAnswer, pattern_answer
    from daysworth.answers.snapshot_file import read_snapshot
    from daysworth.answers.written import written
    from daysworth.domain.built_in_patterns import built_in_patterns
    from daysworth.domain.catalogue import generic_foods
    from daysworth_client.patterns_list import patterns_text

    store = None if source is None else read_snapshot(read_bytes(source))
    names = {food.id: food.name for food in generic_foods().values()}
    if store is not None:
        names |= {food.id: food.name for food in store.foods}
    own = () if store is None else store.patterns
    listed = [
        *(pattern_answer(one, names=names, revision=None) for one in built_in_patterns().values()),
        # A file does not say how often a pattern was changed: whoever takes it in begins anew.
        *(pattern_answer(one, names=names, revision=1) for one in own),
    ]
    text = written(listed, of=list[PatternAnswer])
    typer.echo(text if as_json else patterns_text(json.loads(text)).rstrip("\n"))


def plan_kits(
    source: Source,
    *,
    kit: KitsWanted,
    persons: Persons = None,
    place: ToStand = None,
    as_of: Day = None,
    as_json: AsJson = False,
) -> None:
    """Plan the most kits that the stock makes, with what to pick up where. Nothing is changed.

    A kit for a household serves all who eat there; another as many as its pattern, or --persons.
    """
    import json

    from daysworth.answers.kit_made import answer_kit_plan
    from daysworth.answers.kit_plan import kit_plan_json
    from daysworth.answers.round_plan import parcel_numbers_of
    from daysworth.answers.snapshot_file import read_snapshot
    from daysworth_client.kit_plan import kit_plan_text

    wanted = [kit_written(one) for one in kit]
    store = read_snapshot(read_bytes(source))
    planned = answer_kit_plan(
        store,
        as_of or store.taken_on,
        asked=list(_asked(wanted, persons=persons, store=store)),
        place=_place(store, place),
        parcel_numbers=parcel_numbers_of(one.id for one in store.households),
    )
    text = kit_plan_json(planned.answer)
    typer.echo(text if as_json else kit_plan_text(json.loads(text)).rstrip("\n"))


def _asked(
    wanted: "Iterable[KitWanted]", *, persons: int | None, store: "Snapshot"
) -> "Iterable[PackAsked]":
    """Find the patterns that are wanted. Raises InputRefused for one that there is not."""
    from daysworth.domain.errors import InputRefused
    from daysworth.domain.identifiers import HouseholdId
    from daysworth.planners.packing_kinds import PackAsked

    there = _patterns(store)
    for one in wanted:
        if one.pattern not in there:
            raise InputRefused(
                f"there is no pattern {one.pattern!r}: `daysworth plan patterns` lists them"
            )
        home = None if one.household is None else HouseholdId(one.household)
        yield PackAsked(
            pattern=there[one.pattern],
            wanted=one.wanted,
            household=home,
            persons=persons if home is None else None,
        )


def _patterns(store: "Snapshot") -> "Mapping[str, MealPattern]":
    from daysworth.domain.built_in_patterns import built_in_patterns

    built_in = {str(id_): pattern for id_, pattern in built_in_patterns().items()}
    return built_in | {str(one.id): one for one in store.patterns}


def _place(store: "Snapshot", named: str | None) -> "PlaceId":
    """Give the place where kits are to stand. Raises InputRefused for one that there is not."""
    from daysworth.domain.errors import InputRefused

    for one in sorted(store.places, key=lambda one: (one.walk_position, one.name, one.id)):
        if named in (None, one.id):
            return one.id
    if named is None:
        raise InputRefused("this store has no place in which kits could stand")
    raise InputRefused(f"there is no place {named!r} in this store")
