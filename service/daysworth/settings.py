"""Read how this process is run, from the environment; only the root of the program imports it."""

from typing import Annotated, Final

from pydantic import Field
from pydantic_settings import BaseSettings, SettingsConfigDict

EMBEDDED: Final = "sqlite:///daysworth.db"
"""The default: a file in the working folder."""


class Settings(BaseSettings):
    """What is chosen where the service runs, each from an environment variable DAYSWORTH_…."""

    model_config = SettingsConfigDict(env_prefix="DAYSWORTH_", frozen=True)

    database: str = EMBEDDED
    host: str = "127.0.0.1"
    port: Annotated[int, Field(ge=0, le=65_535)] = 8017
    site: str = ""
    """Where the pages are reached from outside, such as https://days.example.org; if not given, a
    link is written as the browser that asked for it reached us."""

    planning_seconds: Annotated[float, Field(gt=0, le=86_400)] = 60.0
    """How long a question about days may be planned before it is stopped and refused."""
