-- Schema 2: wrenches and their calibrations.
PRAGMA user_version = 2;
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
INSERT INTO wrench VALUES(1,'small-click','click','N·m',2.0,10.0,0.10000000000000000555,NULL,NULL,NULL,NULL,NULL,0,NULL,NULL,12,5000,'2026-11-25',NULL);
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
CREATE TRIGGER calibration_is_kept BEFORE UPDATE ON calibration
       BEGIN SELECT RAISE(ABORT, 'a calibration is not changed; add another'); END;
CREATE TRIGGER calibration_stays BEFORE DELETE ON calibration
       BEGIN SELECT RAISE(ABORT, 'a calibration is not deleted; add another'); END;
