"""What every JSON error must look like."""

from __future__ import annotations

from typing import Any

from werkzeug.test import TestResponse


def assert_error(answer: TestResponse, status: int, code: str, *words: str) -> dict[str, Any]:
    """Assert the one shape of an error body, its status, its code and words of its sentence; gives its data."""
    assert answer.status_code == status, answer.get_data(as_text=True)
    assert answer.mimetype == "application/json"
    assert answer.json is not None and set(answer.json) == {"error"}
    data: dict[str, Any] = answer.json["error"]
    assert {"code", "message", "subject"} <= set(data)
    assert data["code"] == code
    assert data["message"].endswith((".", "!", "?"))
    for word in words:
        assert word in data["message"], data["message"]
    return data
