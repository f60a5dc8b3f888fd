"""Who may use whom, read from the imports."""

import ast
from pathlib import Path

ROOT = Path(__file__).parent.parent
FREE = {"errors", "timecode", "instants", "model", "vocabulary", "formats"}
ALLOWED = {
    "errors": set(),
    "timecode": {"errors"},
    "instants": set(),
    "model": {"errors", "timecode"},
    "vocabulary": {"errors"},
    "formats": FREE,
    "intake": FREE,
    "listen": FREE | {"measure"},
    "tagging": FREE | {"measure"},
    "measure": FREE,
    "find": FREE,
    "drawing": FREE,
    "lesson": FREE | {"drawing", "intake", "measure"},
    "library": FREE | {"find", "measure"},
    "work": FREE | {"intake", "listen", "tagging", "measure", "find", "lesson", "library"},
    "cli": FREE | {"intake", "listen", "tagging", "measure", "find", "lesson", "library", "work"},
}


def imports(path: Path) -> set[str]:
    found: set[str] = set()
    for node in ast.walk(ast.parse(path.read_text("utf-8"))):
        if isinstance(node, ast.Import):
            found |= {alias.name for alias in node.names}
        elif isinstance(node, ast.ImportFrom) and node.module:
            found |= {f"{node.module}.{alias.name}" for alias in node.names} | {node.module}
    return found


def room(path: Path) -> str:
    return path.relative_to(ROOT / "annotate").parts[0].removesuffix(".py")


def test_rooms_use_only_what_they_may() -> None:
    wrong = []
    for path in sorted((ROOT / "annotate").rglob("*.py")):
        own = room(path)
        if own == "__init__" or own not in ALLOWED:
            continue
        used = {
            name.split(".")[1]
            for name in imports(path)
            if name.startswith("annotate.") and name != "annotate.__version__"
        }
        wrong += [
            f"{path.relative_to(ROOT)} uses {name}" for name in sorted(used - ALLOWED[own] - {own, "__version__"})
        ]
    assert wrong == []


def test_every_room_has_its_rule() -> None:
    rooms = {room(path) for path in (ROOT / "annotate").rglob("*.py")} - {"__init__"}
    assert rooms == set(ALLOWED)


def test_flask_stays_in_web_and_sql_in_the_library() -> None:
    wrong = []
    for path in sorted((ROOT / "annotate").rglob("*.py")):
        names = {name.split(".")[0] for name in imports(path)}
        if "flask" in names:
            wrong.append(f"{path.relative_to(ROOT)} uses flask")
        if names & {"sqlalchemy", "sqlite3", "alembic"} and room(path) != "library":
            wrong.append(f"{path.relative_to(ROOT)} speaks SQL")
    for path in sorted((ROOT / "web").rglob("*.py")):
        if {name.split(".")[0] for name in imports(path)} & {"sqlalchemy", "sqlite3", "alembic"}:
            wrong.append(f"{path.relative_to(ROOT)} speaks SQL")
    assert wrong == []


# Inside of the lesson: what is told of the record, what the film shows of it, and how films are cut.
LESSON = {"told": {"cutting"}, "shown": {"told", "cutting"}, "cutting": set()}


def test_the_lesson_s_rooms_use_only_what_they_may() -> None:
    wrong = []
    for own, allowed in LESSON.items():
        for path in sorted((ROOT / "annotate" / "lesson" / own).glob("*.py")):
            used = {name.split(".")[2] for name in imports(path) if name.startswith("annotate.lesson.")}
            wrong += [f"{path.name} uses {name}" for name in sorted(used & set(LESSON) - allowed - {own})]
    assert wrong == []
