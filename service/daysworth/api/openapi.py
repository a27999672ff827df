"""Finish the description of the API: who may call what, and problems in their own media type."""

from typing import Final

from fastapi import FastAPI

from daysworth.api.problems import MEDIA_TYPE

Described = dict[str, object]

_SCHEME: Final = {
    "type": "http",
    "scheme": "bearer",
    "description": "A token from `daysworth token create`, shown once.",
}


def describe(app: FastAPI) -> None:
    """Have an application give its description, finished once, when it is first asked for."""
    generate = app.openapi

    def openapi() -> dict[str, object]:
        if app.openapi_schema is None:
            app.openapi_schema = _finished(generate())
        return app.openapi_schema

    app.openapi = openapi  # type: ignore[method-assign]


def _finished(description: Described) -> Described:
    components = _object(description, "components")
    components["securitySchemes"] = {"credential": _SCHEME}
    for path in _objects(_object(description, "paths")):
        for operation in _objects(path):
            operation.setdefault("security", [{"credential": []}])
            for status, answer in _object(operation, "responses").items():
                if status.isdecimal() and int(status) >= 400 and isinstance(answer, dict):
                    _as_problem(answer)
    return description


def _as_problem(answer: Described) -> None:
    content = answer.get("content")
    if isinstance(content, dict) and "application/json" in content:
        content[MEDIA_TYPE] = content.pop("application/json")


def _object(parent: Described, name: str) -> Described:
    found = parent.setdefault(name, {})
    assert isinstance(found, dict)
    return found


def _objects(parent: Described) -> list[Described]:
    return [child for child in parent.values() if isinstance(child, dict)]
