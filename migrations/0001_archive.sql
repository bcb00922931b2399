-- The archive: one table per noun, all STRICT. Words are checked here as well as in the program.
-- 0x6c696b65 is "like": it tells our files from other programs' databases.
PRAGMA application_id = 1818848101;

CREATE TABLE archive_state (
    id INTEGER PRIMARY KEY CHECK (id = 1),
    writes INTEGER NOT NULL
) STRICT;
INSERT INTO archive_state (id, writes) VALUES (1, 0);

CREATE TABLE components (
    id INTEGER PRIMARY KEY,
    component TEXT NOT NULL UNIQUE CHECK (component <> ''),
    class TEXT NOT NULL,
    note TEXT NOT NULL
) STRICT;

CREATE TABLE blends (
    id INTEGER PRIMARY KEY,
    blend TEXT NOT NULL UNIQUE CHECK (blend <> ''),
    name TEXT NOT NULL,
    kind TEXT NOT NULL CHECK (kind IN ('oil', 'grease', 'other')),
    made_on TEXT,
    parent TEXT REFERENCES blends (blend) DEFERRABLE INITIALLY DEFERRED,
    change_note TEXT NOT NULL,
    kv40_mm2_s REAL,
    kv100_mm2_s REAL,
    density15_kg_m3 REAL,
    base_oil_kv40_mm2_s REAL,
    nlgi TEXT NOT NULL,
    note TEXT NOT NULL
) STRICT;
CREATE INDEX blends_by_parent ON blends (parent);

CREATE TABLE blend_components (
    blend TEXT NOT NULL REFERENCES blends (blend),
    place INTEGER NOT NULL,
    component TEXT NOT NULL REFERENCES components (component),
    wt_pct REAL NOT NULL CHECK (wt_pct >= 0 AND wt_pct <= 100),
    PRIMARY KEY (blend, component)
) STRICT;
CREATE INDEX blend_components_by_component ON blend_components (component);

CREATE TABLE machines (
    id INTEGER PRIMARY KEY,
    machine TEXT NOT NULL UNIQUE CHECK (machine <> ''),
    name TEXT NOT NULL,
    kind TEXT NOT NULL,
    note TEXT NOT NULL,
    caution TEXT NOT NULL
) STRICT;

CREATE TABLE machine_contacts (
    machine TEXT NOT NULL REFERENCES machines (machine),
    place INTEGER NOT NULL,
    contact TEXT NOT NULL CHECK (contact <> ''),
    preset TEXT NOT NULL,
    parameters TEXT NOT NULL,
    share REAL NOT NULL CHECK (share >= 0 AND share <= 1),
    main_modes TEXT NOT NULL,
    secondary_modes TEXT NOT NULL,
    minor_modes TEXT NOT NULL,
    PRIMARY KEY (machine, contact)
) STRICT;

-- A laboratory's own methods, as written; the built-in ones ship with the program.
CREATE TABLE methods (
    id INTEGER PRIMARY KEY,
    method TEXT NOT NULL UNIQUE CHECK (method <> ''),
    title TEXT NOT NULL,
    standard TEXT NOT NULL,
    based_on TEXT NOT NULL,
    lubricant TEXT NOT NULL,
    category TEXT NOT NULL,
    contacts TEXT NOT NULL,
    cost REAL,
    days REAL,
    caution TEXT NOT NULL,
    note TEXT NOT NULL
) STRICT;

CREATE TABLE method_quantities (
    method TEXT NOT NULL REFERENCES methods (method),
    place INTEGER NOT NULL,
    quantity TEXT NOT NULL CHECK (quantity <> ''),
    label TEXT NOT NULL,
    unit TEXT NOT NULL,
    better TEXT NOT NULL,
    scale TEXT NOT NULL,
    steps TEXT NOT NULL,
    cap REAL,
    plain_number_is TEXT NOT NULL,
    modes TEXT NOT NULL,
    repeatability REAL,
    reproducibility REAL,
    precision_kind TEXT NOT NULL,
    level REAL,
    mark TEXT NOT NULL,
    PRIMARY KEY (method, quantity)
) STRICT;

CREATE TABLE rigs (
    id INTEGER PRIMARY KEY,
    rig TEXT NOT NULL UNIQUE CHECK (rig <> ''),
    name TEXT NOT NULL,
    lab TEXT NOT NULL,
    reference_blend TEXT REFERENCES blends (blend)
) STRICT;

-- A method may be built in, so that no foreign key can hold it; `check` does.
CREATE TABLE rig_methods (
    rig TEXT NOT NULL REFERENCES rigs (rig),
    place INTEGER NOT NULL,
    method TEXT NOT NULL CHECK (method <> ''),
    PRIMARY KEY (rig, method)
) STRICT;

CREATE TABLE trials (
    id INTEGER PRIMARY KEY,
    trial TEXT NOT NULL UNIQUE CHECK (trial <> ''),
    title TEXT NOT NULL,
    question TEXT NOT NULL,
    machine TEXT NOT NULL REFERENCES machines (machine),
    status TEXT NOT NULL CHECK (status IN ('planned', 'running', 'decided', 'closed')),
    opened_on TEXT,
    closed_on TEXT,
    machine_confidence TEXT NOT NULL CHECK (machine_confidence IN ('low', 'medium', 'high')),
    invented INTEGER NOT NULL CHECK (invented IN (0, 1))
) STRICT;
CREATE INDEX trials_by_machine ON trials (machine);

CREATE TABLE trial_blends (
    trial TEXT NOT NULL REFERENCES trials (trial),
    place INTEGER NOT NULL,
    blend TEXT NOT NULL REFERENCES blends (blend),
    role TEXT NOT NULL CHECK (role IN ('candidate', 'reference', 'control')),
    level TEXT CHECK (level IN ('known-good', 'known-middle', 'known-poor')),
    PRIMARY KEY (trial, blend)
) STRICT;
CREATE INDEX trial_blends_by_blend ON trial_blends (blend);
CREATE UNIQUE INDEX trial_blends_one_known_good_and_poor ON trial_blends (trial, level)
    WHERE level IN ('known-good', 'known-poor');

CREATE TABLE trial_methods (
    trial TEXT NOT NULL REFERENCES trials (trial),
    place INTEGER NOT NULL,
    method TEXT NOT NULL CHECK (method <> ''),
    quantity TEXT NOT NULL CHECK (quantity <> ''),
    used_to TEXT NOT NULL CHECK (used_to IN ('weigh', 'gate', 'show')),
    gate_limit TEXT NOT NULL,
    known_good TEXT REFERENCES blends (blend),
    known_poor TEXT REFERENCES blends (blend),
    cost REAL,
    days REAL,
    reason TEXT NOT NULL,
    PRIMARY KEY (trial, method, quantity)
) STRICT;

CREATE TABLE results (
    id INTEGER PRIMARY KEY,
    trial TEXT NOT NULL REFERENCES trials (trial),
    blend TEXT NOT NULL REFERENCES blends (blend),
    method TEXT NOT NULL CHECK (method <> ''),
    quantity TEXT NOT NULL CHECK (quantity <> ''),
    value_kind TEXT NOT NULL CHECK (value_kind IN ('exact', 'between', 'above', 'below', 'class', 'stopped')),
    value_lo REAL,
    value_hi REAL,
    value_class TEXT,
    off_ladder INTEGER NOT NULL CHECK (off_ladder IN (0, 1)),
    value_as_written TEXT NOT NULL,
    unit_as_written TEXT NOT NULL,
    rig TEXT REFERENCES rigs (rig),
    run_on TEXT,
    replicate INTEGER NOT NULL CHECK (replicate >= 1),
    campaign TEXT NOT NULL,
    conditions TEXT NOT NULL,
    purpose TEXT NOT NULL CHECK (purpose IN ('test', 'reference check', 'stopped')),
    status TEXT NOT NULL CHECK (status IN ('valid', 'suspect', 'void')),
    reason TEXT NOT NULL,
    source TEXT NOT NULL CHECK (source IN ('measured', 'data sheet')),
    note TEXT NOT NULL,
    origin TEXT NOT NULL,
    entered_at TEXT NOT NULL,
    supersedes INTEGER UNIQUE REFERENCES results (id) DEFERRABLE INITIALLY DEFERRED,
    voided_at TEXT,
    void_reason TEXT,
    CHECK (supersedes IS NULL OR supersedes <> id),
    CHECK ((status = 'void') = (void_reason IS NOT NULL AND void_reason <> '')),
    CHECK (status = 'void' OR voided_at IS NULL),
    CHECK (CASE value_kind
        WHEN 'exact' THEN value_lo IS NOT NULL AND value_lo = value_hi AND value_class IS NULL
        WHEN 'between' THEN value_lo IS NOT NULL AND value_lo < value_hi AND value_class IS NULL
        WHEN 'above' THEN value_lo IS NOT NULL AND value_hi IS NULL AND value_class IS NULL
        WHEN 'below' THEN value_lo IS NULL AND value_hi IS NOT NULL AND value_class IS NULL
        WHEN 'class' THEN value_lo IS NULL AND value_hi IS NULL AND value_class IS NOT NULL
        ELSE purpose = 'stopped' AND value_lo IS NULL AND value_hi IS NULL AND value_class IS NULL END)
) STRICT;
CREATE INDEX results_by_trial ON results (trial, method, quantity, blend);
CREATE INDEX results_by_blend ON results (blend);
CREATE INDEX results_by_rig ON results (rig, run_on);
-- A run is entered once; whoever corrects it points to what is corrected.
CREATE UNIQUE INDEX results_one_first_entry_per_run ON results
    (trial, blend, method, quantity, COALESCE(rig, ''), COALESCE(run_on, ''), replicate)
    WHERE supersedes IS NULL;

-- Results are append-only. INSERT OR REPLACE would delete the old row without firing a delete trigger, so that an
-- insert that would displace a row is refused before it can.
CREATE TRIGGER results_are_never_deleted BEFORE DELETE ON results
BEGIN
    SELECT RAISE(ABORT, 'results are append-only: void a result with a reason instead');
END;

CREATE TRIGGER results_are_never_replaced BEFORE INSERT ON results
WHEN EXISTS (SELECT 1 FROM results WHERE id = NEW.id)
    OR EXISTS (SELECT 1 FROM results WHERE supersedes = NEW.supersedes)
    OR (NEW.supersedes IS NULL AND EXISTS (
        SELECT 1 FROM results WHERE supersedes IS NULL
            AND trial = NEW.trial AND blend = NEW.blend AND method = NEW.method AND quantity = NEW.quantity
            AND COALESCE(rig, '') = COALESCE(NEW.rig, '') AND COALESCE(run_on, '') = COALESCE(NEW.run_on, '')
            AND replicate = NEW.replicate))
BEGIN
    SELECT RAISE(ABORT, 'results are append-only: this run is already there');
END;

CREATE TRIGGER results_are_only_voided_and_only_once BEFORE UPDATE ON results
WHEN NOT (
    OLD.status <> 'void' AND OLD.voided_at IS NULL
    AND NEW.status = 'void' AND NEW.voided_at IS NOT NULL AND NEW.voided_at <> ''
    AND NEW.void_reason IS NOT NULL AND NEW.void_reason <> ''
    AND NEW.id IS OLD.id AND NEW.trial IS OLD.trial AND NEW.blend IS OLD.blend
    AND NEW.method IS OLD.method AND NEW.quantity IS OLD.quantity
    AND NEW.value_kind IS OLD.value_kind AND NEW.value_lo IS OLD.value_lo AND NEW.value_hi IS OLD.value_hi
    AND NEW.value_class IS OLD.value_class AND NEW.off_ladder IS OLD.off_ladder
    AND NEW.value_as_written IS OLD.value_as_written AND NEW.unit_as_written IS OLD.unit_as_written
    AND NEW.rig IS OLD.rig AND NEW.run_on IS OLD.run_on AND NEW.replicate IS OLD.replicate
    AND NEW.campaign IS OLD.campaign AND NEW.conditions IS OLD.conditions AND NEW.purpose IS OLD.purpose
    AND NEW.reason IS OLD.reason AND NEW.source IS OLD.source AND NEW.note IS OLD.note
    AND NEW.origin IS OLD.origin AND NEW.entered_at IS OLD.entered_at AND NEW.supersedes IS OLD.supersedes)
BEGIN
    SELECT RAISE(ABORT, 'results are append-only: only voiding, once and with a reason, is allowed');
END;

CREATE TABLE readings (
    id INTEGER PRIMARY KEY,
    trial TEXT NOT NULL REFERENCES trials (trial),
    blend TEXT NOT NULL REFERENCES blends (blend),
    method TEXT NOT NULL CHECK (method <> ''),
    rig TEXT REFERENCES rigs (rig),
    run_on TEXT,
    replicate INTEGER NOT NULL CHECK (replicate >= 1),
    position TEXT NOT NULL,
    kind TEXT NOT NULL,
    value TEXT NOT NULL,
    unit TEXT NOT NULL
) STRICT;
CREATE INDEX readings_by_run ON readings (trial, blend, method);

CREATE TRIGGER readings_are_never_deleted BEFORE DELETE ON readings
BEGIN
    SELECT RAISE(ABORT, 'readings are append-only');
END;
CREATE TRIGGER readings_are_never_changed BEFORE UPDATE ON readings
BEGIN
    SELECT RAISE(ABORT, 'readings are append-only');
END;
CREATE TRIGGER readings_are_never_replaced BEFORE INSERT ON readings
WHEN EXISTS (SELECT 1 FROM readings WHERE id = NEW.id)
BEGIN
    SELECT RAISE(ABORT, 'readings are append-only');
END;

CREATE TABLE decisions (
    id INTEGER PRIMARY KEY,
    trial TEXT NOT NULL REFERENCES trials (trial),
    decided_on TEXT,
    chosen TEXT NOT NULL CHECK (chosen <> ''),
    reason TEXT NOT NULL,
    dissent TEXT NOT NULL,
    acknowledged TEXT NOT NULL,
    snapshot TEXT NOT NULL
) STRICT;
CREATE INDEX decisions_by_trial ON decisions (trial);

CREATE TRIGGER decisions_are_never_deleted BEFORE DELETE ON decisions
BEGIN
    SELECT RAISE(ABORT, 'a recorded decision stays as it is');
END;
CREATE TRIGGER decisions_are_never_changed BEFORE UPDATE ON decisions
BEGIN
    SELECT RAISE(ABORT, 'a recorded decision stays as it is');
END;
CREATE TRIGGER decisions_are_never_replaced BEFORE INSERT ON decisions
WHEN EXISTS (SELECT 1 FROM decisions WHERE id = NEW.id)
BEGIN
    SELECT RAISE(ABORT, 'a recorded decision stays as it is');
END;

CREATE TABLE outcomes (
    id INTEGER PRIMARY KEY,
    blend TEXT NOT NULL REFERENCES blends (blend),
    machine TEXT NOT NULL REFERENCES machines (machine),
    observed_on TEXT,
    hours REAL,
    mode TEXT,
    severity TEXT NOT NULL CHECK (severity IN ('none', 'slight', 'failure')),
    source TEXT NOT NULL,
    note TEXT NOT NULL
) STRICT;
CREATE INDEX outcomes_by_blend ON outcomes (blend);
CREATE INDEX outcomes_by_machine ON outcomes (machine);
