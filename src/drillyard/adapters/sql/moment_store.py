"""How far each live run has come."""

from concurrent.futures import Future

from sqlalchemy import Connection, Engine, select
from sqlalchemy.dialects.sqlite import insert

from drillyard.adapters.sql.schema import MOMENTS
from drillyard.adapters.sql.writer import Writer
from drillyard.service.records import LastMoment


class SqlMomentStore:
    """Implements ``MomentStore``."""

    def __init__(self, writer: Writer, reader: Engine) -> None:
        self._writer, self._reader = writer, reader

    def keep(self, run_id: str, moment: LastMoment) -> "Future[None]":
        new = {"step": moment.step, "t_wall_utc": moment.t_wall_utc}
        row = insert(MOMENTS).values(run_id=run_id, **new)

        def work(connection: Connection) -> None:
            connection.execute(row.on_conflict_do_update(index_elements=["run_id"], set_=new))

        return self._writer.submit(work)

    def newest(self, run_id: str) -> LastMoment | None:
        wanted = select(MOMENTS.c.step, MOMENTS.c.t_wall_utc).where(MOMENTS.c.run_id == run_id)
        with self._reader.connect() as connection:
            row = connection.execute(wanted).mappings().first()
            return None if row is None else LastMoment(**row)
