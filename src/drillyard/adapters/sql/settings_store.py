"""The lab's own choices, by name."""

import dataclasses
import difflib
import json
from collections.abc import Mapping
from concurrent.futures import Future
from typing import Any, Final

from pydantic import TypeAdapter, ValidationError
from sqlalchemy import Connection, Engine, select
from sqlalchemy.dialects.sqlite import insert

from drillyard.adapters.sql.schema import SETTINGS
from drillyard.adapters.sql.writer import Writer
from drillyard.core.quantities.faults import Fault, Place, Refusal
from drillyard.service.records import LabSettings

_ADAPTER: Final[TypeAdapter[LabSettings]] = TypeAdapter(LabSettings)
_NAMES: Final = tuple(item.name for item in dataclasses.fields(LabSettings))


class SqlSettingsStore:
    """Implements ``SettingsStore``.  A setting that this version does not know is kept and not read."""

    def __init__(self, writer: Writer, reader: Engine) -> None:
        self._writer, self._reader = writer, reader

    def read(self) -> LabSettings:
        with self._reader.connect() as connection:
            return _checked(_stored(connection))

    def change(self, changes: Mapping[str, Any]) -> "Future[LabSettings]":
        wanted = dict(changes)

        def work(connection: Connection) -> LabSettings:
            unknown = [name for name in wanted if name not in _NAMES]
            if unknown:
                raise Refusal(*(_unknown(name) for name in unknown))
            settings = _checked({**_stored(connection), **wanted})
            plain = _ADAPTER.dump_python(settings, mode="json")
            for name in wanted:
                row = {"name": name, "value": json.dumps(plain[name])}
                connection.execute(
                    insert(SETTINGS).values(row).on_conflict_do_update(index_elements=["name"], set_=row)
                )
            return settings

        return self._writer.submit(work)


def _stored(connection: Connection) -> dict[str, Any]:
    return {name: json.loads(value) for name, value in connection.execute(select(SETTINGS)) if name in _NAMES}


def _checked(plain: Mapping[str, Any]) -> LabSettings:
    try:
        return _ADAPTER.validate_python(dict(plain))
    except ValidationError as wrong:
        raise Refusal(
            *(
                Fault(
                    code="bad setting",
                    said=f"the setting cannot be {error['input']!r} ({error['msg']})",
                    place=Place(field=str(error["loc"][0])),
                    value=str(error["input"])[:60],
                    remedy="choose one of the allowed values",
                )
                for error in wrong.errors(include_url=False)
            )
        ) from None


def _unknown(name: str) -> Fault:
    return Fault(
        code="unknown setting",
        said=f"there is no setting '{name}'",
        value=name,
        near=tuple(difflib.get_close_matches(name, _NAMES, n=2)),
        remedy="docs/settings.md lists all settings",
    )
