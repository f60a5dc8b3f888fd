ALTER TABLE recording ADD COLUMN heard_language TEXT NOT NULL DEFAULT '';
ALTER TABLE recording ADD COLUMN heard_language_score FLOAT NOT NULL DEFAULT '0';

-- Until now both stood in one column; in a recording that was never changed it was told by listening.
UPDATE recording SET heard_language = language, heard_language_score = 1, language = '' WHERE version = 1;
