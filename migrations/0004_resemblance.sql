-- What a term of the resemblance counts in a trial, with the reason: the newest row of a term counts, none is changed.
CREATE TABLE trial_scales (
    id INTEGER PRIMARY KEY,
    trial TEXT NOT NULL REFERENCES trials (trial),
    term TEXT NOT NULL CHECK (term IN ('pressure', 'sliding', 'slide_roll', 'shape', 'motion', 'contact_temperature',
        'film_ratio', 'materials', 'time_in_contact', 'supply')),
    importance REAL NOT NULL CHECK (importance >= 0 AND importance <= 10),
    halving REAL CHECK (halving > 0),
    reason TEXT NOT NULL CHECK (TRIM(reason) <> ''),
    entered_at TEXT NOT NULL CHECK (entered_at <> ''),
    CHECK ((halving IS NULL) = (term IN ('motion', 'materials', 'supply')))
) STRICT;
-- Of two changes at one moment neither would be the newer one.
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
