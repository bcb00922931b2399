-- What the list of trials says of each: judged once and kept until something that it rests on is written, by any program.
-- The edition names the program that judged, since another one may judge otherwise.
CREATE TABLE trial_summaries (
    trial TEXT PRIMARY KEY REFERENCES trials (trial),
    edition TEXT NOT NULL CHECK (edition <> ''),
    summary TEXT NOT NULL CHECK (summary <> '')
) STRICT;
CREATE INDEX trials_by_date ON trials (opened_on IS NULL, opened_on DESC, trial);

CREATE TRIGGER summary_of_changed_trial AFTER UPDATE ON trials
BEGIN
    DELETE FROM trial_summaries WHERE trial IN (OLD.trial, NEW.trial);
END;
CREATE TRIGGER summary_without_new_blend AFTER INSERT ON trial_blends
BEGIN
    DELETE FROM trial_summaries WHERE trial = NEW.trial;
END;
CREATE TRIGGER summary_with_other_blend AFTER UPDATE ON trial_blends
BEGIN
    DELETE FROM trial_summaries WHERE trial IN (OLD.trial, NEW.trial);
END;
CREATE TRIGGER summary_with_removed_blend AFTER DELETE ON trial_blends
BEGIN
    DELETE FROM trial_summaries WHERE trial = OLD.trial;
END;
CREATE TRIGGER summary_without_new_test AFTER INSERT ON trial_methods
BEGIN
    DELETE FROM trial_summaries WHERE trial = NEW.trial;
END;
CREATE TRIGGER summary_with_other_test AFTER UPDATE ON trial_methods
BEGIN
    DELETE FROM trial_summaries WHERE trial IN (OLD.trial, NEW.trial);
END;
CREATE TRIGGER summary_with_removed_test AFTER DELETE ON trial_methods
BEGIN
    DELETE FROM trial_summaries WHERE trial = OLD.trial;
END;
CREATE TRIGGER summary_without_new_result AFTER INSERT ON results
BEGIN
    DELETE FROM trial_summaries WHERE trial = NEW.trial;
END;
CREATE TRIGGER summary_with_voided_result AFTER UPDATE ON results
BEGIN
    DELETE FROM trial_summaries WHERE trial = NEW.trial;
END;
CREATE TRIGGER summary_without_new_scale AFTER INSERT ON trial_scales
BEGIN
    DELETE FROM trial_summaries WHERE trial = NEW.trial;
END;
CREATE TRIGGER summary_without_decision AFTER INSERT ON decisions
BEGIN
    DELETE FROM trial_summaries WHERE trial = NEW.trial;
END;
CREATE TRIGGER summary_without_new_version AFTER INSERT ON machine_versions
BEGIN
    DELETE FROM trial_summaries WHERE trial IN (SELECT trial FROM trials WHERE machine = NEW.machine);
END;
CREATE TRIGGER summary_with_changed_blend AFTER UPDATE ON blends
BEGIN
    DELETE FROM trial_summaries WHERE trial IN (SELECT trial FROM trial_blends WHERE blend IN (OLD.blend, NEW.blend));
END;
CREATE TRIGGER summary_with_changed_rig AFTER UPDATE ON rigs
BEGIN
    DELETE FROM trial_summaries WHERE trial IN (SELECT trial FROM results WHERE rig IN (OLD.rig, NEW.rig));
END;
CREATE TRIGGER summary_with_changed_method AFTER UPDATE ON methods
BEGIN
    DELETE FROM trial_summaries WHERE trial IN (SELECT trial FROM trial_methods WHERE method IN (OLD.method, NEW.method));
END;
CREATE TRIGGER summary_with_changed_quantity AFTER UPDATE ON method_quantities
BEGIN
    DELETE FROM trial_summaries WHERE trial IN (SELECT trial FROM trial_methods WHERE method IN (OLD.method, NEW.method));
END;

-- Words of kept reasons, as in 0002; none of these rows is ever changed, an outcome apart.
-- 9: what terms of the resemblance count, and why
CREATE TRIGGER words_of_new_scale AFTER INSERT ON trial_scales
BEGIN
    INSERT INTO archive_words (rowid, kind, name, text)
    VALUES (NEW.id * 16 + 9, 'scale', NEW.trial, NEW.reason);
END;

-- 10: why a trial went over to another version of its machine
CREATE TRIGGER words_of_new_adoption AFTER INSERT ON machine_adoptions
BEGIN
    INSERT INTO archive_words (rowid, kind, name, text)
    VALUES (NEW.id * 16 + 10, 'adoption', NEW.trial, NEW.reason);
END;

-- 11: what machines did later
CREATE TRIGGER words_of_new_outcome AFTER INSERT ON outcomes
BEGIN
    INSERT INTO archive_words (rowid, kind, name, text)
    VALUES (NEW.id * 16 + 11, 'outcome', NEW.blend, NEW.source || ' ' || NEW.note || ' ' || COALESCE(NEW.mode, ''));
END;
CREATE TRIGGER words_of_changed_outcome AFTER UPDATE ON outcomes
BEGIN
    DELETE FROM archive_words WHERE rowid = OLD.id * 16 + 11;
    INSERT INTO archive_words (rowid, kind, name, text)
    VALUES (NEW.id * 16 + 11, 'outcome', NEW.blend, NEW.source || ' ' || NEW.note || ' ' || COALESCE(NEW.mode, ''));
END;
CREATE TRIGGER words_of_removed_outcome AFTER DELETE ON outcomes
BEGIN
    DELETE FROM archive_words WHERE rowid = OLD.id * 16 + 11;
END;

-- 12: what a version of a machine changes, and why
CREATE TRIGGER words_of_new_version AFTER INSERT ON machine_versions WHEN NEW.change_note <> ''
BEGIN
    INSERT INTO archive_words (rowid, kind, name, text)
    VALUES (NEW.rowid * 16 + 12, 'version', NEW.machine, NEW.change_note);
END;

-- 13: contacts of machines
CREATE TRIGGER words_of_new_contact AFTER INSERT ON machine_contacts
BEGIN
    INSERT INTO archive_words (rowid, kind, name, text)
    VALUES (NEW.rowid * 16 + 13, 'contact', NEW.machine, NEW.contact);
END;

-- What is there already.
INSERT INTO archive_words (rowid, kind, name, text)
    SELECT id * 16 + 9, 'scale', trial, reason FROM trial_scales;
INSERT INTO archive_words (rowid, kind, name, text)
    SELECT id * 16 + 10, 'adoption', trial, reason FROM machine_adoptions;
INSERT INTO archive_words (rowid, kind, name, text)
    SELECT id * 16 + 11, 'outcome', blend, source || ' ' || note || ' ' || COALESCE(mode, '') FROM outcomes;
INSERT INTO archive_words (rowid, kind, name, text)
    SELECT rowid * 16 + 12, 'version', machine, change_note FROM machine_versions WHERE change_note <> '';
INSERT INTO archive_words (rowid, kind, name, text)
    SELECT rowid * 16 + 13, 'contact', machine, contact FROM machine_contacts;
