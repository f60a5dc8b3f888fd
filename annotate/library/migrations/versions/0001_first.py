"""The first tables (their SQL lies beside this file)."""

from annotate.library.migrations.beside import run_sql_beside

revision = "0001"
down_revision = None
branch_labels = None
depends_on = None


def upgrade() -> None:
    run_sql_beside(__file__)
