"""Claims about patterns over the API: built-in ones are copied, the store's own are changed."""

import pytest

from daysworth.domain.built_in_patterns import built_in_patterns
from daysworth.domain.entries import Role
from tests.api.clients import Api, Json, problem, told
from tests.api.test_lots import objects, pages
from tests.grounds import version_of

Pattern = dict[str, Json]
SUPPER: Pattern = {
    "id": "fish-supper",
    "name": "Fish supper",
    "persons": 2,
    "slots": [
        {"kind": "protein", "choices": [[{"food": "salmon_pink_tinned"}]], "served": "plate"},
        {"kind": "starch", "choices": [[{"group": "breads_and_crackers"}]], "served": "plate"},
    ],
    "utensil": "fork",
    "waivers": [{"rule": "complete", "why": "Fruit is handed out apart."}],
    "steps": ["Open the fish.", "Share it out on the crackers."],
}
BUILT_IN = next(iter(built_in_patterns()))


def named(supper: Pattern, **changed: Json) -> Pattern:
    """Give a pattern without its id, with some fields changed."""
    return {name: value for name, value in {**supper, **changed}.items() if name != "id"}


def test_built_in_patterns_are_listed_with_words_and_read(api: Api) -> None:
    listed = [one for page in pages(api, "patterns?limit=4") for one in page]
    assert [one["id"] for one in listed] == sorted(built_in_patterns())
    assert all(one["is_built_in"] and one["etag"] is None for one in listed)
    found = api.get(f"patterns/{BUILT_IN}", role=Role.VOLUNTEER)
    assert found == next(one for one in listed if one["id"] == BUILT_IN)
    slot = objects(found, "slots")[0]
    assert slot["words"] in ("protein", "starch", "fruit or vegetable", "extra")
    assert all(one["words"] for choice in slot["choices"] for one in choice)  # type: ignore[union-attr, index, call-overload]


def test_the_stores_own_are_added_listed_among_them_changed_and_deleted(api: Api) -> None:
    added = api.ask("POST", "patterns", body=SUPPER)
    supper = told(added, 201)
    assert added.headers["location"].endswith("/patterns/fish-supper")
    assert objects(supper, "waivers")[0]["why"] == "Fruit is handed out apart."
    listed = [one["id"] for page in pages(api, "patterns?limit=3") for one in page]
    assert listed == sorted([*built_in_patterns(), "fish-supper"])
    tag = {"If-Match": str(supper["etag"])}
    body = named(SUPPER, persons=4)
    changed = told(api.ask("PUT", "patterns/fish-supper", body=body, headers=tag), 200)
    assert (changed["persons"], changed["etag"]) == (4, '"r2"')
    problem(api.ask("PUT", "patterns/fish-supper", body=body, headers=tag), 412)
    problem(api.ask("PUT", "patterns/fish-supper", body=body), 428)
    gone = api.ask("DELETE", "patterns/fish-supper", headers={"If-Match": '"r2"'})
    assert gone.status_code == 204
    problem(api.ask("GET", "patterns/fish-supper"), 404)


def test_an_unchanged_pattern_of_the_stores_own_is_not_sent_again(api: Api) -> None:
    told(api.ask("POST", "patterns", body=SUPPER), 201)
    first = api.ask("GET", "patterns/fish-supper")
    again = api.ask("GET", "patterns/fish-supper", headers={"If-None-Match": first.headers["etag"]})
    assert (again.status_code, again.content) == (304, b"")


def test_a_built_in_pattern_stays_as_it_is_and_a_copy_is_the_stores_own(api: Api) -> None:
    before = version_of(api.engine)
    tag = {"If-Match": '"r1"'}
    refused = api.ask("PUT", f"patterns/{BUILT_IN}", body=named(SUPPER), headers=tag)
    assert "copy it under another id" in str(problem(refused, 409)["detail"])
    problem(api.ask("DELETE", f"patterns/{BUILT_IN}", headers=tag), 409)
    assert version_of(api.engine) == before
    copied = api.post(f"patterns/{BUILT_IN}/copy", {"id": "ours", "name": "As we like it"})
    assert (copied["is_built_in"], copied["name"]) == (False, "As we like it")
    original = api.get(f"patterns/{BUILT_IN}")
    for field in ("slots", "persons", "steps", "may_be_warmed", "utensil"):
        assert copied[field] == original[field]


@pytest.mark.parametrize(
    ("changed", "fault"),
    [
        ({"id": "std-ours"}, "id: an id that begins with 'std-' is the release's own"),
        ({"id": "a/b"}, "id: must be letters, digits and hyphens"),
        ({"persons": 0}, "persons: must be 1 or more"),
        ({"persons": 25}, "persons: must be 24 or less"),
        ({"slots": []}, "slots: "),
        (
            {"slots": [{"kind": "protein", "choices": [[{"food": "ambrosia"}]]}]},
            "slots number 1 > food: there is no food 'ambrosia'",
        ),
        (
            {"slots": [{"kind": "protein", "choices": [[{}]]}]},
            "slots number 1 > choices number 1 number 1: a choice names a food or a group",
        ),
        ({"waivers": [{"rule": "bag", "why": ""}]}, "waivers number 1 > why: "),
        ({"waivers": [{"rule": "bag"}]}, "waivers number 1 > why: "),
        (
            {"waivers": [{"rule": "bag", "why": "a"}, {"rule": "bag", "why": "b"}]},
            ": a rule is waived once",
        ),
    ],
)
def test_a_pattern_that_cannot_be_is_refused_naming_the_field(
    api: Api, changed: Pattern, fault: str
) -> None:
    before = version_of(api.engine)
    refused = problem(api.ask("POST", "patterns", body={**SUPPER, **changed}), 422)
    faults = [f"{one['where']}: {one['what']}" for one in objects(refused, "faults")]
    assert any(one.startswith(fault) for one in faults), faults
    assert version_of(api.engine) == before


def test_an_id_is_taken_once(api: Api) -> None:
    told(api.ask("POST", "patterns", body=SUPPER), 201)
    refused = problem(api.ask("POST", "patterns", body=SUPPER), 422)
    assert "already" in str(objects(refused, "faults")[0]["what"])
