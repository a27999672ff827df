"""Claims about what was given away over the API: by partner and month, and apart at rounds."""

from datetime import timedelta

import pytest

from daysworth.domain.entries import Role
from tests.api.clients import Api, Json, problem, told
from tests.api.partner_bodies import Body, add, partner, promise
from tests.api.test_lots import objects
from tests.api.test_promises import deed, summary
from tests.grounds import put_up

OCTOBER = "2026-10-13T09:00"


def part(read: Body, name: str) -> Body:
    """Give a part of an answer."""
    found = read[name]
    assert isinstance(found, dict)
    return found


def test_what_went_is_totalled_by_partner_and_month(api: Api) -> None:
    add(api)
    add(api, partner(id="ash-table", name="Ash Table (invented)"))
    (lot,) = put_up(api.engine)
    first, second = promise(api, {lot.id: 2}), promise(api, {lot.id: 1}, partner="ash-table")
    later = promise(api, {lot.id: 3}, opens_at=OCTOBER)
    told(deed(api, first, to="hand-off"), 201)
    told(deed(api, second, to="hand-off"), 201)
    api.clock.move(timedelta(days=42))
    went: list[Json] = [{"lot": lot.id, "units": 1, "why": "their shelf was full"}]
    told(deed(api, later, to="hand-off", went=went), 201)
    found = api.get("given", role=Role.SCRIPT)
    assert (found["from_on"], found["to_on"]) == ("2025-10-13", "2026-10-13")
    ash, harbour = objects(found, "partners")
    assert [ash["partner"], harbour["partner"]] == ["ash-table", "harbour-kitchen"]
    assert [(one["month"], one["times"]) for one in objects(harbour, "months")] == [
        ("2026-09", 1),
        ("2026-10", 1),
    ]
    assert (part(harbour, "went")["units"], part(ash, "went")["units"]) == (3, 1)
    assert (found["hand_offs"], part(found, "to_partners")["units"]) == (3, 4)
    assert [part(one, "went")["units"] for one in objects(found, "months")] == [3, 1]
    september = api.get("given?from_on=2026-09-01&to_on=2026-09-30")
    assert part(september, "to_partners")["units"] == 3
    nothing = api.get("given?from_on=2026-11-01&to_on=2026-11-30")
    assert (nothing["partners"], part(nothing, "to_partners")["meals"]) == ([], 0)


def test_energy_and_mass_are_those_of_what_went(api: Api) -> None:
    add(api)
    (lot,) = put_up(api.engine)
    made = promise(api, {lot.id: 4})
    told(deed(api, made, to="hand-off"), 201)
    total, promised = part(api.get("given"), "to_partners"), part(summary(made), "promised")
    for field in ("units", "mass_g", "energy_kcal"):
        assert total[field] == pytest.approx(promised[field])


def test_meals_are_mass_by_the_published_conversion_and_say_so(api: Api) -> None:
    add(api)
    (lot,) = put_up(api.engine)
    told(deed(api, promise(api, {lot.id: 4}), to="hand-off"), 201)
    found = api.get("given")
    total = part(found, "to_partners")
    # 1.2 lb = 1 meal (USDA, What We Eat in America 2011-12, from memory), and 1.2 lb are 544.31 g.
    assert float(str(total["meals"])) == pytest.approx(float(str(total["mass_g"])) / 544.31, 1e-5)
    assert "not of nutrition" in str(found["meals_words"])


def test_what_goes_at_rounds_is_told_apart(api: Api) -> None:
    (lot,) = put_up(api.engine)
    decisions: list[Json] = [
        {"lot": lot.id, "units": 2, "outcome": "given", "to": "the shelter"},
        {"lot": lot.id, "units": 1, "outcome": "eaten"},
    ]
    api.post("rounds/2026-09-01/settle", {"decisions": decisions})
    found = api.get("given")
    at_rounds = part(found, "at_rounds")
    assert (at_rounds["rounds"], part(at_rounds, "went")["units"]) == (1, 2)
    assert [one["month"] for one in objects(at_rounds, "months")] == ["2026-09"]
    assert (found["partners"], part(found, "to_partners")["units"]) == ([], 0)


@pytest.mark.parametrize(
    ("query", "where"),
    [
        ("from_on=2026-09-02&to_on=2026-09-01", "from_on"),
        ("from_on=2027-01-01", "from_on"),
        ("to_on=soon", "to_on"),
        ("from_on=1999-01-01", "from_on"),
        ("to_on=9999-12-31", "to_on"),
    ],
)
def test_a_period_that_cannot_be_is_refused(api: Api, query: str, where: str) -> None:
    refused = problem(api.ask("GET", f"given?{query}"), 422)
    assert objects(refused, "faults")[0]["where"] == where
