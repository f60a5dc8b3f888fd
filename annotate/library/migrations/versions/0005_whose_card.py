"""Whose card was seen stays with the card; ids of plans are never given twice; work takes the reed that was in hand."""

from annotate.library.migrations.beside import run_sql_beside

revision = "0005"
down_revision = "0004"
branch_labels = None
depends_on = None


def upgrade() -> None:
    run_sql_beside(__file__)
