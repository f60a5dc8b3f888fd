"""What only the pages refuse: errors of our tree that the rooms know nothing of."""

from __future__ import annotations

from annotate.errors import BadInput, BenchreelError


class ForeignHost(BenchreelError):
    """The request was made to a host name that is not this machine's."""

    code = "foreign_host"


class ForeignPage(BenchreelError):
    """The change was asked for by something that is not one of our pages."""

    code = "foreign_page"


class NotJson(BenchreelError):
    """A body that is not sent as JSON."""

    code = "not_json"


class TooLarge(BadInput):
    """A file beyond the stated limit."""

    code = "too_large"


class AskFirst(BenchreelError):
    """A lesson shows a session that is not free to share, and nobody has said that it may leave."""

    code = "ask_first"
