"""Name the tables for Core statements, which is how everything here is read and written."""

from typing import Final

from sqlalchemy import MetaData, Table

from daysworth.db import (
    bring_list_rows,
    calendar_rows,
    kept_export_rows,
    kit_rows,
    partner_rows,
    promise_rows,
    round_rows,
    sign_in_rows,
    stock_rows,
)
from daysworth.db.rows import Row

METADATA: Final[MetaData] = Row.metadata
_TABLES: Final = METADATA.tables

STORE: Final[Table] = _TABLES["store"]
PLACE: Final[Table] = _TABLES["place"]
HOUSEHOLD: Final[Table] = _TABLES["household"]
MEMBER: Final[Table] = _TABLES["member"]
RESTRICTION: Final[Table] = _TABLES["restriction"]
FOOD: Final[Table] = _TABLES[str(stock_rows.FoodRow.__tablename__)]
LOT: Final[Table] = _TABLES["lot"]
ENTRY: Final[Table] = _TABLES["entry"]
ACKNOWLEDGEMENT: Final[Table] = _TABLES["acknowledgement"]
CREDENTIAL: Final[Table] = _TABLES["credential"]
DISCLOSURE: Final[Table] = _TABLES["disclosure"]
REPLAY: Final[Table] = _TABLES["replay"]
COORDINATOR: Final[Table] = _TABLES[str(sign_in_rows.CoordinatorRow.__tablename__)]
SESSION: Final[Table] = _TABLES["session"]
MISSED_SIGN_IN: Final[Table] = _TABLES["missed_sign_in"]
LINK: Final[Table] = _TABLES["link"]
NOTICE: Final[Table] = _TABLES["notice"]
POSTING: Final[Table] = _TABLES["posting"]
KEPT_EXPORT: Final[Table] = _TABLES[str(kept_export_rows.KeptExportRow.__tablename__)]
KEPT_HOME: Final[Table] = _TABLES["kept_home"]
PSEUDONYM_KEY: Final[Table] = _TABLES["pseudonym_key"]
BRING_LIST: Final[Table] = _TABLES[str(bring_list_rows.BringListRow.__tablename__)]
PATTERN: Final[Table] = _TABLES[str(kit_rows.PatternRow.__tablename__)]
KIT: Final[Table] = _TABLES["kit"]
KIT_ITEM: Final[Table] = _TABLES["kit_item"]
WARE: Final[Table] = _TABLES["ware"]
WARE_ENTRY: Final[Table] = _TABLES["ware_entry"]
PACKING_PLAN: Final[Table] = _TABLES["packing_plan"]
ROUND_LINE: Final[Table] = _TABLES[str(round_rows.RoundLineRow.__tablename__)]
PARTNER: Final[Table] = _TABLES[str(partner_rows.PartnerRow.__tablename__)]
PROMISE: Final[Table] = _TABLES[str(promise_rows.PromiseRow.__tablename__)]
PROMISE_ITEM: Final[Table] = _TABLES["promise_item"]
HAND_OFF_LINE: Final[Table] = _TABLES["hand_off_line"]
CALENDAR_LINK: Final[Table] = _TABLES[str(calendar_rows.CalendarLinkRow.__tablename__)]
CALENDAR_EVENT: Final[Table] = _TABLES["calendar_event"]
