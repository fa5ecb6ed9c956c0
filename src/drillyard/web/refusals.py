"""Refusals as HTTP answers: one clear sentence each, always in the same shape."""

from typing import Any, Final

from fastapi import FastAPI, Request
from fastapi.exceptions import RequestValidationError
from fastapi.responses import JSONResponse
from starlette.exceptions import HTTPException

from drillyard.core.quantities.faults import Fault, Refusal
from drillyard.web.wire import FaultView, RefusalView

NOT_FOUND, IN_THE_WAY, NOT_USABLE, NOT_NOW = 404, 409, 422, 503

_STATUS: Final[dict[str, int]] = {
    "unknown run": NOT_FOUND,
    "unknown session": NOT_FOUND,
    "unknown room": NOT_FOUND,
    "unknown note": NOT_FOUND,
    "no such file": NOT_FOUND,
    "no such run": NOT_FOUND,
    "no run": NOT_FOUND,
    "nothing stored": NOT_FOUND,
    "room in use": IN_THE_WAY,
    "room needed": IN_THE_WAY,
    "run goes on": IN_THE_WAY,
    "closed already": IN_THE_WAY,
    "counts differ": IN_THE_WAY,
    "body not ready": NOT_NOW,
    "disk full": NOT_NOW,
}

RESPONSES: Final[dict[int | str, dict[str, Any]]] = {
    403: {"model": RefusalView, "description": "The request came from another address or page."},
    NOT_FOUND: {"model": RefusalView, "description": "There is no such thing."},
    IN_THE_WAY: {"model": RefusalView, "description": "Something stands in the way now."},
    NOT_USABLE: {"model": RefusalView, "description": "What was sent cannot be used."},
    NOT_NOW: {"model": RefusalView, "description": "The server cannot do it at the moment."},
}
"""Declared for every path, so that the description of the interface is whole."""


def fault_view(fault: Fault) -> FaultView:
    """A fault as a screen marks it."""
    return FaultView(
        code=fault.code,
        sentence=fault.sentence(),
        file=fault.place.file,
        line=fault.place.line,
        field=fault.place.field,
        near=list(fault.near),
        is_warning=fault.is_warning,
    )


def status_of(refusal: Refusal) -> int:
    """The HTTP status of a refusal: that of its first fault."""
    return _STATUS.get(refusal.faults[0].code, NOT_USABLE) if refusal.faults else NOT_USABLE


def answer(status: int, sentence: str, faults: tuple[Fault, ...] = ()) -> JSONResponse:
    """A refusal as it is sent."""
    view = RefusalView(sentence=sentence, faults=[fault_view(fault) for fault in faults])
    return JSONResponse(view.model_dump(mode="json"), status_code=status)


def handle_refusals(app: FastAPI) -> None:
    """Every refusal, and every request that does not fit its description, is answered in the one shape."""

    @app.exception_handler(Refusal)
    async def refused(_: Request, refusal: Refusal) -> JSONResponse:
        return answer(status_of(refusal), str(refusal), refusal.faults)

    @app.exception_handler(RequestValidationError)
    async def not_understood(_: Request, wrong: RequestValidationError) -> JSONResponse:
        faults = tuple(_fault_of(error) for error in wrong.errors())
        return answer(NOT_USABLE, " ".join(fault.sentence() for fault in faults), faults)

    @app.exception_handler(HTTPException)
    async def not_here(_: Request, wrong: HTTPException) -> JSONResponse:
        sentence = {404: "There is nothing at this address.", 405: "This address cannot be used in this way."}
        response = answer(wrong.status_code, sentence.get(wrong.status_code, str(wrong.detail)))
        response.headers.update(wrong.headers or {})
        return response


def _fault_of(error: dict[str, Any]) -> Fault:
    field = ".".join(str(part) for part in error["loc"] if part != "body")
    said = f"{field or 'the request'} cannot be used ({error['msg']})"
    return Fault(code="bad field", said=said)
