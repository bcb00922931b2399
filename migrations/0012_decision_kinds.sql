-- What was decided: to scale a blend up, to hold it, to drop it, to change the formulation and test again, or nothing yet; who
-- signed by name or role, when it is looked at again, and what is done next. A decision of before has no kind: it is read as
-- "scale up" where a blend was chosen, and as "no choice yet" otherwise.
ALTER TABLE decisions ADD COLUMN kind TEXT
    CHECK (kind IN ('scale up', 'hold', 'drop', 'iterate', 'no choice yet'))
    CHECK (kind NOT IN ('scale up', 'hold', 'drop') OR chosen <> 'none')
    CHECK (kind <> 'no choice yet' OR chosen = 'none');
ALTER TABLE decisions ADD COLUMN signed_by TEXT NOT NULL DEFAULT '';
ALTER TABLE decisions ADD COLUMN review_on TEXT;
ALTER TABLE decisions ADD COLUMN next_action TEXT NOT NULL DEFAULT '';

-- A trial is decided as soon as its newest signed decision scales a blend up; as in 0007, without reading what was frozen.
DROP INDEX decisions_signed;
CREATE INDEX decisions_signed ON decisions (trial, decided_on, id, chosen, kind) WHERE snapshot <> '';
DROP INDEX decisions_by_trial;
CREATE INDEX decisions_newest ON decisions (trial, decided_on, id, chosen, kind);
CREATE INDEX decisions_on_blend ON decisions (chosen);

-- Words of decisions, as in 0002, with who signed and what comes next.
DROP TRIGGER words_of_new_decision;
CREATE TRIGGER words_of_new_decision AFTER INSERT ON decisions
BEGIN
    INSERT INTO archive_words (rowid, kind, name, text)
    VALUES (NEW.id * 16 + 7, 'decision', NEW.trial,
        NEW.chosen || ' ' || NEW.reason || ' ' || NEW.dissent || ' ' || NEW.acknowledged || ' ' || NEW.signed_by || ' '
        || NEW.next_action);
END;

-- Words of trials, as in 0002, with the short question of 0009.
DROP TRIGGER words_of_new_trial;
DROP TRIGGER words_of_changed_trial;
CREATE TRIGGER words_of_new_trial AFTER INSERT ON trials
BEGIN
    INSERT INTO archive_words (rowid, kind, name, text)
    VALUES (NEW.id * 16, 'trial', NEW.trial, NEW.trial || ' ' || NEW.short || ' ' || NEW.title || ' ' || NEW.question);
END;
CREATE TRIGGER words_of_changed_trial AFTER UPDATE ON trials
BEGIN
    DELETE FROM archive_words WHERE rowid = OLD.id * 16;
    INSERT INTO archive_words (rowid, kind, name, text)
    VALUES (NEW.id * 16, 'trial', NEW.trial, NEW.trial || ' ' || NEW.short || ' ' || NEW.title || ' ' || NEW.question);
END;
UPDATE archive_words SET text = (SELECT t.trial || ' ' || t.short || ' ' || t.title || ' ' || t.question
    FROM trials t WHERE t.id * 16 = archive_words.rowid) WHERE kind = 'trial';
