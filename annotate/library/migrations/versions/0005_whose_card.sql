ALTER TABLE card ADD COLUMN reed_id INTEGER REFERENCES reed (id);

ALTER TABLE card ADD COLUMN version INTEGER NOT NULL DEFAULT 1;

UPDATE card SET reed_id = (SELECT reed.id FROM reed WHERE reed.name = card.name);

CREATE TABLE plan_anew (
    id INTEGER NOT NULL PRIMARY KEY AUTOINCREMENT,
    text TEXT NOT NULL,
    reed_id INTEGER,
    recording_id INTEGER,
    at_ms INTEGER,
    is_done BOOLEAN NOT NULL,
    version INTEGER NOT NULL,
    FOREIGN KEY(reed_id) REFERENCES reed (id),
    FOREIGN KEY(recording_id) REFERENCES recording (id)
);

INSERT INTO plan_anew SELECT id, text, reed_id, recording_id, at_ms, is_done, version FROM "plan";

DELETE FROM sqlite_sequence WHERE name = 'plan_anew';

INSERT INTO sqlite_sequence (name, seq)
SELECT 'plan_anew', max(
    coalesce((SELECT max(id) FROM "plan"), 0),
    coalesce((
        SELECT max(json_extract(entry.value, '$.id')) FROM edit, json_each(edit.rows) AS entry
        WHERE json_extract(entry.value, '$.table') = 'plan'
    ), 0)
);

DROP TABLE "plan";

ALTER TABLE plan_anew RENAME TO "plan";

CREATE INDEX plan_by_reed ON "plan" (reed_id);

CREATE TABLE filled (kind TEXT NOT NULL, id INTEGER NOT NULL, reed_id INTEGER NOT NULL, PRIMARY KEY (kind, id));

INSERT INTO filled
SELECT 'tag', tag.id, coalesce((
    SELECT card.reed_id FROM card
    WHERE card.recording_id = tag.recording_id AND card.reed_id IS NOT NULL AND card.start_ms <= tag.end_ms
    ORDER BY card.start_ms DESC LIMIT 1
), recording.reed_id) AS found
FROM tag JOIN recording ON recording.id = tag.recording_id
WHERE tag.reed_id IS NULL AND found IS NOT NULL;

UPDATE tag SET reed_id = (SELECT filled.reed_id FROM filled WHERE filled.kind = 'tag' AND filled.id = tag.id)
WHERE tag.reed_id IS NULL;

INSERT INTO filled
SELECT 'reading', reading.id, coalesce((SELECT tag.reed_id FROM tag WHERE tag.id = reading.tag_id), (
    SELECT card.reed_id FROM card
    WHERE card.recording_id = reading.recording_id AND card.reed_id IS NOT NULL AND card.start_ms <= coalesce(reading.at_ms, 0)
    ORDER BY card.start_ms DESC LIMIT 1
), recording.reed_id) AS found
FROM reading JOIN recording ON recording.id = reading.recording_id
WHERE reading.reed_id IS NULL AND found IS NOT NULL;

UPDATE reading SET reed_id = (
    SELECT filled.reed_id FROM filled WHERE filled.kind = 'reading' AND filled.id = reading.id
)
WHERE reading.reed_id IS NULL;

INSERT INTO filled
SELECT 'plan', "plan".id, coalesce((
    SELECT card.reed_id FROM card
    WHERE card.recording_id = "plan".recording_id AND card.reed_id IS NOT NULL AND card.start_ms <= coalesce("plan".at_ms, 0)
    ORDER BY card.start_ms DESC LIMIT 1
), recording.reed_id) AS found
FROM "plan" JOIN recording ON recording.id = "plan".recording_id
WHERE "plan".reed_id IS NULL AND found IS NOT NULL;

UPDATE "plan" SET reed_id = (SELECT filled.reed_id FROM filled WHERE filled.kind = 'plan' AND filled.id = "plan".id)
WHERE "plan".reed_id IS NULL;

UPDATE edit SET rows = (
    SELECT json_group_array(json(CASE WHEN filled.id IS NULL THEN entry.value ELSE json_replace(
        entry.value,
        '$.before.reed_id', coalesce(json_extract(entry.value, '$.before.reed_id'), filled.reed_id),
        '$.after.reed_id', coalesce(json_extract(entry.value, '$.after.reed_id'), filled.reed_id)
    ) END))
    FROM json_each(edit.rows) AS entry LEFT JOIN filled
    ON filled.kind = json_extract(entry.value, '$.table') AND filled.id = json_extract(entry.value, '$.id')
)
WHERE EXISTS (
    SELECT 1 FROM json_each(edit.rows) AS entry JOIN filled
    ON filled.kind = json_extract(entry.value, '$.table') AND filled.id = json_extract(entry.value, '$.id')
);

DROP TABLE filled;
