-- What a laboratory's own method is run on and for what; empty: that of the method it is based on.
ALTER TABLE methods ADD COLUMN apparatus TEXT NOT NULL DEFAULT '';
-- Names of the contacts that a quantity comes from, ';' between; empty: those of the method it is based on, or all.
ALTER TABLE method_quantities ADD COLUMN contacts TEXT NOT NULL DEFAULT '';

-- The rolling speed is one more term of the resemblance: the same table with its word on the list.
CREATE TABLE trial_scales_with_rolling (
    id INTEGER PRIMARY KEY,
    trial TEXT NOT NULL REFERENCES trials (trial),
    term TEXT NOT NULL CHECK (term IN ('pressure', 'sliding', 'entrainment_speed', 'slide_roll', 'shape', 'motion',
        'contact_temperature', 'film_ratio', 'materials', 'time_in_contact', 'supply')),
    importance REAL NOT NULL CHECK (importance >= 0 AND importance <= 10),
    halving REAL CHECK (halving > 0),
    reason TEXT NOT NULL CHECK (TRIM(reason) <> ''),
    entered_at TEXT NOT NULL CHECK (entered_at <> ''),
    CHECK ((halving IS NULL) = (term IN ('motion', 'materials', 'supply')))
) STRICT;
INSERT INTO trial_scales_with_rolling SELECT id, trial, term, importance, halving, reason, entered_at FROM trial_scales;
DROP TABLE trial_scales;
ALTER TABLE trial_scales_with_rolling RENAME TO trial_scales;
CREATE UNIQUE INDEX trial_scales_one_at_a_moment ON trial_scales (trial, term, entered_at);

CREATE TRIGGER trial_scales_are_never_deleted BEFORE DELETE ON trial_scales
BEGIN
    SELECT RAISE(ABORT, 'changes of the resemblance are append-only: enter another one with its reason');
END;
CREATE TRIGGER trial_scales_are_never_changed BEFORE UPDATE ON trial_scales
BEGIN
    SELECT RAISE(ABORT, 'changes of the resemblance are append-only: enter another one with its reason');
END;
CREATE TRIGGER trial_scales_are_never_replaced BEFORE INSERT ON trial_scales
WHEN EXISTS (SELECT 1 FROM trial_scales WHERE id = NEW.id
    OR (trial = NEW.trial AND term = NEW.term AND entered_at = NEW.entered_at))
BEGIN
    SELECT RAISE(ABORT, 'changes of the resemblance are append-only: this one is already there');
END;
CREATE TRIGGER summary_without_new_scale AFTER INSERT ON trial_scales
BEGIN
    DELETE FROM trial_summaries WHERE trial = NEW.trial;
END;
CREATE TRIGGER words_of_new_scale AFTER INSERT ON trial_scales
BEGIN
    INSERT INTO archive_words (rowid, kind, name, text)
    VALUES (NEW.id * 16 + 9, 'scale', NEW.trial, NEW.reason);
END;
