"""Build the application that all tests ask, once: its routes are the same around every service."""

from functools import cache

from fastapi import FastAPI

from daysworth.db.engine import open_engine
from daysworth.wiring import build_app, build_service


@cache
def application() -> FastAPI:
    """Give the application, with a service around no database until a test puts another in it."""
    return build_app(build_service(open_engine("sqlite:///never-opened.db")))
