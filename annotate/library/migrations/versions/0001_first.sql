CREATE TABLE edit (
    id INTEGER PRIMARY KEY AUTOINCREMENT NOT NULL,
    session_id INTEGER,
    what TEXT NOT NULL,
    rows JSON NOT NULL,
    is_undone BOOLEAN NOT NULL,
    made_at TEXT NOT NULL
);

CREATE INDEX edit_by_session ON edit (session_id, id);

CREATE TABLE job (
    id INTEGER PRIMARY KEY AUTOINCREMENT NOT NULL,
    kind TEXT NOT NULL,
    subject JSON NOT NULL,
    state TEXT NOT NULL,
    progress FLOAT NOT NULL,
    message TEXT NOT NULL,
    error TEXT NOT NULL,
    error_code TEXT NOT NULL,
    attempts INTEGER NOT NULL,
    result JSON NOT NULL,
    created_at TEXT NOT NULL,
    started_at TEXT NOT NULL,
    finished_at TEXT NOT NULL,
    cancel_wanted BOOLEAN NOT NULL,
    heartbeat_at FLOAT NOT NULL,
    owner TEXT NOT NULL
);

CREATE INDEX job_by_state ON job (state, id);

CREATE TABLE lesson (
    id INTEGER PRIMARY KEY AUTOINCREMENT NOT NULL,
    title TEXT NOT NULL,
    goal TEXT NOT NULL,
    audience TEXT NOT NULL,
    tools JSON NOT NULL,
    review TEXT NOT NULL,
    note TEXT NOT NULL,
    clips JSON NOT NULL,
    has_title_cards BOOLEAN NOT NULL,
    version INTEGER NOT NULL
);

CREATE TABLE moment (
    id INTEGER NOT NULL,
    kind TEXT NOT NULL,
    row_id INTEGER NOT NULL,
    session_id INTEGER,
    recording_id INTEGER,
    reed_id INTEGER,
    start_ms INTEGER,
    end_ms INTEGER,
    shown TEXT NOT NULL,
    PRIMARY KEY (id),
    CONSTRAINT one_moment_a_row UNIQUE (kind, row_id)
);

CREATE TABLE reed (
    id INTEGER PRIMARY KEY AUTOINCREMENT NOT NULL,
    name TEXT NOT NULL,
    instrument TEXT NOT NULL,
    state TEXT NOT NULL,
    made_on TEXT,
    note TEXT NOT NULL,
    version INTEGER NOT NULL,
    CONSTRAINT one_reed_a_name UNIQUE (name)
);

CREATE TABLE session (
    id INTEGER PRIMARY KEY AUTOINCREMENT NOT NULL,
    date TEXT NOT NULL,
    title TEXT NOT NULL,
    place TEXT NOT NULL,
    temperature_c TEXT,
    humidity_percent TEXT,
    note TEXT NOT NULL,
    sharing TEXT NOT NULL,
    version INTEGER NOT NULL
);

CREATE TABLE setting (
    name TEXT NOT NULL,
    value JSON NOT NULL,
    PRIMARY KEY (name)
);

CREATE TABLE mark (
    id INTEGER PRIMARY KEY AUTOINCREMENT NOT NULL,
    made_at TEXT NOT NULL,
    step TEXT NOT NULL,
    zones JSON NOT NULL,
    blade TEXT,
    side TEXT,
    reed_id INTEGER,
    note TEXT NOT NULL,
    session_id INTEGER,
    tag_id INTEGER,
    version INTEGER NOT NULL,
    FOREIGN KEY(reed_id) REFERENCES reed (id),
    FOREIGN KEY(session_id) REFERENCES session (id)
);

CREATE INDEX mark_by_time ON mark (made_at);

CREATE TABLE recording (
    id INTEGER PRIMARY KEY AUTOINCREMENT NOT NULL,
    session_id INTEGER NOT NULL,
    position INTEGER NOT NULL,
    name TEXT NOT NULL,
    path TEXT NOT NULL,
    is_kept BOOLEAN NOT NULL,
    fingerprint TEXT NOT NULL,
    size_bytes INTEGER NOT NULL,
    probe JSON NOT NULL,
    reed_id INTEGER,
    playable_path TEXT,
    peaks_path TEXT,
    sheet_path TEXT,
    language TEXT NOT NULL,
    version INTEGER NOT NULL,
    CONSTRAINT one_recording_a_file UNIQUE (fingerprint),
    FOREIGN KEY(session_id) REFERENCES session (id),
    FOREIGN KEY(reed_id) REFERENCES reed (id)
);

CREATE TABLE correction (
    id INTEGER PRIMARY KEY AUTOINCREMENT NOT NULL,
    recording_id INTEGER NOT NULL,
    start_ms INTEGER NOT NULL,
    end_ms INTEGER NOT NULL,
    said TEXT NOT NULL,
    "right" TEXT NOT NULL,
    version INTEGER NOT NULL,
    FOREIGN KEY(recording_id) REFERENCES recording (id)
);

CREATE TABLE line (
    id INTEGER PRIMARY KEY AUTOINCREMENT NOT NULL,
    recording_id INTEGER NOT NULL,
    start_ms INTEGER NOT NULL,
    end_ms INTEGER NOT NULL,
    text TEXT NOT NULL,
    words JSON NOT NULL,
    heard_text TEXT NOT NULL,
    version INTEGER NOT NULL,
    FOREIGN KEY(recording_id) REFERENCES recording (id)
);

CREATE INDEX line_by_time ON line (recording_id, start_ms);

CREATE TABLE "plan" (
    id INTEGER NOT NULL,
    text TEXT NOT NULL,
    reed_id INTEGER,
    recording_id INTEGER,
    at_ms INTEGER,
    is_done BOOLEAN NOT NULL,
    version INTEGER NOT NULL,
    PRIMARY KEY (id),
    FOREIGN KEY(reed_id) REFERENCES reed (id),
    FOREIGN KEY(recording_id) REFERENCES recording (id)
);

CREATE INDEX plan_by_reed ON "plan" (reed_id);

CREATE TABLE reading (
    id INTEGER PRIMARY KEY AUTOINCREMENT NOT NULL,
    quantity TEXT NOT NULL,
    value TEXT NOT NULL,
    unit TEXT NOT NULL,
    reed_id INTEGER,
    recording_id INTEGER,
    tag_id INTEGER,
    at_ms INTEGER,
    zone TEXT,
    blade TEXT,
    side TEXT,
    place_note TEXT NOT NULL,
    moisture TEXT,
    tool TEXT NOT NULL,
    uncertainty TEXT,
    taken_on TEXT,
    note TEXT NOT NULL,
    version INTEGER NOT NULL,
    FOREIGN KEY(reed_id) REFERENCES reed (id),
    FOREIGN KEY(recording_id) REFERENCES recording (id)
);

CREATE INDEX reading_by_reed ON reading (reed_id);

CREATE TABLE sound (
    id INTEGER PRIMARY KEY AUTOINCREMENT NOT NULL,
    recording_id INTEGER NOT NULL,
    start_ms INTEGER NOT NULL,
    end_ms INTEGER NOT NULL,
    kind TEXT NOT NULL,
    confidence FLOAT NOT NULL,
    measures JSON NOT NULL,
    FOREIGN KEY(recording_id) REFERENCES recording (id)
);

CREATE INDEX sound_by_time ON sound (recording_id, start_ms);

CREATE TABLE suggestion (
    id INTEGER PRIMARY KEY AUTOINCREMENT NOT NULL,
    recording_id INTEGER NOT NULL,
    start_ms INTEGER NOT NULL,
    end_ms INTEGER NOT NULL,
    kind TEXT NOT NULL,
    content JSON NOT NULL,
    evidence TEXT NOT NULL,
    rule TEXT NOT NULL,
    confidence FLOAT NOT NULL,
    state TEXT NOT NULL,
    version INTEGER NOT NULL,
    FOREIGN KEY(recording_id) REFERENCES recording (id)
);

CREATE INDEX suggestion_by_time ON suggestion (recording_id, start_ms);

CREATE TABLE tag (
    id INTEGER PRIMARY KEY AUTOINCREMENT NOT NULL,
    recording_id INTEGER NOT NULL,
    start_ms INTEGER NOT NULL,
    end_ms INTEGER NOT NULL,
    step TEXT NOT NULL,
    zones JSON NOT NULL,
    blade TEXT,
    side TEXT,
    reed_id INTEGER,
    symptoms JSON NOT NULL,
    note TEXT NOT NULL,
    version INTEGER NOT NULL,
    FOREIGN KEY(recording_id) REFERENCES recording (id),
    FOREIGN KEY(reed_id) REFERENCES reed (id)
);

CREATE INDEX tag_by_reed ON tag (reed_id);

CREATE INDEX tag_by_time ON tag (recording_id, start_ms);

CREATE VIRTUAL TABLE moment_text USING fts5 (text, tokenize = 'unicode61 remove_diacritics 2');
