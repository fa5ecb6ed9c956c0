"""The last moment of a run"""

import sqlalchemy as sa
from alembic import op

revision = "0002"
down_revision = "0001"
branch_labels = None
depends_on = None


def upgrade() -> None:
    op.create_table(
        "moments",
        sa.Column("run_id", sa.Text(), nullable=False),
        sa.Column("step", sa.BigInteger().with_variant(sa.Integer(), "sqlite"), nullable=False),
        sa.Column("t_wall_utc", sa.Text(), nullable=False),
        sa.ForeignKeyConstraint(["run_id"], ["runs.run_id"], name=op.f("fk_moments_run_id")),
        sa.PrimaryKeyConstraint("run_id", name=op.f("pk_moments")),
    )


def downgrade() -> None:
    op.drop_table("moments")
