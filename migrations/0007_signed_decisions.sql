-- Which blend a trial's newest signed decision chose, without reading what was frozen with it.
CREATE INDEX decisions_signed ON decisions (trial, decided_on, id, chosen) WHERE snapshot <> '';
