"""Whom each page is for, written down apart from the routes, as the store means it."""

from typing import Final

from daysworth.pages.doors import Door

DOORS: Final[dict[str, Door]] = {
    "GET /": Door.ANYONE,
    "GET /stores/{store}/sign-in": Door.ANYONE,
    "POST /stores/{store}/sign-in": Door.ANYONE,
    "POST /stores/{store}/sign-out": Door.COORDINATOR,
    "GET /stores/{store}": Door.COORDINATOR,
    "GET /stores/{store}/summary": Door.COORDINATOR,
    "GET /stores/{store}/summary/days.svg": Door.COORDINATOR,
    "GET /stores/{store}/notice": Door.COORDINATOR,
    "GET /stores/{store}/links": Door.COORDINATOR,
    "POST /stores/{store}/links": Door.COORDINATOR,
    "POST /stores/{store}/links/{link}/withdraw": Door.COORDINATOR,
    "GET /stores/{store}/lots/{lot}": Door.COORDINATOR,
    "POST /stores/{store}/lots/{lot}/name": Door.COORDINATOR,
    "POST /stores/{store}/lots/{lot}/date": Door.COORDINATOR,
    "POST /stores/{store}/lots/{lot}/release": Door.COORDINATOR,
    "POST /stores/{store}/lots/{lot}/throw-out": Door.COORDINATOR,
    "POST /stores/{store}/lots/{lot}/label": Door.COORDINATOR,
    "POST /stores/{store}/lots/{lot}/label/settle": Door.COORDINATOR,
    "GET /stores/{store}/households": Door.COORDINATOR,
    "GET /stores/{store}/households/{household}/warnings": Door.COORDINATOR,
    "POST /stores/{store}/households/{household}/warnings": Door.COORDINATOR,
    "GET /stores/{store}/parcels": Door.COORDINATOR,
    "GET /stores/{store}/kits": Door.COORDINATOR,
    "GET /stores/{store}/kits/labels": Door.COORDINATOR,
    "GET /stores/{store}/kits/{kit}": Door.COORDINATOR,
    "POST /stores/{store}/kits/{kit}/move": Door.COORDINATOR,
    "POST /stores/{store}/kits/{kit}/unpack": Door.COORDINATOR,
    "POST /stores/{store}/kits/{kit}/eat": Door.COORDINATOR,
    "POST /stores/{store}/kits/{kit}/confirm": Door.COORDINATOR,
    "GET /stores/{store}/round": Door.COORDINATOR,
    "POST /stores/{store}/round/accept": Door.COORDINATOR,
    "GET /stores/{store}/wish-list": Door.COORDINATOR,
    "POST /stores/{store}/wish-list/publish": Door.COORDINATOR,
    "POST /stores/{store}/wish-list/withdraw": Door.COORDINATOR,
    "GET /bring/{store}/{code}": Door.ANYONE,
    "GET /stores/{store}/compare": Door.COORDINATOR,
    "GET /stores/{store}/timeline": Door.COORDINATOR,
    "GET /stores/{store}/compare/{week}": Door.COORDINATOR,
    "GET /log/{secret}": Door.LINK,
    "POST /log/{secret}": Door.LINK,
    "POST /log/{secret}/take-back": Door.LINK,
    "GET /log/{secret}/labels/{lot}": Door.LINK,
    "POST /log/{secret}/labels/{lot}": Door.LINK,
    "GET /static/daysworth.css": Door.ANYONE,
}
"""Whom each page is for. It is written down here, apart from the routes, as the store means it."""

COORDINATORS: Final = [name for name, door in DOORS.items() if door is Door.COORDINATOR]
GIVEN: Final = [name.partition(" ")[2] for name in COORDINATORS if name.startswith("GET")]
SENT: Final = [name.partition(" ")[2] for name in COORDINATORS if name.startswith("POST")]
