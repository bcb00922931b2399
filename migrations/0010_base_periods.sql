-- The days in which the owner of a rig knows it to be in order: both ends, or neither.
ALTER TABLE rigs ADD COLUMN base_from TEXT;
ALTER TABLE rigs ADD COLUMN base_to TEXT
    CHECK ((base_from IS NULL) = (base_to IS NULL) AND (base_from IS NULL OR base_from <= base_to));
