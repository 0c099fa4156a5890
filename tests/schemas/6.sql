-- Schema 6: figures of the workshop's own; here with all that a workshop may hold.
PRAGMA user_version = 6;
CREATE TABLE book_meta (key TEXT PRIMARY KEY, value TEXT NOT NULL) STRICT, WITHOUT ROWID;
CREATE TABLE wrench (
       id INTEGER PRIMARY KEY,
       name TEXT NOT NULL UNIQUE COLLATE NOCASE,
       kind TEXT NOT NULL,
       unit TEXT NOT NULL,
       low_nm REAL NOT NULL,
       high_nm REAL NOT NULL,
       step_nm REAL,
       usable_low_nm REAL,
       usable_high_nm REAL,
       class TEXT,
       percent REAL,
       coverage REAL,
       anticlockwise INTEGER NOT NULL CHECK (anticlockwise IN (0, 1)),
       owner TEXT,
       lever_mm REAL,
       interval_months INTEGER NOT NULL,
       interval_cycles INTEGER NOT NULL,
       added_on TEXT NOT NULL,
       retired_on TEXT
     ) STRICT;
INSERT INTO wrench VALUES(1,'small-click','click','N·m',2.0,10.0,0.10000000000000000555,NULL,NULL,NULL,NULL,NULL,0,NULL,NULL,12,3,'2026-06-01',NULL);
CREATE TABLE wrench_adapter (
       wrench INTEGER NOT NULL REFERENCES wrench (id),
       length_mm REAL NOT NULL
     ) STRICT;
INSERT INTO wrench_adapter VALUES(1,40.0);
CREATE TABLE calibration (
       id INTEGER PRIMARY KEY,
       wrench INTEGER NOT NULL REFERENCES wrench (id),
       done_on TEXT NOT NULL,
       result TEXT NOT NULL CHECK (result IN ('passed', 'failed')),
       note TEXT NOT NULL
     ) STRICT;
INSERT INTO calibration VALUES(1,1,'2026-05-04','passed','');
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
INSERT INTO bicycle VALUES(1,'errand','city','','','','2026-06-01T10:00:00+02:00',NULL);
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
, grade TEXT NOT NULL DEFAULT '') STRICT;
INSERT INTO joint VALUES(2,1,'wheel-front','front wheel',2,'function','',1,1,NULL,'','','','','','',NULL,'');
INSERT INTO joint VALUES(9,1,'bar-clamp','stem and headset',9,'torque','stem-bar-clamp-forged',1,1,NULL,'','','','','','',NULL,'8.8');
CREATE TABLE marking (
  joint INTEGER NOT NULL REFERENCES joint (id),
  number INTEGER NOT NULL CHECK (number IN (1, 2)),
  part TEXT NOT NULL,
  figure TEXT NOT NULL,
  PRIMARY KEY (joint, number)
) STRICT, WITHOUT ROWID;
INSERT INTO marking VALUES(9,1,'','4-6 N·m');
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
INSERT INTO reading VALUES(1,9,1,'2026-06-02T10:00:00+02:00','tightened',5.0,1,'N·m',1,NULL,NULL,'Kim','',NULL,'2026-06-02T10:00:00+02:00');
INSERT INTO reading VALUES(2,9,1,'2026-06-03T10:00:00+02:00','tightened',5.0,1,'N·m',1,NULL,NULL,'Kim','',NULL,'2026-06-03T10:00:00+02:00');
INSERT INTO reading VALUES(3,9,1,'2026-06-04T10:00:00+02:00','tightened',5.0,1,'N·m',1,NULL,NULL,'Kim','',NULL,'2026-06-04T10:00:00+02:00');
INSERT INTO reading VALUES(4,9,1,'2026-06-05T10:00:00+02:00','tightened',5.0,1,'N·m',1,NULL,NULL,'Kim','',NULL,'2026-06-05T10:00:00+02:00');
INSERT INTO reading VALUES(5,2,1,'2026-06-06T10:00:00+02:00','skipped',NULL,NULL,NULL,NULL,'fine',NULL,'','',NULL,'2026-06-06T10:00:00+02:00');
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
INSERT INTO event VALUES(1,1,'ride','2026-06-06T10:00:00+02:00',2.0,NULL,'','','2026-06-06T10:00:00+02:00');
CREATE TABLE visit (
  id INTEGER PRIMARY KEY,
  bicycle INTEGER NOT NULL REFERENCES bicycle (id),
  started_at TEXT NOT NULL,
  ended_at TEXT
) STRICT;
INSERT INTO visit VALUES(1,1,'2026-06-06T10:00:00+02:00',NULL);
INSERT INTO wrench_adapter VALUES(1,33.3);
INSERT INTO calibration VALUES(2,1,'2026-06-01','passed','at the club, paper 7');
INSERT INTO bicycle VALUES(2,'gone','city','F1','A. N. Other','"sold", 2026','2026-05-01T10:00:00+02:00','2026-05-02T10:00:00+02:00');
INSERT INTO joint VALUES(10,1,'light','bar',10,'torque','stem-bar-clamp-forged',2,0,'left','max 4 N·m','','3 N·m','M5','greased','light.jpg','2026-06-03T12:00:00+02:00','');
INSERT INTO marking VALUES(9,2,'bar','not a figure');
INSERT INTO reading VALUES(6,2,1,'2026-06-06T10:00:00+02:00','skipped',NULL,NULL,NULL,NULL,'loose','handed-over','Kim','the other side',5,'2026-06-06T10:05:00.25+02:00');
INSERT INTO reading VALUES(7,10,2,'2026-06-03T10:00:00+02:00','by-hand',NULL,NULL,NULL,NULL,NULL,NULL,'','',NULL,'2026-06-03T10:00:00+02:00');
INSERT INTO event VALUES(2,1,'done','2026-06-06T10:00:00+02:00',NULL,NULL,'chain-lubrication','dry','2026-06-06T11:00:00+02:00');
INSERT INTO visit VALUES(2,2,'2026-05-01T11:00:00+02:00','2026-05-01T12:00:00+02:00');
CREATE TABLE own_evidence (
       id INTEGER PRIMARY KEY AUTOINCREMENT,
       entry TEXT NOT NULL,
       value TEXT NOT NULL,
       issuer TEXT NOT NULL,
       source TEXT NOT NULL,
       locator TEXT NOT NULL,
       grade TEXT NOT NULL CHECK (grade IN ('marking', 'published', 'secondhand')),
       year TEXT NOT NULL,
       variant TEXT NOT NULL,
       condition TEXT NOT NULL,
       material TEXT NOT NULL,
       added_on TEXT NOT NULL
     ) STRICT;
INSERT INTO own_evidence VALUES(3,'stem-bar-clamp-forged','5 N·m','own part','the stem of errand','on the face','marking','2020','','','','2026-06-02');
CREATE TRIGGER calibration_is_kept BEFORE UPDATE ON calibration
       BEGIN SELECT RAISE(ABORT, 'a calibration is not changed; add another'); END;
CREATE TRIGGER calibration_stays BEFORE DELETE ON calibration
       BEGIN SELECT RAISE(ABORT, 'a calibration is not deleted; add another'); END;
CREATE UNIQUE INDEX joint_name ON joint (bicycle, name) WHERE removed_at IS NULL;
CREATE INDEX reading_newest ON reading (joint, bolt, instant DESC, id DESC);
CREATE UNIQUE INDEX reading_corrected_once ON reading (corrects) WHERE corrects IS NOT NULL;
CREATE TRIGGER reading_is_kept BEFORE UPDATE ON reading
  BEGIN SELECT RAISE(ABORT, 'a reading is not changed; record a correction'); END;
CREATE TRIGGER reading_stays BEFORE DELETE ON reading
  BEGIN SELECT RAISE(ABORT, 'a reading is not deleted; record a correction'); END;
CREATE TRIGGER reading_is_not_replaced BEFORE INSERT ON reading
  WHEN EXISTS (SELECT 1 FROM reading WHERE id = NEW.id)
    OR EXISTS (SELECT 1 FROM reading WHERE corrects = NEW.corrects)
  BEGIN SELECT RAISE(ABORT, 'a reading is not replaced; a reading is corrected once'); END;
CREATE INDEX event_of_bicycle ON event (bicycle);
CREATE TRIGGER event_is_kept BEFORE UPDATE ON event
  BEGIN SELECT RAISE(ABORT, 'an event is not changed; record another'); END;
CREATE TRIGGER event_stays BEFORE DELETE ON event
  BEGIN SELECT RAISE(ABORT, 'an event is not deleted; record another'); END;
CREATE UNIQUE INDEX visit_open ON visit (bicycle) WHERE ended_at IS NULL;
CREATE INDEX reading_by_wrench ON reading (wrench, substr(taken_at, 1, 10), instant, id, kind, unit)
       WHERE wrench IS NOT NULL;
