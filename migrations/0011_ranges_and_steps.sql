-- What somebody said yes to when asked a second time, ';' between: the value is not usual, it equals another run.
ALTER TABLE results ADD COLUMN accepted TEXT NOT NULL DEFAULT '';
-- The last load or stage that was run and passed, as written in the value's unit; 'none': the first one run failed.
ALTER TABLE results ADD COLUMN last_passed TEXT NOT NULL DEFAULT '';
-- Which numbers of a laboratory's own quantity are possible and which are usual, 'lo;hi'; empty: those of the method it is
-- based on.
ALTER TABLE method_quantities ADD COLUMN possible TEXT NOT NULL DEFAULT '';
ALTER TABLE method_quantities ADD COLUMN usual TEXT NOT NULL DEFAULT '';

CREATE TRIGGER results_keep_what_was_accepted_and_passed BEFORE UPDATE ON results
WHEN NOT (NEW.accepted IS OLD.accepted AND NEW.last_passed IS OLD.last_passed)
BEGIN
    SELECT RAISE(ABORT, 'results are append-only: only voiding, once and with a reason, is allowed');
END;
