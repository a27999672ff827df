"""Serve the least that could log a box: a bare route that inserts one row, as durably.

    python -m tests.bench.bare_route FILE

It prints its port. No ledger, no version, no key, no credential: what `ledger` is measured beside.
"""

import socket
import sqlite3
import sys

import uvicorn
from fastapi import FastAPI
from pydantic import BaseModel
from sqlalchemy import create_engine, event
from sqlmodel import Field, Session, SQLModel


class BoxRow(SQLModel, table=True):
    """One box."""

    id: int | None = Field(default=None, primary_key=True)
    food: str
    place: str
    units: int
    label_kind: str
    printed: str


class BoxIn(BaseModel):
    """One box that came in."""

    food: str
    place: str
    units: int
    label_kind: str
    printed: str


def build(file: str) -> FastAPI:
    """Build the application: one table, one route."""
    engine = create_engine(f"sqlite:///{file}", connect_args={"timeout": 30})

    @event.listens_for(engine, "connect")
    def prepare(connection: sqlite3.Connection, _entry: object) -> None:
        connection.execute("PRAGMA journal_mode = WAL")
        connection.execute("PRAGMA synchronous = FULL")

    SQLModel.metadata.create_all(engine, tables=[SQLModel.metadata.tables["boxrow"]])
    app = FastAPI()

    @app.post("/boxes", status_code=201)
    def log(box: BoxIn) -> BoxRow:
        with Session(engine) as session:
            row = BoxRow(**box.model_dump())
            session.add(row)
            session.commit()
            session.refresh(row)
            return row

    return app


def main() -> None:
    """Serve until stopped."""
    listener = socket.socket(socket.AF_INET, socket.SOCK_STREAM, socket.IPPROTO_TCP)
    listener.bind(("127.0.0.1", 0))
    listener.listen(2_048)
    print(f"http://127.0.0.1:{listener.getsockname()[1]}", flush=True)
    config = uvicorn.Config(build(sys.argv[1]), log_level="warning")
    uvicorn.Server(config).run(sockets=[listener])


if __name__ == "__main__":
    main()
