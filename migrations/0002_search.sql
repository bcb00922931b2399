-- Every text of the archive, to be found by its words. One row per record that has text; triggers keep it in step with
-- every write, by any program. A row's number is the record's number times 16 plus the place of its kind, so that it can
-- be found again when the record changes.
CREATE VIRTUAL TABLE archive_words USING fts5(
    kind UNINDEXED, name UNINDEXED, text, prefix = '2 3', tokenize = 'unicode61 remove_diacritics 2'
);

CREATE INDEX trial_methods_by_method ON trial_methods (method);

-- 0: trials
CREATE TRIGGER words_of_new_trial AFTER INSERT ON trials
BEGIN
    INSERT INTO archive_words (rowid, kind, name, text)
    VALUES (NEW.id * 16, 'trial', NEW.trial, NEW.trial || ' ' || NEW.title || ' ' || NEW.question);
END;
CREATE TRIGGER words_of_changed_trial AFTER UPDATE ON trials
BEGIN
    DELETE FROM archive_words WHERE rowid = OLD.id * 16;
    INSERT INTO archive_words (rowid, kind, name, text)
    VALUES (NEW.id * 16, 'trial', NEW.trial, NEW.trial || ' ' || NEW.title || ' ' || NEW.question);
END;
CREATE TRIGGER words_of_removed_trial AFTER DELETE ON trials
BEGIN
    DELETE FROM archive_words WHERE rowid = OLD.id * 16;
END;

-- 1: machines
CREATE TRIGGER words_of_new_machine AFTER INSERT ON machines
BEGIN
    INSERT INTO archive_words (rowid, kind, name, text)
    VALUES (NEW.id * 16 + 1, 'machine', NEW.machine,
        NEW.machine || ' ' || NEW.name || ' ' || NEW.kind || ' ' || NEW.note || ' ' || NEW.caution);
END;
CREATE TRIGGER words_of_changed_machine AFTER UPDATE ON machines
BEGIN
    DELETE FROM archive_words WHERE rowid = OLD.id * 16 + 1;
    INSERT INTO archive_words (rowid, kind, name, text)
    VALUES (NEW.id * 16 + 1, 'machine', NEW.machine,
        NEW.machine || ' ' || NEW.name || ' ' || NEW.kind || ' ' || NEW.note || ' ' || NEW.caution);
END;
CREATE TRIGGER words_of_removed_machine AFTER DELETE ON machines
BEGIN
    DELETE FROM archive_words WHERE rowid = OLD.id * 16 + 1;
END;

-- 2: blends
CREATE TRIGGER words_of_new_blend AFTER INSERT ON blends
BEGIN
    INSERT INTO archive_words (rowid, kind, name, text)
    VALUES (NEW.id * 16 + 2, 'blend', NEW.blend,
        NEW.blend || ' ' || NEW.name || ' ' || NEW.change_note || ' ' || NEW.note);
END;
CREATE TRIGGER words_of_changed_blend AFTER UPDATE ON blends
BEGIN
    DELETE FROM archive_words WHERE rowid = OLD.id * 16 + 2;
    INSERT INTO archive_words (rowid, kind, name, text)
    VALUES (NEW.id * 16 + 2, 'blend', NEW.blend,
        NEW.blend || ' ' || NEW.name || ' ' || NEW.change_note || ' ' || NEW.note);
END;
CREATE TRIGGER words_of_removed_blend AFTER DELETE ON blends
BEGIN
    DELETE FROM archive_words WHERE rowid = OLD.id * 16 + 2;
END;

-- 3: components
CREATE TRIGGER words_of_new_component AFTER INSERT ON components
BEGIN
    INSERT INTO archive_words (rowid, kind, name, text)
    VALUES (NEW.id * 16 + 3, 'component', NEW.component,
        NEW.component || ' ' || NEW.class || ' ' || NEW.note);
END;
CREATE TRIGGER words_of_changed_component AFTER UPDATE ON components
BEGIN
    DELETE FROM archive_words WHERE rowid = OLD.id * 16 + 3;
    INSERT INTO archive_words (rowid, kind, name, text)
    VALUES (NEW.id * 16 + 3, 'component', NEW.component,
        NEW.component || ' ' || NEW.class || ' ' || NEW.note);
END;
CREATE TRIGGER words_of_removed_component AFTER DELETE ON components
BEGIN
    DELETE FROM archive_words WHERE rowid = OLD.id * 16 + 3;
END;

-- 4: a laboratory's own methods; the built-in ones ship with the program and are searched there
CREATE TRIGGER words_of_new_method AFTER INSERT ON methods
BEGIN
    INSERT INTO archive_words (rowid, kind, name, text)
    VALUES (NEW.id * 16 + 4, 'method', NEW.method,
        NEW.method || ' ' || NEW.title || ' ' || NEW.standard || ' ' || NEW.caution || ' ' || NEW.note);
END;
CREATE TRIGGER words_of_changed_method AFTER UPDATE ON methods
BEGIN
    DELETE FROM archive_words WHERE rowid = OLD.id * 16 + 4;
    INSERT INTO archive_words (rowid, kind, name, text)
    VALUES (NEW.id * 16 + 4, 'method', NEW.method,
        NEW.method || ' ' || NEW.title || ' ' || NEW.standard || ' ' || NEW.caution || ' ' || NEW.note);
END;
CREATE TRIGGER words_of_removed_method AFTER DELETE ON methods
BEGIN
    DELETE FROM archive_words WHERE rowid = OLD.id * 16 + 4;
END;

-- 5: rigs
CREATE TRIGGER words_of_new_rig AFTER INSERT ON rigs
BEGIN
    INSERT INTO archive_words (rowid, kind, name, text)
    VALUES (NEW.id * 16 + 5, 'rig', NEW.rig, NEW.rig || ' ' || NEW.name || ' ' || NEW.lab);
END;
CREATE TRIGGER words_of_changed_rig AFTER UPDATE ON rigs
BEGIN
    DELETE FROM archive_words WHERE rowid = OLD.id * 16 + 5;
    INSERT INTO archive_words (rowid, kind, name, text)
    VALUES (NEW.id * 16 + 5, 'rig', NEW.rig, NEW.rig || ' ' || NEW.name || ' ' || NEW.lab);
END;
CREATE TRIGGER words_of_removed_rig AFTER DELETE ON rigs
BEGIN
    DELETE FROM archive_words WHERE rowid = OLD.id * 16 + 5;
END;

-- 6: results, where somebody wrote something beside the value; they are never deleted and only voided
CREATE TRIGGER words_of_new_result AFTER INSERT ON results
WHEN NEW.note || NEW.reason || NEW.conditions || COALESCE(NEW.void_reason, '') <> ''
BEGIN
    INSERT INTO archive_words (rowid, kind, name, text)
    VALUES (NEW.id * 16 + 6, 'result', NEW.trial,
        NEW.note || ' ' || NEW.reason || ' ' || NEW.conditions || ' ' || COALESCE(NEW.void_reason, ''));
END;
CREATE TRIGGER words_of_voided_result AFTER UPDATE ON results
BEGIN
    DELETE FROM archive_words WHERE rowid = OLD.id * 16 + 6;
    INSERT INTO archive_words (rowid, kind, name, text)
    VALUES (NEW.id * 16 + 6, 'result', NEW.trial,
        NEW.note || ' ' || NEW.reason || ' ' || NEW.conditions || ' ' || COALESCE(NEW.void_reason, ''));
END;

-- 7: decisions; they are never changed
CREATE TRIGGER words_of_new_decision AFTER INSERT ON decisions
BEGIN
    INSERT INTO archive_words (rowid, kind, name, text)
    VALUES (NEW.id * 16 + 7, 'decision', NEW.trial,
        NEW.chosen || ' ' || NEW.reason || ' ' || NEW.dissent || ' ' || NEW.acknowledged);
END;

-- 8: why tests are in a trial, all of one trial together
CREATE TRIGGER words_of_new_test AFTER INSERT ON trial_methods WHEN NEW.reason <> ''
BEGIN
    DELETE FROM archive_words WHERE rowid = (SELECT id FROM trials WHERE trial = NEW.trial) * 16 + 8;
    INSERT INTO archive_words (rowid, kind, name, text)
    SELECT t.id * 16 + 8, 'reasons', t.trial, GROUP_CONCAT(x.reason, ' ')
    FROM trials t JOIN trial_methods x ON x.trial = t.trial WHERE t.trial = NEW.trial GROUP BY t.id;
END;
CREATE TRIGGER words_of_changed_test AFTER UPDATE ON trial_methods
BEGIN
    DELETE FROM archive_words WHERE rowid = (SELECT id FROM trials WHERE trial = NEW.trial) * 16 + 8;
    INSERT INTO archive_words (rowid, kind, name, text)
    SELECT t.id * 16 + 8, 'reasons', t.trial, GROUP_CONCAT(x.reason, ' ')
    FROM trials t JOIN trial_methods x ON x.trial = t.trial WHERE t.trial = NEW.trial GROUP BY t.id;
END;
CREATE TRIGGER words_of_removed_test AFTER DELETE ON trial_methods
BEGIN
    DELETE FROM archive_words WHERE rowid = (SELECT id FROM trials WHERE trial = OLD.trial) * 16 + 8;
    INSERT INTO archive_words (rowid, kind, name, text)
    SELECT t.id * 16 + 8, 'reasons', t.trial, GROUP_CONCAT(x.reason, ' ')
    FROM trials t JOIN trial_methods x ON x.trial = t.trial WHERE t.trial = OLD.trial GROUP BY t.id;
END;

-- What is there already.
INSERT INTO archive_words (rowid, kind, name, text)
    SELECT id * 16, 'trial', trial, trial || ' ' || title || ' ' || question FROM trials;
INSERT INTO archive_words (rowid, kind, name, text)
    SELECT id * 16 + 1, 'machine', machine, machine || ' ' || name || ' ' || kind || ' ' || note || ' ' || caution
    FROM machines;
INSERT INTO archive_words (rowid, kind, name, text)
    SELECT id * 16 + 2, 'blend', blend, blend || ' ' || name || ' ' || change_note || ' ' || note FROM blends;
INSERT INTO archive_words (rowid, kind, name, text)
    SELECT id * 16 + 3, 'component', component, component || ' ' || class || ' ' || note FROM components;
INSERT INTO archive_words (rowid, kind, name, text)
    SELECT id * 16 + 4, 'method', method, method || ' ' || title || ' ' || standard || ' ' || caution || ' ' || note
    FROM methods;
INSERT INTO archive_words (rowid, kind, name, text)
    SELECT id * 16 + 5, 'rig', rig, rig || ' ' || name || ' ' || lab FROM rigs;
INSERT INTO archive_words (rowid, kind, name, text)
    SELECT id * 16 + 6, 'result', trial, note || ' ' || reason || ' ' || conditions || ' ' || COALESCE(void_reason, '')
    FROM results WHERE note || reason || conditions || COALESCE(void_reason, '') <> '';
INSERT INTO archive_words (rowid, kind, name, text)
    SELECT id * 16 + 7, 'decision', trial, chosen || ' ' || reason || ' ' || dissent || ' ' || acknowledged
    FROM decisions;
INSERT INTO archive_words (rowid, kind, name, text)
    SELECT t.id * 16 + 8, 'reasons', t.trial, GROUP_CONCAT(x.reason, ' ')
    FROM trials t JOIN trial_methods x ON x.trial = t.trial GROUP BY t.id;
