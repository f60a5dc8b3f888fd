"""What is ahead or to be laid: plans and marks."""

from __future__ import annotations

from annotate.library import codec, schema
from annotate.library.shelves.shelf import Shelf
from annotate.model import Mark, Plan


class Plans(Shelf[Plan]):
    table = schema.plan
    from_row = staticmethod(codec.plan_from)

    def of_reed(self, reed_id: int) -> list[Plan]:
        """What is planned for a reed."""
        return self.where(schema.plan.c.reed_id == reed_id)


class Marks(Shelf[Mark]):
    table = schema.mark
    from_row = staticmethod(codec.mark_from)
    order = ("made_at", "id")
