-- A machine is written once per version. What a trial was judged with stays as it was; a changed machine is a new version.
-- The row in machines holds what the newest version says, so that lists and the search find it there.
CREATE TABLE machine_versions (
    machine TEXT NOT NULL REFERENCES machines (machine),
    version INTEGER NOT NULL CHECK (version >= 1),
    name TEXT NOT NULL,
    kind TEXT NOT NULL,
    note TEXT NOT NULL,
    caution TEXT NOT NULL,
    change_note TEXT NOT NULL,
    entered_at TEXT NOT NULL,
    PRIMARY KEY (machine, version)
) STRICT;
INSERT INTO machine_versions (machine, version, name, kind, note, caution, change_note, entered_at)
    SELECT machine, 1, name, kind, note, caution, '', '' FROM machines ORDER BY id;

CREATE TABLE version_contacts (
    machine TEXT NOT NULL,
    version INTEGER NOT NULL,
    place INTEGER NOT NULL,
    contact TEXT NOT NULL CHECK (contact <> ''),
    preset TEXT NOT NULL,
    parameters TEXT NOT NULL,
    share REAL NOT NULL CHECK (share >= 0 AND share <= 1),
    main_modes TEXT NOT NULL,
    secondary_modes TEXT NOT NULL,
    minor_modes TEXT NOT NULL,
    PRIMARY KEY (machine, version, contact),
    FOREIGN KEY (machine, version) REFERENCES machine_versions (machine, version) DEFERRABLE INITIALLY DEFERRED
) STRICT;
INSERT INTO version_contacts
    (machine, version, place, contact, preset, parameters, share, main_modes, secondary_modes, minor_modes)
    SELECT machine, 1, place, contact, preset, parameters, share, main_modes, secondary_modes, minor_modes
    FROM machine_contacts;
DROP TABLE machine_contacts;
ALTER TABLE version_contacts RENAME TO machine_contacts;

CREATE TRIGGER machine_versions_are_never_deleted BEFORE DELETE ON machine_versions
BEGIN
    SELECT RAISE(ABORT, 'a version of a machine stays as it is: save a new one instead');
END;
CREATE TRIGGER machine_versions_are_never_changed BEFORE UPDATE ON machine_versions
BEGIN
    SELECT RAISE(ABORT, 'a version of a machine stays as it is: save a new one instead');
END;
CREATE TRIGGER machine_versions_follow_each_other BEFORE INSERT ON machine_versions
WHEN NEW.version <> 1 + (SELECT COALESCE(MAX(version), 0) FROM machine_versions WHERE machine = NEW.machine)
BEGIN
    SELECT RAISE(ABORT, 'the versions of a machine follow each other, and each is written once');
END;

-- Contacts are written before their version, which then seals them.
CREATE TRIGGER machine_contacts_are_never_deleted BEFORE DELETE ON machine_contacts
BEGIN
    SELECT RAISE(ABORT, 'a version of a machine stays as it is: save a new one instead');
END;
CREATE TRIGGER machine_contacts_are_never_changed BEFORE UPDATE ON machine_contacts
BEGIN
    SELECT RAISE(ABORT, 'a version of a machine stays as it is: save a new one instead');
END;
CREATE TRIGGER machine_contacts_are_never_added_later BEFORE INSERT ON machine_contacts
WHEN EXISTS (SELECT 1 FROM machine_versions WHERE machine = NEW.machine AND version = NEW.version)
BEGIN
    SELECT RAISE(ABORT, 'a version of a machine stays as it is: save a new one instead');
END;

ALTER TABLE trials ADD COLUMN machine_version INTEGER NOT NULL DEFAULT 1 CHECK (machine_version >= 1);

-- That a trial is judged with another version from now on, and why.
CREATE TABLE machine_adoptions (
    id INTEGER PRIMARY KEY,
    trial TEXT NOT NULL REFERENCES trials (trial),
    from_version INTEGER NOT NULL CHECK (from_version >= 1),
    to_version INTEGER NOT NULL CHECK (to_version >= 1),
    adopted_at TEXT NOT NULL,
    reason TEXT NOT NULL CHECK (reason <> ''),
    CHECK (from_version <> to_version)
) STRICT;
CREATE INDEX machine_adoptions_by_trial ON machine_adoptions (trial);

CREATE TRIGGER machine_adoptions_are_never_deleted BEFORE DELETE ON machine_adoptions
BEGIN
    SELECT RAISE(ABORT, 'an adoption stays as it is');
END;
CREATE TRIGGER machine_adoptions_are_never_changed BEFORE UPDATE ON machine_adoptions
BEGIN
    SELECT RAISE(ABORT, 'an adoption stays as it is');
END;
CREATE TRIGGER machine_adoptions_follow_each_other BEFORE INSERT ON machine_adoptions
WHEN EXISTS (SELECT 1 FROM machine_adoptions WHERE id = NEW.id)
    OR NOT EXISTS (SELECT 1 FROM trials WHERE trial = NEW.trial AND machine_version = NEW.from_version)
BEGIN
    SELECT RAISE(ABORT, 'a trial adopts another version of its machine from the one it has');
END;

CREATE TRIGGER trials_name_a_version_that_is_there BEFORE INSERT ON trials
WHEN NOT EXISTS (SELECT 1 FROM machine_versions WHERE machine = NEW.machine AND version = NEW.machine_version)
BEGIN
    SELECT RAISE(ABORT, 'the machine has no such version');
END;
CREATE TRIGGER trials_change_to_a_version_that_is_there BEFORE UPDATE OF machine, machine_version ON trials
WHEN NOT EXISTS (SELECT 1 FROM machine_versions WHERE machine = NEW.machine AND version = NEW.machine_version)
BEGIN
    SELECT RAISE(ABORT, 'the machine has no such version');
END;
CREATE TRIGGER trials_keep_the_version_they_were_judged_with BEFORE UPDATE OF machine_version ON trials
WHEN NEW.machine IS OLD.machine AND NEW.machine_version <> OLD.machine_version
    AND NOT EXISTS (SELECT 1 FROM machine_adoptions WHERE trial = OLD.trial
        AND from_version = OLD.machine_version AND to_version = NEW.machine_version)
BEGIN
    SELECT RAISE(ABORT, 'a trial keeps the version it was judged with, unless another one is adopted with a reason');
END;
