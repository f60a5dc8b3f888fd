"""Runs the SQL that lies beside a migration."""

from __future__ import annotations

from pathlib import Path

from alembic import op


def run_sql_beside(module_file: str) -> None:
    """Execute the statements of the ``.sql`` file with the migration's own name, one after the other."""
    for statement in Path(module_file).with_suffix(".sql").read_text("utf-8").split(";\n"):
        if statement.strip():
            op.execute(statement)
