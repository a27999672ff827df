"""Give tests of the API an invented partner to send, and what is promised to it."""

from typing import Final

from tests.api.clients import Api, Json

Body = dict[str, Json]

TUESDAYS: Final[Body] = {
    "id": "tuesdays",
    "starts_at": "2026-09-01T09:00",
    "timezone": "America/Chicago",
    "choice": {"kind": "weekly", "weekdays": ["tuesday"]},
    "minutes": 120,
}
"""Every Tuesday from the day of the tests on; it opens that day at 14:00 UTC."""

HARBOUR: Final[Body] = {
    "id": "harbour-kitchen",
    "name": "Harbour Kitchen (invented)",
    "contact": "ring at the side door",
    "rules": [{"group": "fish", "least_days_left": 10, "most_kg_per_visit": 50}],
    "windows": [TUESDAYS],
}


def partner(**changed: Json) -> Body:
    """Describe the partner, with some fields changed."""
    return {**HARBOUR, **changed}


def whole(body: Body) -> Body:
    """Give a partner as it is changed: without the id, which stands in its address."""
    return {name: value for name, value in body.items() if name != "id"}


def window(**changed: Json) -> Body:
    """Describe the partner's window, with some fields changed."""
    return {**TUESDAYS, **changed}


def opening(**changed: Json) -> Body:
    """Describe when the window opens, as a preview is asked for; None leaves a field out."""
    said = {**TUESDAYS, **changed, "id": None}
    return {name: value for name, value in said.items() if value is not None}


def add(api: Api, body: Body = HARBOUR) -> Body:
    """Add a partner, and give it as it is told."""
    return api.post("partners", body)


def visit(lots: dict[str, int], **changed: Json) -> Body:
    """Describe what is promised of some lots for the Tuesday of the week after."""
    items: list[Json] = [{"lot": lot, "units": units} for lot, units in lots.items()]
    said: Body = {
        "partner": "harbour-kitchen",
        "window": "tuesdays",
        "opens_at": "2026-09-08T09:00",
        "items": items,
    }
    return {**said, **changed}


def promise(api: Api, lots: dict[str, int], **changed: Json) -> Body:
    """Promise units of some lots for one visit, which must be done, and give the promise."""
    made = api.post("promises", {"visits": [visit(lots, **changed)]})["promises"]
    assert isinstance(made, list)
    (one,) = made
    assert isinstance(one, dict)
    return one
