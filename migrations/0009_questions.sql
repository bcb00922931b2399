-- The question in at most 60 characters, what a trial asks, and the blend and margin of one that asks whether its candidates
-- are no worse; nothing: which blend to choose.
ALTER TABLE trials ADD COLUMN short TEXT NOT NULL DEFAULT '' CHECK (LENGTH(short) <= 60);
ALTER TABLE trials ADD COLUMN asks TEXT CHECK (asks IN ('choose', 'no-worse'));
ALTER TABLE trials ADD COLUMN against TEXT REFERENCES blends (blend);
ALTER TABLE trials ADD COLUMN margin REAL CHECK (margin > 0);
