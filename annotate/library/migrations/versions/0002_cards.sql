CREATE TABLE card (
    id INTEGER NOT NULL PRIMARY KEY AUTOINCREMENT,
    recording_id INTEGER NOT NULL,
    start_ms INTEGER NOT NULL,
    end_ms INTEGER NOT NULL,
    name TEXT NOT NULL,
    FOREIGN KEY(recording_id) REFERENCES recording (id)
);

CREATE INDEX card_by_time ON card (recording_id, start_ms);
