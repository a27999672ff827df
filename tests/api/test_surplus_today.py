"""Claims about a visit of today over the API: planned until it is over, and not any more then."""

from datetime import timedelta

from tests.api.clients import Api
from tests.api.partner_bodies import Body, add, visit
from tests.api.test_lots import objects
from tests.api.test_promises import faults
from tests.api.test_surplus import units_of
from tests.grounds import box, put_up

DUE = "2026-10-20"
OVER_IN = timedelta(hours=4)
"""The visit of that day is over at 16:00 UTC; the clock stands at noon."""


def opens_at(read: Body) -> list[object]:
    """Give when the visits of a plan open."""
    return [one["opens_at"] for one in objects(read, "visits")]


def test_a_visit_of_today_is_planned_until_it_is_over(api: Api) -> None:
    add(api)
    put_up(api.engine, box(6, printed=DUE), box(500))
    assert opens_at(api.get("surplus")) == ["2026-09-01T09:00"]
    api.clock.move(OVER_IN - timedelta(minutes=1))
    seen = api.ask("GET", "surplus")
    assert opens_at(seen.json()) == ["2026-09-01T09:00"]
    api.clock.move(timedelta(minutes=1))
    assert opens_at(api.get("surplus")) == ["2026-09-08T09:00"]
    again = api.ask("GET", "surplus", headers={"If-None-Match": seen.headers["etag"]})
    assert again.status_code == 200


def test_what_is_planned_late_in_the_day_can_be_promised(api: Api) -> None:
    add(api)
    (lot, _) = put_up(api.engine, box(6, printed=DUE), box(500))
    api.clock.move(OVER_IN)
    late = visit({lot.id: 6}, opens_at="2026-09-01T09:00")
    (said,) = faults(api.ask("POST", "promises", body={"visits": [late]}))
    assert "is over" in said
    (first,) = objects(api.get("surplus"), "visits")
    wanted = visit({lot.id: 6}, opens_at=str(first["opens_at"]))
    assert api.ask("POST", "promises", body={"visits": [wanted]}).status_code == 201


def test_other_floors_are_planned_without_the_visit_that_is_over(api: Api) -> None:
    add(api)
    put_up(api.engine, box(6, printed="2026-09-12"), box(500))

    def units() -> list[int]:
        read = api.get("surplus/floors?floor_days=0&until_on=2026-09-20")
        return [units_of(one) for one in objects(read, "floors")]

    assert units()[0] == 6
    api.clock.move(OVER_IN)
    assert units()[0] == 0
