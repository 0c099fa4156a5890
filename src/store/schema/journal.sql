-- Step 7: the journal, with who wrote what; strikes of events and calibrations.
CREATE TABLE workshop (name TEXT NOT NULL) STRICT;
INSERT INTO workshop VALUES (lower(hex(randomblob(8))));

-- `recorded` is NULL, and the line refused, when `recorded_at` is no time. `row` is the number of the subject in its
-- own table here; in another database it has another one.
CREATE TABLE journal (
  number INTEGER PRIMARY KEY,
  key TEXT NOT NULL UNIQUE,
  workshop TEXT NOT NULL,
  recorded_at TEXT NOT NULL,
  recorded INTEGER NOT NULL
    GENERATED ALWAYS AS (CAST(round(unixepoch(recorded_at, 'subsec') * 1000) AS INTEGER)) STORED,
  who TEXT NOT NULL,
  deed TEXT NOT NULL CHECK (deed IN ('added', 'changed', 'removed')),
  subject TEXT NOT NULL,
  of TEXT NOT NULL CHECK ((of = '') = (deed = 'added')),
  whole TEXT NOT NULL,
  content TEXT NOT NULL CHECK (json_valid(content)),
  why TEXT NOT NULL,
  before TEXT NOT NULL,
  row INTEGER,
  CHECK ((row IS NULL) = (deed <> 'added'))
) STRICT;
CREATE UNIQUE INDEX journal_row ON journal (subject, row) WHERE deed = 'added';
CREATE INDEX journal_of ON journal (of) WHERE of <> '';
CREATE INDEX journal_whole ON journal (whole) WHERE whole <> '';
CREATE TRIGGER journal_is_kept BEFORE UPDATE ON journal
  BEGIN SELECT RAISE(ABORT, 'the journal is not changed; add a line'); END;
CREATE TRIGGER journal_stays BEFORE DELETE ON journal
  BEGIN SELECT RAISE(ABORT, 'the journal is not shortened; add a line'); END;
-- INSERT OR REPLACE deletes without the trigger above.
CREATE TRIGGER journal_is_not_replaced BEFORE INSERT ON journal
  WHEN EXISTS (SELECT 1 FROM journal WHERE number = NEW.number OR key = NEW.key)
    OR EXISTS (SELECT 1 FROM journal WHERE subject = NEW.subject AND row = NEW.row AND deed = 'added')
  BEGIN SELECT RAISE(ABORT, 'a line of the journal is not replaced; add a line'); END;

-- A line that strikes another one says nothing else.
ALTER TABLE event ADD COLUMN strikes INTEGER REFERENCES event (id);
CREATE UNIQUE INDEX event_struck_once ON event (strikes) WHERE strikes IS NOT NULL;
CREATE TRIGGER event_is_not_replaced BEFORE INSERT ON event
  WHEN EXISTS (SELECT 1 FROM event WHERE id = NEW.id)
    OR EXISTS (SELECT 1 FROM event WHERE strikes = NEW.strikes)
  BEGIN SELECT RAISE(ABORT, 'an event is not replaced; an event is struck once'); END;
ALTER TABLE calibration ADD COLUMN strikes INTEGER REFERENCES calibration (id);
CREATE UNIQUE INDEX calibration_struck_once ON calibration (strikes) WHERE strikes IS NOT NULL;
CREATE TRIGGER calibration_is_not_replaced BEFORE INSERT ON calibration
  WHEN EXISTS (SELECT 1 FROM calibration WHERE id = NEW.id)
    OR EXISTS (SELECT 1 FROM calibration WHERE strikes = NEW.strikes)
  BEGIN SELECT RAISE(ABORT, 'a calibration is not replaced; a calibration is struck once'); END;

-- Converted there and back, some lengths and shares would differ in their last bit from what the journal says.
UPDATE wrench SET percent = round(percent, 9), lever_mm = round(lever_mm, 9);
UPDATE wrench_adapter SET length_mm = round(length_mm, 9);
