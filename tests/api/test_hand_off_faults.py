"""Claims about what is wrong with a hand-off: each fault says which line of the request it is."""

from tests.api.clients import Api, Json
from tests.api.partner_bodies import Body, add, promise
from tests.api.test_promises import faults
from tests.grounds import box, put_up


def test_a_fault_of_a_hand_off_says_which_line_it_is(api: Api) -> None:
    add(api)
    first, second = put_up(api.engine, box(6), box(6))
    made: Body = promise(api, {first.id: 2, second.id: 3})
    summary = made["summary"]
    assert isinstance(summary, dict)
    went: list[Json] = [
        {"lot": first.id, "units": 2},
        {"lot": "L-nowhere", "units": 1},
        {"lot": second.id, "units": 4},
    ]
    answer = api.ask(
        "POST",
        f"promises/{summary['id']}/hand-off",
        body={"went": went},
        headers={"If-Match": str(summary["etag"])},
    )
    stranger, more = faults(answer)
    assert stranger.startswith("went number 2: lot 'L-nowhere' is not in promise")
    assert more.startswith("went number 3: 4 are said to have gone of lot")
