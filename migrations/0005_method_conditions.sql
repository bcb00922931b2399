-- The conditions of a laboratory's own method as it lists them, JSON; empty: those of the method it is based on.
ALTER TABLE methods ADD COLUMN conditions TEXT NOT NULL DEFAULT '';
