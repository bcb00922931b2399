-- Safety words of a laboratory's own method; empty: those of the method it is based on.
ALTER TABLE methods ADD COLUMN safety TEXT NOT NULL DEFAULT '';
-- Kinematic viscosity at 100 °C of a grease's base oil, mm2/s.
ALTER TABLE blends ADD COLUMN base_oil_kv100_mm2_s REAL CHECK (base_oil_kv100_mm2_s > 0);
