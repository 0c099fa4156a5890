-- Step 3: the workshop book.
CREATE TABLE bicycle (
  id INTEGER PRIMARY KEY,
  name TEXT NOT NULL UNIQUE COLLATE NOCASE,
  kind TEXT NOT NULL,
  frame TEXT NOT NULL,
  owner TEXT NOT NULL,
  note TEXT NOT NULL,
  added_at TEXT NOT NULL,
  retired_at TEXT
) STRICT;

CREATE TABLE joint (
  id INTEGER PRIMARY KEY,
  bicycle INTEGER NOT NULL REFERENCES bicycle (id),
  name TEXT NOT NULL COLLATE NOCASE,
  place TEXT NOT NULL,
  position INTEGER NOT NULL,
  checked_by TEXT NOT NULL CHECK (checked_by IN ('torque', 'function', 'measure')),
  entry TEXT NOT NULL,
  bolts INTEGER NOT NULL CHECK (bolts >= 1),
  critical INTEGER NOT NULL CHECK (critical IN (0, 1)),
  hand TEXT CHECK (hand IN ('right', 'left')),
  part_maker TEXT NOT NULL,
  bicycle_maker TEXT NOT NULL,
  shop TEXT NOT NULL,
  thread TEXT NOT NULL,
  condition TEXT NOT NULL,
  photo TEXT NOT NULL,
  removed_at TEXT
) STRICT;
CREATE UNIQUE INDEX joint_name ON joint (bicycle, name) WHERE removed_at IS NULL;

CREATE TABLE marking (
  joint INTEGER NOT NULL REFERENCES joint (id),
  number INTEGER NOT NULL CHECK (number IN (1, 2)),
  part TEXT NOT NULL,
  figure TEXT NOT NULL,
  PRIMARY KEY (joint, number)
) STRICT, WITHOUT ROWID;

-- `instant` is NULL, and the row refused, when `taken_at` is no time.
CREATE TABLE reading (
  id INTEGER PRIMARY KEY,
  joint INTEGER NOT NULL REFERENCES joint (id),
  bolt INTEGER NOT NULL CHECK (bolt >= 1),
  taken_at TEXT NOT NULL,
  instant INTEGER NOT NULL
    GENERATED ALWAYS AS (CAST(round(unixepoch(taken_at, 'subsec') * 1000) AS INTEGER)) STORED,
  kind TEXT NOT NULL,
  value REAL CHECK (value >= 0),
  decimals INTEGER,
  unit TEXT,
  wrench INTEGER REFERENCES wrench (id),
  finding TEXT,
  action TEXT,
  who TEXT NOT NULL,
  note TEXT NOT NULL,
  corrects INTEGER REFERENCES reading (id),
  recorded_at TEXT NOT NULL,
  CHECK ((value IS NULL) = (unit IS NULL))
) STRICT;
CREATE INDEX reading_newest ON reading (joint, bolt, instant DESC, id DESC);
CREATE UNIQUE INDEX reading_corrected_once ON reading (corrects) WHERE corrects IS NOT NULL;
CREATE TRIGGER reading_is_kept BEFORE UPDATE ON reading
  BEGIN SELECT RAISE(ABORT, 'a reading is not changed; record a correction'); END;
CREATE TRIGGER reading_stays BEFORE DELETE ON reading
  BEGIN SELECT RAISE(ABORT, 'a reading is not deleted; record a correction'); END;
-- INSERT OR REPLACE deletes without the trigger above.
CREATE TRIGGER reading_is_not_replaced BEFORE INSERT ON reading
  WHEN EXISTS (SELECT 1 FROM reading WHERE id = NEW.id)
    OR EXISTS (SELECT 1 FROM reading WHERE corrects = NEW.corrects)
  BEGIN SELECT RAISE(ABORT, 'a reading is not replaced; a reading is corrected once'); END;

CREATE TABLE event (
  id INTEGER PRIMARY KEY,
  bicycle INTEGER NOT NULL REFERENCES bicycle (id),
  kind TEXT NOT NULL,
  at TEXT NOT NULL CHECK (unixepoch(at) IS NOT NULL),
  hours REAL CHECK (hours > 0),
  km REAL CHECK (km > 0),
  what TEXT NOT NULL,
  note TEXT NOT NULL,
  recorded_at TEXT NOT NULL
) STRICT;
CREATE INDEX event_of_bicycle ON event (bicycle);
CREATE TRIGGER event_is_kept BEFORE UPDATE ON event
  BEGIN SELECT RAISE(ABORT, 'an event is not changed; record another'); END;
CREATE TRIGGER event_stays BEFORE DELETE ON event
  BEGIN SELECT RAISE(ABORT, 'an event is not deleted; record another'); END;

-- A check that leads from joint to joint; open until it is ended, so that it can be resumed.
CREATE TABLE visit (
  id INTEGER PRIMARY KEY,
  bicycle INTEGER NOT NULL REFERENCES bicycle (id),
  started_at TEXT NOT NULL,
  ended_at TEXT
) STRICT;
CREATE UNIQUE INDEX visit_open ON visit (bicycle) WHERE ended_at IS NULL;
