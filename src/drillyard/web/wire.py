"""The base of every message, and the two shapes that every screen can get: a refusal and the state of the server."""

from typing import Literal

from pydantic import BaseModel, ConfigDict, Field

from drillyard.web.mark import TRAINING_MARK


class Wire(BaseModel):
    """Refuses unknown fields; in the schema of an answer every field is there, default or not."""

    model_config = ConfigDict(extra="forbid", frozen=True, json_schema_serialization_defaults_required=True)


class FaultView(Wire):
    """One thing that is wrong.  ``sentence`` stands alone; the rest lets a form mark the right field."""

    code: str
    sentence: str
    file: str = ""
    line: int | None = None
    field: str = ""
    near: list[str] = Field(default_factory=list)
    is_warning: bool = False


class RefusalView(Wire):
    """The body of every answer that is not a success."""

    sentence: str
    faults: list[FaultView] = Field(default_factory=list)


class Health(Wire):
    """``body``: "loading" until the compiled patient is in memory; runs can be started once it is "ready"."""

    version: str
    server_id: str
    body: Literal["loading", "ready", "failed"]
    body_text: str = Field(default="", description="a sentence when the body failed to load")
    lab_name: str
    training_mark: str = TRAINING_MARK


class Done(Wire):
    """It is done and on disk."""

    is_done: Literal[True] = True
