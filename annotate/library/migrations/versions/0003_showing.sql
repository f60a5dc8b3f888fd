ALTER TABLE lesson ADD COLUMN showing JSON NOT NULL DEFAULT '{"evens_loudness": false}';
