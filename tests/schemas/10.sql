-- Schema 10: a measure is kept as one; its line of the journal is older and says tightened. Every visit was a full round.
PRAGMA user_version = 10;
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
INSERT INTO wrench VALUES(1,'small-click','click','N·m',2.0,10.0,0.1,NULL,NULL,NULL,NULL,NULL,0,NULL,NULL,12,3,'2026-06-01',NULL);
CREATE TABLE wrench_adapter (
       wrench INTEGER NOT NULL REFERENCES wrench (id),
       length_mm REAL NOT NULL
     ) STRICT;
INSERT INTO wrench_adapter VALUES(1,40.0);
INSERT INTO wrench_adapter VALUES(1,33.3);
CREATE TABLE calibration (
       id INTEGER PRIMARY KEY,
       wrench INTEGER NOT NULL REFERENCES wrench (id),
       done_on TEXT NOT NULL,
       result TEXT NOT NULL CHECK (result IN ('passed', 'failed')),
       note TEXT NOT NULL
     , strikes INTEGER REFERENCES calibration (id)) STRICT;
INSERT INTO calibration VALUES(1,1,'2026-05-04','passed','',NULL);
INSERT INTO calibration VALUES(2,1,'2026-06-01','passed','at the club, paper 7',NULL);
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
INSERT INTO bicycle VALUES(2,'gone','city','F1','A. N. Other','"sold", 2026','2026-05-01T10:00:00+02:00','2026-05-02T10:00:00+02:00');
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
INSERT INTO joint VALUES(10,1,'light','bar',10,'torque','stem-bar-clamp-forged',2,0,'left','max 4 N·m','','3 N·m','M5','greased','light.jpg','2026-06-03T12:00:00+02:00','');
INSERT INTO joint VALUES(11,1,'rotor','elsewhere',10,'measure','rotor-thickness',1,1,NULL,'','','','','','',NULL,'');
CREATE TABLE marking (
  joint INTEGER NOT NULL REFERENCES joint (id),
  number INTEGER NOT NULL CHECK (number IN (1, 2)),
  part TEXT NOT NULL,
  figure TEXT NOT NULL,
  PRIMARY KEY (joint, number)
) STRICT, WITHOUT ROWID;
INSERT INTO marking VALUES(9,1,'','4-6 N·m');
INSERT INTO marking VALUES(9,2,'bar','not a figure');
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
  sort TEXT GENERATED ALWAYS AS
       (kind || ' ' || coalesce(unit, '') || ' ' || coalesce(finding, '') || ' ' || coalesce(action, '')) VIRTUAL,
  CHECK ((value IS NULL) = (unit IS NULL))
) STRICT;
INSERT INTO reading VALUES(1,9,1,'2026-06-02T10:00:00+02:00','tightened',5.0,1,'N·m',1,NULL,NULL,'Kim','',NULL,'2026-06-02T10:00:00+02:00');
INSERT INTO reading VALUES(2,9,1,'2026-06-03T10:00:00+02:00','tightened',5.0,1,'N·m',1,NULL,NULL,'Kim','',NULL,'2026-06-03T10:00:00+02:00');
INSERT INTO reading VALUES(3,9,1,'2026-06-04T10:00:00+02:00','tightened',5.0,1,'N·m',1,NULL,NULL,'Kim','',NULL,'2026-06-04T10:00:00+02:00');
INSERT INTO reading VALUES(4,9,1,'2026-06-05T10:00:00+02:00','tightened',5.0,1,'N·m',1,NULL,NULL,'Kim','',NULL,'2026-06-05T10:00:00+02:00');
INSERT INTO reading VALUES(5,2,1,'2026-06-06T10:00:00+02:00','skipped',NULL,NULL,NULL,NULL,'fine',NULL,'','',NULL,'2026-06-06T10:00:00+02:00');
INSERT INTO reading VALUES(6,2,1,'2026-06-06T10:00:00+02:00','skipped',NULL,NULL,NULL,NULL,'loose','handed-over','Kim','the other side',5,'2026-06-06T10:05:00.25+02:00');
INSERT INTO reading VALUES(7,10,2,'2026-06-03T10:00:00+02:00','by-hand',NULL,NULL,NULL,NULL,NULL,NULL,'','',NULL,'2026-06-03T10:00:00+02:00');
INSERT INTO reading VALUES(8,11,1,'2026-06-06T15:00:00+02:00','measured',1.9,1,'mm',NULL,NULL,NULL,'Kim','',NULL,'2026-06-06T15:00:00+02:00');
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
, strikes INTEGER REFERENCES event (id), hires INTEGER CHECK (hires > 0)) STRICT;
INSERT INTO event VALUES(1,1,'ride','2026-06-06T10:00:00+02:00',2.0,NULL,'','','2026-06-06T10:00:00+02:00',NULL,NULL);
INSERT INTO event VALUES(2,1,'done','2026-06-06T10:00:00+02:00',NULL,NULL,'chain-lubrication','dry','2026-06-06T11:00:00+02:00',NULL,NULL);
INSERT INTO event VALUES(3,1,'ride','2026-06-06T13:00:00+02:00',2.0,NULL,'','was another bicycle','2026-06-06T13:00:00+02:00',1,NULL);
INSERT INTO event VALUES(4,1,'ride','2026-06-06T13:00:00+02:00',1.5,NULL,'','','2026-06-06T13:00:00+02:00',NULL,NULL);
INSERT INTO event VALUES(5,1,'ride','2026-06-06T14:00:00+02:00',1.0,NULL,'','','2026-06-06T14:00:00+02:00',NULL,2);
CREATE TABLE visit (
  id INTEGER PRIMARY KEY,
  bicycle INTEGER NOT NULL REFERENCES bicycle (id),
  started_at TEXT NOT NULL,
  ended_at TEXT
) STRICT;
INSERT INTO visit VALUES(1,1,'2026-06-06T10:00:00+02:00',NULL);
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
CREATE TABLE workshop (name TEXT NOT NULL) STRICT;
INSERT INTO workshop VALUES('1354106de1290c58');
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
INSERT INTO journal VALUES(1,'1aa3bcc4c28a2960bdeb9a918e39ce96','1354106de1290c58','2026-06-01T00:00:00+00:00','','added','wrench','','','{"wrench":"small-click","kind":"click","unit":"N·m","low_nm":"2.0","high_nm":"10.0","step_nm":"0.1","anticlockwise":"false","interval_months":"12","interval_cycles":"3","added_on":"2026-06-01","adapters_mm":"40;33.3"}','','',1);
INSERT INTO journal VALUES(2,'73920a6914e3be8eaae544013e666428','1354106de1290c58','2026-05-04T00:00:00+00:00','','added','calibration','','1aa3bcc4c28a2960bdeb9a918e39ce96','{"done_on":"2026-05-04","result":"passed"}','','1aa3bcc4c28a2960bdeb9a918e39ce96',1);
INSERT INTO journal VALUES(3,'a3355d736b6c63372a616e9c59867d4b','1354106de1290c58','2026-06-01T00:00:00+00:00','','added','calibration','','1aa3bcc4c28a2960bdeb9a918e39ce96','{"done_on":"2026-06-01","result":"passed","note":"at the club, paper 7"}','','73920a6914e3be8eaae544013e666428',2);
INSERT INTO journal VALUES(4,'7202c63089b8c88f1a8b7a7e44b88097','1354106de1290c58','2026-06-02T00:00:00+00:00','','added','figure','','','{"entry":"stem-bar-clamp-forged","value":"5 N·m","issuer":"own part","source":"the stem of errand","locator":"on the face","grade":"marking","year":"2020","added_on":"2026-06-02"}','','a3355d736b6c63372a616e9c59867d4b',3);
INSERT INTO journal VALUES(5,'80411067cabbf55049d9d42193c3e785','1354106de1290c58','2026-06-01T10:00:00+02:00','','added','bicycle','','','{"bike":"errand","kind":"city","added_at":"2026-06-01T10:00:00+02:00"}','','7202c63089b8c88f1a8b7a7e44b88097',1);
INSERT INTO journal VALUES(6,'ed5b2542c2fcf0d544f4c70a77219bf9','1354106de1290c58','2026-05-01T10:00:00+02:00','','added','bicycle','','','{"bike":"gone","kind":"city","frame":"F1","owner":"A. N. Other","note":"\"sold\", 2026","added_at":"2026-05-01T10:00:00+02:00","retired_at":"2026-05-02T10:00:00+02:00"}','','80411067cabbf55049d9d42193c3e785',2);
INSERT INTO journal VALUES(7,'3884ebb5974ac317ab4f6c219cfb0aa1','1354106de1290c58','2026-06-01T10:00:00+02:00','','added','joint','','80411067cabbf55049d9d42193c3e785','{"joint":"wheel-front","place":"front wheel","order":"2","check":"function","bolts":"1","critical":"true"}','','ed5b2542c2fcf0d544f4c70a77219bf9',2);
INSERT INTO journal VALUES(8,'5c820e146eb0a6073e2d32f2d139996a','1354106de1290c58','2026-06-01T10:00:00+02:00','','added','joint','','80411067cabbf55049d9d42193c3e785','{"joint":"bar-clamp","place":"stem and headset","order":"9","check":"torque","entry":"stem-bar-clamp-forged","bolts":"1","critical":"true","grade":"8.8","marking":"4-6 N·m","second_marking_part":"bar","second_marking":"not a figure"}','','3884ebb5974ac317ab4f6c219cfb0aa1',9);
INSERT INTO journal VALUES(9,'a476b82eeaa5bd696ca9f0477b59cb3f','1354106de1290c58','2026-06-01T10:00:00+02:00','','added','joint','','80411067cabbf55049d9d42193c3e785','{"joint":"light","place":"bar","order":"10","check":"torque","entry":"stem-bar-clamp-forged","bolts":"2","critical":"false","hand":"left","part_maker":"max 4 N·m","shop":"3 N·m","thread":"M5","condition":"greased","photo":"light.jpg"}','','5c820e146eb0a6073e2d32f2d139996a',10);
INSERT INTO journal VALUES(10,'ec05fe3ffb53e936476f92f6ef572e98','1354106de1290c58','2026-06-03T12:00:00+02:00','','removed','joint','a476b82eeaa5bd696ca9f0477b59cb3f','','{}','','a476b82eeaa5bd696ca9f0477b59cb3f',NULL);
INSERT INTO journal VALUES(11,'385f1e4cf0893fc5fa588b23d26cc9df','1354106de1290c58','2026-06-06T10:00:00+02:00','','added','event','','80411067cabbf55049d9d42193c3e785','{"event":"ride","at":"2026-06-06T10:00:00+02:00","hours":"2.0"}','','ec05fe3ffb53e936476f92f6ef572e98',1);
INSERT INTO journal VALUES(12,'c9d46bfba4f7bf64f0b84dae41243cc2','1354106de1290c58','2026-06-06T11:00:00+02:00','','added','event','','80411067cabbf55049d9d42193c3e785','{"event":"done","at":"2026-06-06T10:00:00+02:00","what":"chain-lubrication","note":"dry"}','','385f1e4cf0893fc5fa588b23d26cc9df',2);
INSERT INTO journal VALUES(13,'39dabb0132d14b8b118a49cb07cd7325','1354106de1290c58','2026-06-06T10:00:00+02:00','','added','visit','','80411067cabbf55049d9d42193c3e785','{"started_at":"2026-06-06T10:00:00+02:00"}','','c9d46bfba4f7bf64f0b84dae41243cc2',1);
INSERT INTO journal VALUES(14,'2248051b60fa8a77db5973fef59d2572','1354106de1290c58','2026-05-01T11:00:00+02:00','','added','visit','','ed5b2542c2fcf0d544f4c70a77219bf9','{"started_at":"2026-05-01T11:00:00+02:00"}','','39dabb0132d14b8b118a49cb07cd7325',2);
INSERT INTO journal VALUES(15,'e2937c14aaecf1595376ce8d911bff5f','1354106de1290c58','2026-05-01T12:00:00+02:00','','changed','visit','2248051b60fa8a77db5973fef59d2572','','{"ended_at":["","2026-05-01T12:00:00+02:00"]}','','2248051b60fa8a77db5973fef59d2572',NULL);
INSERT INTO journal VALUES(16,'f5cf3fa7dbd87181819c7a927bf3def3','1354106de1290c58','2026-06-02T10:00:00+02:00','Kim','added','reading','','5c820e146eb0a6073e2d32f2d139996a','{"taken_at":"2026-06-02T10:00:00+02:00","bolt":"1","value":"5.0","unit":"N·m","kind":"tightened","who":"Kim","wrench":"1aa3bcc4c28a2960bdeb9a918e39ce96"}','','e2937c14aaecf1595376ce8d911bff5f',1);
INSERT INTO journal VALUES(17,'42f738bd8c55c3358e51ab4709448ebc','1354106de1290c58','2026-06-03T10:00:00+02:00','Kim','added','reading','','5c820e146eb0a6073e2d32f2d139996a','{"taken_at":"2026-06-03T10:00:00+02:00","bolt":"1","value":"5.0","unit":"N·m","kind":"tightened","who":"Kim","wrench":"1aa3bcc4c28a2960bdeb9a918e39ce96"}','','f5cf3fa7dbd87181819c7a927bf3def3',2);
INSERT INTO journal VALUES(18,'75d7ab5e0c63598d694628fd1f8aced3','1354106de1290c58','2026-06-04T10:00:00+02:00','Kim','added','reading','','5c820e146eb0a6073e2d32f2d139996a','{"taken_at":"2026-06-04T10:00:00+02:00","bolt":"1","value":"5.0","unit":"N·m","kind":"tightened","who":"Kim","wrench":"1aa3bcc4c28a2960bdeb9a918e39ce96"}','','42f738bd8c55c3358e51ab4709448ebc',3);
INSERT INTO journal VALUES(19,'1f55de0220bcdb5f6825a55e6bae4840','1354106de1290c58','2026-06-05T10:00:00+02:00','Kim','added','reading','','5c820e146eb0a6073e2d32f2d139996a','{"taken_at":"2026-06-05T10:00:00+02:00","bolt":"1","value":"5.0","unit":"N·m","kind":"tightened","who":"Kim","wrench":"1aa3bcc4c28a2960bdeb9a918e39ce96"}','','75d7ab5e0c63598d694628fd1f8aced3',4);
INSERT INTO journal VALUES(20,'72876d47cefb27f70c5f6bd25ffff46d','1354106de1290c58','2026-06-06T10:00:00+02:00','','added','reading','','3884ebb5974ac317ab4f6c219cfb0aa1','{"taken_at":"2026-06-06T10:00:00+02:00","bolt":"1","kind":"skipped","finding":"fine"}','','1f55de0220bcdb5f6825a55e6bae4840',5);
INSERT INTO journal VALUES(21,'9abc4c640143287ea5ac6011708f0b64','1354106de1290c58','2026-06-06T10:05:00.25+02:00','Kim','added','reading','','3884ebb5974ac317ab4f6c219cfb0aa1','{"taken_at":"2026-06-06T10:00:00+02:00","bolt":"1","kind":"skipped","who":"Kim","note":"the other side","finding":"loose","action":"handed-over","corrects":"72876d47cefb27f70c5f6bd25ffff46d"}','','72876d47cefb27f70c5f6bd25ffff46d',6);
INSERT INTO journal VALUES(22,'ac822baccb638fa0ff952eda15d03c03','1354106de1290c58','2026-06-03T10:00:00+02:00','','added','reading','','a476b82eeaa5bd696ca9f0477b59cb3f','{"taken_at":"2026-06-03T10:00:00+02:00","bolt":"2","kind":"by-hand"}','','9abc4c640143287ea5ac6011708f0b64',7);
INSERT INTO journal VALUES(23,'28686c3e7e78c8ede291c5762fa5d26d','1354106de1290c58','2026-06-06T13:00:00+02:00','','added','event','','80411067cabbf55049d9d42193c3e785','{"event":"ride","at":"2026-06-06T13:00:00+02:00","hours":"2.0","note":"was another bicycle","strikes":"385f1e4cf0893fc5fa588b23d26cc9df"}','was another bicycle','ac822baccb638fa0ff952eda15d03c03',3);
INSERT INTO journal VALUES(24,'da4d49e298a304dc816e00cdf4809e6e','1354106de1290c58','2026-06-06T13:00:00+02:00','A. N. Other','added','event','','80411067cabbf55049d9d42193c3e785','{"event":"ride","at":"2026-06-06T13:00:00+02:00","hours":"1.5"}','','28686c3e7e78c8ede291c5762fa5d26d',4);
INSERT INTO journal VALUES(25,'51fd3fbf032004aa3e5865296cf9e9f4','1354106de1290c58','2026-06-06T14:00:00+02:00','','added','event','','80411067cabbf55049d9d42193c3e785','{"event":"ride","at":"2026-06-06T14:00:00+02:00","hours":"1.0","hires":"2"}','','da4d49e298a304dc816e00cdf4809e6e',5);
INSERT INTO journal VALUES(26,'9a7d0de42a31ee04390a0e0c013d30be','1354106de1290c58','2026-06-06T15:00:00+02:00','','added','joint','','80411067cabbf55049d9d42193c3e785','{"joint":"rotor","place":"elsewhere","order":"10","check":"measure","entry":"rotor-thickness","bolts":"1","critical":"true"}','','51fd3fbf032004aa3e5865296cf9e9f4',11);
INSERT INTO journal VALUES(27,'c73b46a97c08085fc2c0cd08db507ef5','1354106de1290c58','2026-06-06T15:00:00+02:00','Kim','added','reading','','9a7d0de42a31ee04390a0e0c013d30be','{"taken_at":"2026-06-06T15:00:00+02:00","bolt":"1","value":"1.9","unit":"mm","kind":"tightened","who":"Kim"}','','9a7d0de42a31ee04390a0e0c013d30be',8);
CREATE TRIGGER calibration_is_kept BEFORE UPDATE ON calibration
       BEGIN SELECT RAISE(ABORT, 'a calibration is not changed; add another'); END;
CREATE TRIGGER calibration_stays BEFORE DELETE ON calibration
       BEGIN SELECT RAISE(ABORT, 'a calibration is not deleted; add another'); END;
CREATE UNIQUE INDEX joint_name ON joint (bicycle, name) WHERE removed_at IS NULL;
CREATE INDEX reading_newest ON reading (joint, bolt, sort, instant DESC, id DESC);
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
CREATE UNIQUE INDEX journal_row ON journal (subject, row) WHERE deed = 'added';
CREATE INDEX journal_of ON journal (of) WHERE of <> '';
CREATE INDEX journal_whole ON journal (whole) WHERE whole <> '';
CREATE TRIGGER journal_is_kept BEFORE UPDATE ON journal
  BEGIN SELECT RAISE(ABORT, 'the journal is not changed; add a line'); END;
CREATE TRIGGER journal_stays BEFORE DELETE ON journal
  BEGIN SELECT RAISE(ABORT, 'the journal is not shortened; add a line'); END;
CREATE TRIGGER journal_is_not_replaced BEFORE INSERT ON journal
  WHEN EXISTS (SELECT 1 FROM journal WHERE number = NEW.number OR key = NEW.key)
    OR EXISTS (SELECT 1 FROM journal WHERE subject = NEW.subject AND row = NEW.row AND deed = 'added')
  BEGIN SELECT RAISE(ABORT, 'a line of the journal is not replaced; add a line'); END;
CREATE UNIQUE INDEX event_struck_once ON event (strikes) WHERE strikes IS NOT NULL;
CREATE TRIGGER event_is_not_replaced BEFORE INSERT ON event
  WHEN EXISTS (SELECT 1 FROM event WHERE id = NEW.id)
    OR EXISTS (SELECT 1 FROM event WHERE strikes = NEW.strikes)
  BEGIN SELECT RAISE(ABORT, 'an event is not replaced; an event is struck once'); END;
CREATE UNIQUE INDEX calibration_struck_once ON calibration (strikes) WHERE strikes IS NOT NULL;
CREATE TRIGGER calibration_is_not_replaced BEFORE INSERT ON calibration
  WHEN EXISTS (SELECT 1 FROM calibration WHERE id = NEW.id)
    OR EXISTS (SELECT 1 FROM calibration WHERE strikes = NEW.strikes)
  BEGIN SELECT RAISE(ABORT, 'a calibration is not replaced; a calibration is struck once'); END;
