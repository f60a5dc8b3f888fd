"""The reed cards seen in a recording."""

from annotate.library.migrations.beside import run_sql_beside

revision = "0002"
down_revision = "0001"
branch_labels = None
depends_on = None


def upgrade() -> None:
    run_sql_beside(__file__)
