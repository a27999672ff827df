"""The schema describes snapshot files, and `generate` makes believable ones of any size."""

import json
import subprocess
from collections import Counter
from datetime import date
from functools import cache

import pytest
from jsonschema import Draft202012Validator

from daysworth.answers.snapshot_file import read_snapshot, write_snapshot
from daysworth.demo.neighbourhood import neighbourhood
from daysworth.domain.label_dates import LabelKind, printed_day
from daysworth.domain.lots import Condition, Lot
from daysworth.domain.restrictions import Substance
from daysworth.domain.snapshot import Snapshot
from tests.cli.broken import HEALTH, LOT, MISSING, SHAPES, Broken
from tests.cli.documents import Json, Path, at, changed, good, good_text, without, written
from tests.cli.process import DAYSWORTH, daysworth, done, refused


@cache
def generated(*options: str, households: int = 60, lots: int = 1_500, seed: int = 5) -> bytes:
    size = ("--households", str(households), "--lots", str(lots), "--seed", str(seed))
    return done("snapshot", "generate", *size, *options).encode()


def store(*options: str) -> Snapshot:
    return read_snapshot(generated(*options))


@cache
def schema() -> dict[str, Json]:
    printed: dict[str, Json] = json.loads(done("snapshot", "schema"))
    return printed


def fits(document: object) -> bool:
    checker = Draft202012Validator.FORMAT_CHECKER
    return Draft202012Validator(schema(), format_checker=checker).is_valid(document)


def test_the_schema_is_a_json_schema_of_2020_12() -> None:
    Draft202012Validator.check_schema(schema())
    assert schema()["$schema"] == "https://json-schema.org/draft/2020-12/schema"


@pytest.mark.parametrize("as_of", [date(2010, 1, 1), date(2024, 2, 29), date(2090, 12, 31)])
def test_the_invented_neighbourhood_fits_the_schema(as_of: date) -> None:
    assert fits(json.loads(write_snapshot(neighbourhood(as_of))))


def test_a_generated_store_fits_the_schema() -> None:
    assert fits(json.loads(generated()))
    assert fits(good())


@pytest.mark.parametrize("broken", SHAPES + HEALTH, ids=lambda broken: broken.name)
def test_what_is_broken_in_shape_does_not_fit_the_schema(broken: Broken) -> None:
    assert not fits(broken.document())


@pytest.mark.parametrize("path", [path for path, _ in MISSING], ids=str)
def test_what_lacks_a_field_does_not_fit_the_schema(path: Path) -> None:
    assert not fits(without(good(), path))


def test_a_substance_that_stands_twice_is_taken_once_by_the_reader_and_by_the_schema() -> None:
    twice = changed(good(), (*LOT, "readings"), [{"contains": ["milk", "milk"]}])
    assert fits(twice)
    (reading,) = read_snapshot(written(twice)).lots[2].readings
    assert reading.contains == {Substance.MILK}


def test_every_field_has_a_title_or_is_of_a_type_that_has_one() -> None:
    definitions = at(schema(), "$defs")
    assert isinstance(definitions, dict)
    named = {**definitions, "Snapshot": dict(schema())}
    untitled = [
        f"{name}.{field}"
        for name, one in named.items()
        if isinstance(one, dict)
        for field, said in fields_of(one).items()
        if not is_titled(said)
    ]
    assert untitled == []
    assert len(named) > 15


def fields_of(definition: dict[str, Json]) -> dict[str, Json]:
    fields = definition.get("properties", {})
    return fields if isinstance(fields, dict) else {}


def is_titled(said: Json) -> bool:
    """Tell whether a field is titled, or is nothing but a type (or null) that has a title."""
    if not isinstance(said, dict):
        return False
    ways = said.get("anyOf")
    referred = [way for way in ways if isinstance(way, dict)] if isinstance(ways, list) else [said]
    return "title" in said or any("$ref" in way for way in referred)


def test_the_same_seed_gives_the_same_bytes_whatever_the_hash_seed() -> None:
    size = ("--households", "9", "--lots", "60", "--seed", "5")
    first = done("snapshot", "generate", *size)
    assert first == done("snapshot", "generate", *size, hash_seed="77")
    assert first != done("snapshot", "generate", *size[:-1], "6")


def test_a_store_has_just_the_size_that_was_asked_for() -> None:
    made = store()
    assert (len(made.households), len(made.lots)) == (60, 1_500)
    assert made.taken_on == date(2026, 9, 1)
    smallest = read_snapshot(generated(households=1, lots=0))
    assert (len(smallest.households), smallest.lots) == (1, ())


def test_the_store_is_taken_on_the_day_that_is_asked_for() -> None:
    leap_day = read_snapshot(generated("--as-of", "2028-02-29", households=3, lots=20))
    assert leap_day.taken_on == date(2028, 2, 29)


def days_ahead(lot: Lot, made: Snapshot) -> int:
    assert lot.printed is not None
    return (printed_day(lot.printed) - made.taken_on).days


def dated_food(made: Snapshot) -> list[Lot]:
    kinds = (LabelKind.BEST_BY, LabelKind.USE_BY)
    return [lot for lot in made.lots if lot.label_kind in kinds]


def test_slack_dates_are_months_and_years_ahead_and_tight_ones_days_and_weeks() -> None:
    slack, tight = store("--dates", "slack"), store("--dates", "tight")
    ahead = [day for lot in dated_food(slack) if (day := days_ahead(lot, slack)) >= 0]
    near = [day for lot in dated_food(tight) if (day := days_ahead(lot, tight)) >= 0]
    assert min(ahead) >= 45
    assert max(ahead) > 800
    assert min(near) < 10
    assert max(near) <= 150


def test_about_the_share_that_is_asked_for_is_kept_by_households() -> None:
    kept = [lot for lot in store("--own-share", "0.3").lots if not lot.is_shared]
    assert 0.25 < len(kept) / 1_500 < 0.35
    assert all(lot.owner is not None for lot in kept)
    assert all(lot.is_shared for lot in store().lots)


def test_a_large_store_holds_what_real_ones_do() -> None:
    made = store()
    members = [member for home in made.households for member in home.members]
    assert sum(any(r.allergy for r in member.restrictions) for member in members) > 3
    assert sum(any(r.diet for r in member.restrictions) for member in members) > 10
    assert any(member.infant_feeding is not None for member in members)
    assert any(home.pets for home in made.households)
    conditions = Counter(lot.condition for lot in made.lots)
    assert all(conditions[one] > 0 for one in Condition)
    kinds = Counter(lot.label_kind for lot in made.lots)
    assert 15 < kinds[LabelKind.UNLABELLED] < 60
    assert any(days_ahead(lot, made) < 0 for lot in dated_food(made))
    assert any(lot.units_promised > 0 for lot in made.lots)
    assert {bool(lot.readings) for lot in made.lots} == {True, False}


@pytest.mark.parametrize(
    "options",
    [
        ("--households", "0"),
        ("--households", "5001"),
        ("--lots", "-1"),
        ("--lots", "200001"),
        ("--seed", "-1"),
        ("--seed", "x"),
        ("--own-share", "1.1"),
        ("--own-share", "-0.1"),
        ("--own-share", "nan"),
        ("--dates", "soon"),
        ("--as-of", "2027-02-29"),
        ("--as-of", "20270228"),
        ("--as-of", "2027-W08-7"),
    ],
    ids=" ".join,
)
def test_a_size_out_of_bounds_is_wrong_usage(options: tuple[str, str]) -> None:
    size = {"--households": "2", "--lots": "2", "--seed": "1", options[0]: options[1]}
    words = [word for pair in size.items() for word in pair]
    assert options[0] in refused("snapshot", "generate", *words, code=2)


@pytest.mark.parametrize("left_out", ["--households", "--lots", "--seed"])
def test_a_size_that_is_left_out_is_wrong_usage(left_out: str) -> None:
    size = {"--households": "2", "--lots": "2", "--seed": "1"}
    words = [word for pair in size.items() if pair[0] != left_out for word in pair]
    assert left_out in refused("snapshot", "generate", *words, code=2)


@pytest.mark.parametrize(
    "arguments",
    [
        ("snapshot", "generate", "--households", "60", "--lots", "2000", "--seed", "1"),
        ("snapshot", "schema"),
        ("demo", "--json"),
    ],
    ids=" ".join,
)
def test_a_reader_who_goes_away_early_brings_no_traceback(arguments: tuple[str, ...]) -> None:
    with subprocess.Popen(
        [DAYSWORTH, *arguments], stdout=subprocess.PIPE, stderr=subprocess.PIPE
    ) as process:
        assert process.stdout is not None
        assert process.stderr is not None
        assert len(process.stdout.read(100)) == 100
        process.stdout.close()
        said = process.stderr.read()
    assert said == b""


def test_what_is_written_is_read_back_and_written_the_same() -> None:
    for text in (generated(), generated("--dates", "tight"), good_text()):
        once = write_snapshot(read_snapshot(text))
        assert write_snapshot(read_snapshot(once)) == once
    assert write_snapshot(read_snapshot(generated())) == generated()


def test_the_invented_neighbourhood_is_written_and_read_back_the_same() -> None:
    made = neighbourhood(date(2026, 11, 25))
    assert read_snapshot(write_snapshot(made)) == made


def test_an_empty_size_says_how_to_ask() -> None:
    ran = daysworth("snapshot", "generate")
    assert ran.returncode == 2
    assert b"--help" in ran.stderr
