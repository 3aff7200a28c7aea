-- A store as the program of store version 5 left it: a calibration, a finished run with an entry, three dispositions (one
-- taken back), a known-load check.
PRAGMA foreign_keys=OFF;
BEGIN TRANSACTION;
PRAGMA application_id = 1416131170;
PRAGMA user_version = 5;
CREATE TABLE acknowledgements (
    id INTEGER PRIMARY KEY,
    what TEXT NOT NULL CHECK (what IN ('cautions', 'held-rotor')),
    lines_json TEXT NOT NULL,
    at TEXT NOT NULL,
    tag TEXT,
    rig_id TEXT,
    operator TEXT,
    tool_version TEXT NOT NULL
  ) STRICT;
CREATE TABLE calibrations (
    id INTEGER PRIMARY KEY,
    rig_id TEXT NOT NULL,
    channel TEXT NOT NULL,
    point TEXT NOT NULL CHECK (point IN ('zero', 'load')),
    at TEXT NOT NULL,
    reading REAL NOT NULL,
    reading_uncertainty REAL NOT NULL,
    reference REAL NOT NULL,
    reference_uncertainty REAL NOT NULL,
    at_zero_count REAL NOT NULL,
    per_count REAL NOT NULL,
    tool_version TEXT NOT NULL
  ) STRICT;
INSERT INTO "calibrations" VALUES(1,'bench-1','leadAVoltageV','load','2024-06-10T08:00:00.000Z',11.98,0.01,12.0,0.01,-14.0,0.03,'0.1.0');
CREATE TABLE capture_chunks (
    run_id TEXT NOT NULL REFERENCES runs (id),
    place INTEGER NOT NULL,
    blob BLOB NOT NULL,
    PRIMARY KEY (run_id, place)
  ) STRICT;
CREATE TABLE captures (
    run_id TEXT PRIMARY KEY REFERENCES runs (id),
    samples INTEGER NOT NULL,
    blob BLOB NOT NULL
  ) STRICT;
INSERT INTO "captures" VALUES('2024-06-11-0001',8,X'5442433163000000785EAB562A4ECC2DC8492D56B2B2D0514ACE48CCCB4BCD2956B28A56CACD2FC92F722E2D2A4ACD2B7154D251CA494D4C710CCBCF29494C4F0D538AD5514A4F2C00298CD5811A11945892EA51A564656A6060A0A394975F0232343AB69641573751F74FE27106676723E79546BB18646442653E86EE6078FDDAE0F525835E86478FB41EF96AB1319899AD344B5AF98141CBCAD92B20388CC11E0218C805072EDC78F0E4C51BB2CDD970E0C4852B37EE34EC87000062FF4B2C');
CREATE TABLE "chain" (
    place INTEGER PRIMARY KEY,
    run_id TEXT REFERENCES runs (id),
    entry_id INTEGER UNIQUE REFERENCES entries (id),
    calibration_id INTEGER UNIQUE REFERENCES calibrations (id),
    shift_check_id INTEGER UNIQUE REFERENCES shift_checks (id),
    previous_hash TEXT NOT NULL,
    hash TEXT NOT NULL,
    CHECK ((run_id IS NOT NULL) + (calibration_id IS NOT NULL) + (shift_check_id IS NOT NULL) = 1)
  ) STRICT;
INSERT INTO "chain" VALUES(1,NULL,NULL,1,NULL,'0000000000000000000000000000000000000000000000000000000000000000','ae27ae55514ca76aac3818dd9160dec7e4f7b5889c99821113b95f0422747f90');
INSERT INTO "chain" VALUES(2,'2024-06-11-0001',NULL,NULL,NULL,'ae27ae55514ca76aac3818dd9160dec7e4f7b5889c99821113b95f0422747f90','f85ce063921a2c267c0448b11f6da142c29bcdca6904a10ebd6fe279cda036be');
INSERT INTO "chain" VALUES(3,'2024-06-11-0001',1,NULL,NULL,'f85ce063921a2c267c0448b11f6da142c29bcdca6904a10ebd6fe279cda036be','fb28b267e9cf08276cf9adea251c5ab30d1c41629a3082e055ee751a43046891');
INSERT INTO "chain" VALUES(4,NULL,NULL,NULL,1,'fb28b267e9cf08276cf9adea251c5ab30d1c41629a3082e055ee751a43046891','6a8592a3ab362d67389fd789d4c214485167a8722c050dba1a2e28135f87c419');
CREATE TABLE checks (
    run_id TEXT NOT NULL REFERENCES runs (id),
    place INTEGER NOT NULL,
    id TEXT NOT NULL,
    outcome TEXT NOT NULL,
    required INTEGER NOT NULL,
    origin TEXT NOT NULL,
    sentence TEXT NOT NULL,
    value REAL,
    unit TEXT,
    expanded_uncertainty REAL,
    lower REAL,
    upper REAL,
    PRIMARY KEY (run_id, place)
  ) STRICT;
INSERT INTO "checks" VALUES('2024-06-11-0001',0,'running-current-forward','pass',1,'model','Running current forward 1.52 A, expected 1.2 to 1.8 A.',1.52,'A',0.03,1.2,1.8);
INSERT INTO "checks" VALUES('2024-06-11-0001',1,'coil-current','not-tested',0,'model','Coil current not tested.',NULL,NULL,NULL,NULL,NULL);
CREATE TABLE dispositions (
    id INTEGER PRIMARY KEY,
    tag TEXT NOT NULL REFERENCES units (tag),
    run_id TEXT NOT NULL REFERENCES runs (id),
    word TEXT CHECK (word IN ('accept', 'rework', 'reject', 'hold')),
    takes_back INTEGER REFERENCES dispositions (id),
    at TEXT NOT NULL,
    operator TEXT,
    tool_version TEXT NOT NULL,
    CHECK ((word IS NULL) <> (takes_back IS NULL))
  ) STRICT;
INSERT INTO "dispositions" VALUES(1,'V-0107','2024-06-11-0001','hold',NULL,'2026-11-30T00:58:17.587Z','day shift','0.1.0');
INSERT INTO "dispositions" VALUES(2,'V-0107','2024-06-11-0001',NULL,1,'2026-11-30T00:58:17.611Z','day shift','0.1.0');
INSERT INTO "dispositions" VALUES(3,'V-0107','2024-06-11-0001','rework',NULL,'2026-11-30T00:58:17.623Z','day shift','0.1.0');
CREATE TABLE entries (
    id INTEGER PRIMARY KEY,
    run_id TEXT NOT NULL REFERENCES runs (id),
    kind TEXT NOT NULL,
    at TEXT NOT NULL,
    content_json TEXT NOT NULL,
    tool_version TEXT NOT NULL
  ) STRICT;
INSERT INTO "entries" VALUES(1,'2024-06-11-0001','probed','2026-11-30T00:58:17.579Z','{"kind":"probed","conclusion":"one","sentence":"One cause is left.","left":[]}','0.1.0');
CREATE TABLE rig_ports (
    id INTEGER PRIMARY KEY,
    rig_id TEXT NOT NULL,
    path TEXT NOT NULL,
    usb_json TEXT NOT NULL,
    at TEXT NOT NULL
  ) STRICT;
CREATE TABLE runs (
    id TEXT PRIMARY KEY,
    tag TEXT NOT NULL REFERENCES units (tag),
    status TEXT NOT NULL CHECK (status IN ('running', 'finished', 'aborted')),
    started_at TEXT NOT NULL,
    ended_at TEXT,
    profile_id TEXT NOT NULL,
    profile_json TEXT NOT NULL,
    rig_json TEXT NOT NULL,
    tool_version TEXT NOT NULL,
    verdict TEXT CHECK (verdict IN ('pass', 'fail', 'cannot-tell')),
    sentence TEXT,
    judgement_json TEXT,
    stop_json TEXT,
    counters_json TEXT,
    raw_lines BLOB,
    owner_host TEXT NOT NULL,
    owner_pid INTEGER NOT NULL,
    touched_at TEXT NOT NULL
  , sitting_id INTEGER REFERENCES sittings (id), place INTEGER, attempt INTEGER, operator TEXT) STRICT;
INSERT INTO "runs" VALUES('2024-06-11-0001','V-0107','finished','2024-06-11T08:30:00.000Z','2024-06-11T08:30:05.000Z','roof-vent-switch','{"unit":{"id":"roof-vent-switch","title":"Roof vent on its six-terminal switch","kind":"unit","circuit":"switch-carried-open-rest","motor":"roof-vent","subject":"harness-with-motor","rig":"reference-rig","wiring":{"lengthM":2.5,"areaMm2":1},"temperatureC":{"nominal":20,"plusMinus":20},"rules":{"conditionalPassCounts":true,"draws":80}},"plan":{"id":"throw-both-ways","title":"Limited feed first, then throw both ways","kind":"plan","steps":[{"position":"rest","durationS":0.2,"feed":"limited"},{"position":"forward","durationS":0.2,"feed":"limited"},{"position":"rest","durationS":0.35,"feed":"limited"},{"position":"reverse","durationS":0.2,"feed":"limited"},{"position":"rest","durationS":0.1,"feed":"limited"},{"position":"rest","durationS":0.3,"feed":"full"},{"position":"forward","durationS":0.9,"feed":"full"},{"position":"rest","durationS":0.7,"feed":"full"},{"position":"reverse","durationS":0.9,"feed":"full"},{"position":"rest","durationS":0.7,"feed":"full"}]},"style":{"id":"switch-carried-open-rest","title":"Six-terminal switch carries the motor, open at rest","kind":"circuit","summary":"A centre-off reversing switch joins the feed straight to the motor, one way round or the other. Released, it opens both leads, so the motor coasts and shows its own voltage between them.","hookUp":["The switch stays plugged in, its jumpers on it; leave the rig''s stand-in free.","Feed wire of the harness to the rig''s feed, its ground wire to the rig''s ground.","Motor leads through the rig, lead A from a1, lead B from a2."],"hookUpByHand":["The switch stays plugged in, its jumpers on it; leave the rig''s stand-in free.","Feed wire of the harness to the rig''s feed, its ground wire to the rig''s ground.","Motor leads through the rig, lead A from a1, lead B from a2."],"restState":"open","release":"coast","thrownBy":"stand-in","triggerSide":"ground","polarity":{"forward":"positive","reverse":"negative"},"returnPath":{"forward":"from lead B through a2 and c2 to ground","reverse":"from lead A through a1, jumper a1-b2, b2 and c2 to ground"},"nodes":{},"elements":[{"id":"feed","title":"feed wire","kind":"wire","a":"rig.feed","b":"c1","role":"feed"},{"id":"ground","title":"ground wire","kind":"wire","a":"c2","b":"rig.ground","role":"ground"},{"id":"switch","title":"switch","kind":"switch","position":"rest","poles":[{"id":"pole-1","common":"c1","throws":{"forward":"a1","reverse":"b1"}},{"id":"pole-2","common":"c2","throws":{"forward":"a2","reverse":"b2"}}],"contactResistanceOhm":0.005,"transferS":0.004,"delayS":0.003,"standIn":"rig''s stand-in"},{"id":"jumper-a1-b2","title":"jumper a1-b2","kind":"wire","a":"a1","b":"b2","lengthM":0.1,"role":"jumper","standIn":"rig''s link a1-b2"},{"id":"jumper-a2-b1","title":"jumper a2-b1","kind":"wire","a":"a2","b":"b1","lengthM":0.1,"role":"jumper","standIn":"rig''s link a2-b1"},{"id":"lead-a","title":"motor lead A","kind":"wire","a":"a1","b":"rig.lead-a","role":"lead"},{"id":"lead-b","title":"motor lead B","kind":"wire","a":"a2","b":"rig.lead-b","role":"lead"},{"id":"motor","kind":"motor","a":"rig.motor-a","b":"rig.motor-b"}],"positions":{"rest":{"switch":"rest"},"forward":{"switch":"forward"},"reverse":{"switch":"reverse"}},"stations":{},"asks":{},"sense":{"feedCurrentA":{"current":"rig.feed-shunt"},"motorCurrentA":{"current":"rig.motor-shunt"},"coilCurrentA":{"current":"rig.coil-shunt"},"leadAVoltageV":{"voltage":"rig.motor-a"},"leadBVoltageV":{"voltage":"rig.motor-b"},"supplyVoltageV":{"voltage":"rig.supply"}}},"motor":{"id":"roof-vent","title":"Roof vent motor","kind":"motor","nominalVoltageV":12,"origin":"generic","resistanceOhm":{"nominal":2.2,"tolerancePercent":10},"inductanceH":{"nominal":0.0033,"tolerancePercent":12},"backEmfVsPerRad":{"nominal":0.0325,"tolerancePercent":8},"torqueNmPerA":{"nominal":0.0315,"tolerancePercent":8},"inertiaKgM2":{"nominal":0.000011,"tolerancePercent":10},"viscousNms":{"nominal":0.000051,"tolerancePercent":12},"coulombNm":{"nominal":0.016,"tolerancePercent":22},"family":{"runningA":{"least":0.2,"most":2},"heldA":{"least":2,"most":6}},"brushDropV":0.3,"brushKneeA":0.2,"longestHoldS":5},"rig":{"id":"reference-rig","title":"Reference rig","kind":"rig","scales":{"feedCurrentA":{"atZeroCount":-8,"perCount":0.078125,"gainUncertaintyPercent":0.5,"offsetUncertainty":0.03},"motorCurrentA":{"atZeroCount":-40,"perCount":0.078125,"gainUncertaintyPercent":0.5,"offsetUncertainty":0.03},"coilCurrentA":{"atZeroCount":0,"perCount":0.0009765625,"gainUncertaintyPercent":0.5,"offsetUncertainty":0.001},"leadAVoltageV":{"atZeroCount":-10,"perCount":0.029296875,"gainUncertaintyPercent":0.3,"offsetUncertainty":0.015},"leadBVoltageV":{"atZeroCount":-10,"perCount":0.029296875,"gainUncertaintyPercent":0.3,"offsetUncertainty":0.015},"supplyVoltageV":{"atZeroCount":0,"perCount":0.01953125,"gainUncertaintyPercent":0.3,"offsetUncertainty":0.01}},"adcBits":10,"clockUncertaintyPercent":0.15,"supply":{"voltageV":{"nominal":13,"tolerancePercent":2},"sourceResistanceOhm":0.04},"feedShuntOhm":0.00125,"motorShuntOhm":0.00125,"feedContactOhm":0.02875,"limitedFeedOhm":12,"leadLoadOhm":22000,"leadClampV":30,"deadTimeS":0.3,"longestHoldS":5,"trip":{"motorCurrentA":30,"feedCurrentA":30,"samples":3}}}','{"rigId":"bench-1","model":"reference-rig","firmwareVersion":"1.0.0","protocolVersion":"1","port":"virtual"}','0.1.0','fail','Runs 1.5 A both ways and coasts when released.','{"verdict":"fail","sentence":"Runs 1.5 A both ways and coasts when released.","checks":[{"id":"running-current-forward","sentence":"Running current forward 1.52 A, expected 1.2 to 1.8 A.","value":1.52,"unit":"A","expandedUncertainty":0.03,"lower":1.2,"upper":1.8,"outcome":"pass","required":true,"origin":"model"},{"id":"coil-current","sentence":"Coil current not tested.","outcome":"not-tested","required":false,"origin":"model"}],"findings":[{"id":"motor-open","likelihood":0.1,"sentence":"Unlikely.","nextProbe":"None."}],"measured":{"runningCurrentForwardA":{"value":1.52,"unit":"A","standardUncertainty":0.015,"degreesOfFreedom":{"$number":"Infinity"},"expandedUncertainty":0.03}}}',NULL,'{}',NULL,'vm',28543,'2026-11-30T00:58:17.549Z',NULL,NULL,NULL,'day shift');
CREATE TABLE shift_checks (
    id INTEGER PRIMARY KEY,
    rig_id TEXT NOT NULL,
    channel TEXT NOT NULL,
    moment TEXT NOT NULL CHECK (moment IN ('start', 'end')),
    at TEXT NOT NULL,
    reading REAL NOT NULL,
    reading_uncertainty REAL NOT NULL,
    reference REAL NOT NULL,
    reference_uncertainty REAL NOT NULL,
    allowed REAL NOT NULL,
    good INTEGER NOT NULL CHECK (good IN (0, 1)),
    tool_version TEXT NOT NULL
  ) STRICT;
INSERT INTO "shift_checks" VALUES(1,'bench-1','leadAVoltageV','end','2024-06-11T16:00:00.000Z',11.98,0.01,12.0,0.01,0.05,1,'0.1.0');
CREATE TABLE sitting_units (
    sitting_id INTEGER NOT NULL REFERENCES sittings (id),
    place INTEGER NOT NULL,
    tag TEXT NOT NULL,
    unit_json TEXT NOT NULL,
    case_json TEXT,
    PRIMARY KEY (sitting_id, place)
  ) STRICT;
CREATE TABLE sittings (
    id INTEGER PRIMARY KEY,
    kind TEXT NOT NULL CHECK (kind IN ('run', 'tray', 'bench')),
    title TEXT NOT NULL,
    started_at TEXT NOT NULL,
    port TEXT,
    rig_id TEXT,
    operator TEXT,
    tool_version TEXT NOT NULL
  ) STRICT;
INSERT INTO "sittings" VALUES(1,'tray','Tray of the day','2026-11-30T00:58:17.125Z',NULL,NULL,'day shift','0.1.0');
CREATE TABLE skips (
    id INTEGER PRIMARY KEY,
    sitting_id INTEGER NOT NULL,
    place INTEGER NOT NULL,
    at TEXT NOT NULL,
    FOREIGN KEY (sitting_id, place) REFERENCES sitting_units (sitting_id, place)
  ) STRICT;
CREATE TABLE units (
    tag TEXT PRIMARY KEY,
    first_seen_at TEXT NOT NULL
  ) STRICT;
INSERT INTO "units" VALUES('V-0107','2024-06-11T08:30:00.000Z');
CREATE INDEX runs_by_tag ON runs (tag, id);
CREATE INDEX checks_by_id ON checks (id, run_id);
CREATE INDEX calibrations_by_rig ON calibrations (rig_id, at);
CREATE TRIGGER calibrations_not_changed BEFORE UPDATE ON calibrations
    BEGIN SELECT raise(ABORT, 'a calibration is never changed'); END;
CREATE TRIGGER calibrations_not_removed BEFORE DELETE ON calibrations
    BEGIN SELECT raise(ABORT, 'a calibration is never removed'); END;
CREATE INDEX shift_checks_by_rig ON shift_checks (rig_id, at);
CREATE TRIGGER shift_checks_not_changed BEFORE UPDATE ON shift_checks
    BEGIN SELECT raise(ABORT, 'a known-load check is never changed'); END;
CREATE TRIGGER shift_checks_not_removed BEFORE DELETE ON shift_checks
    BEGIN SELECT raise(ABORT, 'a known-load check is never removed'); END;
CREATE INDEX entries_by_run ON entries (run_id, id);
CREATE TRIGGER entries_not_changed BEFORE UPDATE ON entries
    BEGIN SELECT raise(ABORT, 'an entry is never changed'); END;
CREATE TRIGGER entries_not_removed BEFORE DELETE ON entries
    BEGIN SELECT raise(ABORT, 'an entry is never removed'); END;
CREATE INDEX runs_by_sitting ON runs (sitting_id, place);
CREATE INDEX dispositions_by_run ON dispositions (run_id, id);
CREATE TRIGGER sittings_not_changed BEFORE UPDATE ON sittings
    BEGIN SELECT raise(ABORT, 'a sitting is never changed'); END;
CREATE TRIGGER sittings_not_removed BEFORE DELETE ON sittings
    BEGIN SELECT raise(ABORT, 'a sitting is never removed'); END;
CREATE TRIGGER sitting_units_not_changed BEFORE UPDATE ON sitting_units
    BEGIN SELECT raise(ABORT, 'the list of a sitting is never changed'); END;
CREATE TRIGGER sitting_units_not_removed BEFORE DELETE ON sitting_units
    BEGIN SELECT raise(ABORT, 'the list of a sitting is never removed'); END;
CREATE TRIGGER skips_not_changed BEFORE UPDATE ON skips
    BEGIN SELECT raise(ABORT, 'a skip is never changed'); END;
CREATE TRIGGER skips_not_removed BEFORE DELETE ON skips
    BEGIN SELECT raise(ABORT, 'a skip is never removed'); END;
CREATE TRIGGER dispositions_not_changed BEFORE UPDATE ON dispositions
    BEGIN SELECT raise(ABORT, 'a disposition is never changed'); END;
CREATE TRIGGER dispositions_not_removed BEFORE DELETE ON dispositions
    BEGIN SELECT raise(ABORT, 'a disposition is never removed'); END;
CREATE TRIGGER acknowledgements_not_changed BEFORE UPDATE ON acknowledgements
    BEGIN SELECT raise(ABORT, 'an acknowledgement is never changed'); END;
CREATE TRIGGER acknowledgements_not_removed BEFORE DELETE ON acknowledgements
    BEGIN SELECT raise(ABORT, 'an acknowledgement is never removed'); END;
CREATE TRIGGER rig_ports_not_changed BEFORE UPDATE ON rig_ports
    BEGIN SELECT raise(ABORT, 'the port of a rig is never changed'); END;
CREATE TRIGGER rig_ports_not_removed BEFORE DELETE ON rig_ports
    BEGIN SELECT raise(ABORT, 'the port of a rig is never removed'); END;
CREATE UNIQUE INDEX chain_by_run ON chain (run_id) WHERE entry_id IS NULL;
COMMIT;
