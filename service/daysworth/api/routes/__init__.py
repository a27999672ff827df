"""One file a resource. A route names who may use it, runs one read or one write, and answers."""

from fastapi import APIRouter

from daysworth.api.access import GuardedRoute


def store_router(*, under: str = "") -> APIRouter:
    """Make a router for what belongs to a store, its routes guarded."""
    return APIRouter(prefix=f"/v1/stores/{{store}}{under}", route_class=GuardedRoute)
