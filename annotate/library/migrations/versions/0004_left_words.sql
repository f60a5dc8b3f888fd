CREATE TABLE left_word (
    id INTEGER NOT NULL PRIMARY KEY AUTOINCREMENT,
    recording_id INTEGER NOT NULL,
    start_ms INTEGER NOT NULL,
    end_ms INTEGER NOT NULL,
    heard TEXT NOT NULL,
    proposed TEXT NOT NULL,
    version INTEGER NOT NULL,
    FOREIGN KEY(recording_id) REFERENCES recording (id)
);

CREATE INDEX left_word_by_time ON left_word (recording_id, start_ms);

INSERT INTO left_word (recording_id, start_ms, end_ms, heard, proposed, version)
SELECT line.recording_id, line.start_ms, line.end_ms, json_extract(entry.value, '$[1]'), json_extract(entry.value, '$[2]'), 1
FROM setting, json_each(setting.value) AS entry JOIN line ON line.id = json_extract(entry.value, '$[0]')
WHERE setting.name = 'words_left' AND json_extract(entry.value, '$[1]') <> '';

DELETE FROM setting WHERE name = 'words_left';
