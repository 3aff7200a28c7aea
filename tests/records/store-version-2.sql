-- A store as the program of store version 2 left it: two finished runs in its chain.
PRAGMA application_id = 1416131170;
PRAGMA user_version = 2;
PRAGMA foreign_keys=OFF;
BEGIN TRANSACTION;
CREATE TABLE units (
    tag TEXT PRIMARY KEY,
    first_seen_at TEXT NOT NULL
  ) STRICT;
INSERT INTO units VALUES('V-0107','2024-06-11T08:30:00.000Z');
INSERT INTO units VALUES('V-0108','2024-06-11T08:30:00.000Z');
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
  ) STRICT;
INSERT INTO runs VALUES('2024-06-11-0001','V-0107','finished','2024-06-11T08:30:00.000Z','2024-06-11T08:30:05.000Z','roof-vent-switch','{"unit":{"id":"roof-vent-switch","title":"Roof vent on its six-terminal switch","kind":"unit","circuit":"switch-carried-open-rest","motor":"roof-vent","subject":"harness-with-motor","rig":"reference-rig","wiring":{"lengthM":2.5,"areaMm2":1},"temperatureC":{"nominal":20,"plusMinus":20},"rules":{"conditionalPassCounts":true,"draws":80}},"style":{"id":"switch-carried-open-rest","title":"Six-terminal switch carries the motor, open at rest","kind":"circuit","summary":"A centre-off reversing switch joins the feed straight to the motor, one way round or the other. Released, it opens both leads, so the motor coasts and shows its own voltage between them.","hookUp":["Unplug the switch; put the harness onto the six screw terminals of the rig''s switch stand-in, c1 c2 a1 a2 b1 b2.","Feed wire of the harness to the rig''s feed, its ground wire to the rig''s ground.","Motor leads through the rig, lead A from a1, lead B from a2."],"restState":"open","release":"coast","thrownBy":"stand-in","triggerSide":"ground","polarity":{"forward":"positive","reverse":"negative"},"returnPath":{"forward":"from lead B through a2 and c2 to ground","reverse":"from lead A through a1, jumper a1-b2, b2 and c2 to ground"},"nodes":{},"elements":[{"id":"feed","title":"feed wire","kind":"wire","a":"rig.feed","b":"c1","role":"feed"},{"id":"ground","title":"ground wire","kind":"wire","a":"c2","b":"rig.ground","role":"ground"},{"id":"switch","title":"switch","kind":"switch","position":"rest","poles":[{"id":"pole-1","common":"c1","throws":{"forward":"a1","reverse":"b1"}},{"id":"pole-2","common":"c2","throws":{"forward":"a2","reverse":"b2"}}],"contactResistanceOhm":0.005,"transferS":0.004,"delayS":0.003},{"id":"jumper-a1-b2","title":"jumper a1-b2","kind":"wire","a":"a1","b":"b2","lengthM":0.1,"role":"jumper"},{"id":"jumper-a2-b1","title":"jumper a2-b1","kind":"wire","a":"a2","b":"b1","lengthM":0.1,"role":"jumper"},{"id":"lead-a","title":"motor lead A","kind":"wire","a":"a1","b":"rig.lead-a","role":"lead"},{"id":"lead-b","title":"motor lead B","kind":"wire","a":"a2","b":"rig.lead-b","role":"lead"},{"id":"motor","kind":"motor","a":"rig.motor-a","b":"rig.motor-b"}],"positions":{"rest":{"switch":"rest"},"forward":{"switch":"forward"},"reverse":{"switch":"reverse"}},"stations":{},"asks":{},"sense":{"feedCurrentA":{"current":"rig.feed-shunt"},"motorCurrentA":{"current":"rig.motor-shunt"},"coilCurrentA":{"current":"rig.coil-shunt"},"leadAVoltageV":{"voltage":"rig.motor-a"},"leadBVoltageV":{"voltage":"rig.motor-b"},"supplyVoltageV":{"voltage":"rig.supply"}}},"motor":{"id":"roof-vent","title":"Roof vent motor","kind":"motor","nominalVoltageV":12,"origin":"generic","resistanceOhm":{"nominal":2.2,"tolerancePercent":10},"inductanceH":{"nominal":0.0033,"tolerancePercent":12},"backEmfVsPerRad":{"nominal":0.0325,"tolerancePercent":8},"torqueNmPerA":{"nominal":0.0315,"tolerancePercent":8},"inertiaKgM2":{"nominal":0.000011,"tolerancePercent":10},"viscousNms":{"nominal":0.000051,"tolerancePercent":12},"coulombNm":{"nominal":0.016,"tolerancePercent":22},"family":{"runningA":{"least":0.2,"most":2},"heldA":{"least":2,"most":6}},"brushDropV":0.3,"brushKneeA":0.2,"longestHoldS":5},"rig":{"id":"reference-rig","title":"Reference rig","kind":"rig","scales":{"feedCurrentA":{"atZeroCount":-8,"perCount":0.078125,"gainUncertaintyPercent":0.5,"offsetUncertainty":0.03},"motorCurrentA":{"atZeroCount":-40,"perCount":0.078125,"gainUncertaintyPercent":0.5,"offsetUncertainty":0.03},"coilCurrentA":{"atZeroCount":0,"perCount":0.0009765625,"gainUncertaintyPercent":0.5,"offsetUncertainty":0.001},"leadAVoltageV":{"atZeroCount":-10,"perCount":0.029296875,"gainUncertaintyPercent":0.3,"offsetUncertainty":0.015},"leadBVoltageV":{"atZeroCount":-10,"perCount":0.029296875,"gainUncertaintyPercent":0.3,"offsetUncertainty":0.015},"supplyVoltageV":{"atZeroCount":0,"perCount":0.01953125,"gainUncertaintyPercent":0.3,"offsetUncertainty":0.01}},"adcBits":10,"clockUncertaintyPercent":0.15,"supply":{"voltageV":{"nominal":13,"tolerancePercent":2},"sourceResistanceOhm":0.04},"feedShuntOhm":0.00125,"motorShuntOhm":0.00125,"feedContactOhm":0.02875,"limitedFeedOhm":12,"leadLoadOhm":22000,"leadClampV":30,"deadTimeS":0.3,"longestHoldS":5,"trip":{"motorCurrentA":30,"feedCurrentA":30,"samples":3}},"plan":{"id":"throw-both-ways","title":"Limited feed first, then throw both ways","kind":"plan","steps":[{"position":"rest","durationS":0.2,"feed":"limited"},{"position":"forward","durationS":0.2,"feed":"limited"},{"position":"rest","durationS":0.35,"feed":"limited"},{"position":"reverse","durationS":0.2,"feed":"limited"},{"position":"rest","durationS":0.1,"feed":"limited"},{"position":"rest","durationS":0.3,"feed":"full"},{"position":"forward","durationS":0.9,"feed":"full"},{"position":"rest","durationS":0.7,"feed":"full"},{"position":"reverse","durationS":0.9,"feed":"full"},{"position":"rest","durationS":0.7,"feed":"full"}]}}','{"rigId":"bench-1","model":"reference-rig","firmwareVersion":"1.0.0","protocolVersion":"1","port":"virtual"}','0.1.0','pass','Runs 1.5 A both ways and coasts when released.','{"verdict":"pass","sentence":"Runs 1.5 A both ways and coasts when released.","checks":[{"id":"running-current-forward","sentence":"Running current forward 1.52 A, expected 1.2 to 1.8 A.","value":1.52,"unit":"A","expandedUncertainty":0.03,"lower":1.2,"upper":1.8,"outcome":"pass","required":true,"origin":"model"},{"id":"coil-current","sentence":"Coil current not tested.","outcome":"not-tested","required":false,"origin":"model"}],"findings":[{"id":"motor-open","likelihood":0.1,"sentence":"Unlikely.","nextProbe":"None."}],"measured":{"runningCurrentForwardA":{"value":1.52,"unit":"A","standardUncertainty":0.015,"degreesOfFreedom":{"$number":"Infinity"},"expandedUncertainty":0.03}}}',NULL,'{}',NULL,'vm',10211,'2026-11-29T15:37:09.098Z');
INSERT INTO runs VALUES('2024-06-11-0002','V-0108','finished','2024-06-11T08:30:00.000Z','2024-06-11T08:30:05.000Z','roof-vent-switch','{"unit":{"id":"roof-vent-switch","title":"Roof vent on its six-terminal switch","kind":"unit","circuit":"switch-carried-open-rest","motor":"roof-vent","subject":"harness-with-motor","rig":"reference-rig","wiring":{"lengthM":2.5,"areaMm2":1},"temperatureC":{"nominal":20,"plusMinus":20},"rules":{"conditionalPassCounts":true,"draws":80}},"style":{"id":"switch-carried-open-rest","title":"Six-terminal switch carries the motor, open at rest","kind":"circuit","summary":"A centre-off reversing switch joins the feed straight to the motor, one way round or the other. Released, it opens both leads, so the motor coasts and shows its own voltage between them.","hookUp":["Unplug the switch; put the harness onto the six screw terminals of the rig''s switch stand-in, c1 c2 a1 a2 b1 b2.","Feed wire of the harness to the rig''s feed, its ground wire to the rig''s ground.","Motor leads through the rig, lead A from a1, lead B from a2."],"restState":"open","release":"coast","thrownBy":"stand-in","triggerSide":"ground","polarity":{"forward":"positive","reverse":"negative"},"returnPath":{"forward":"from lead B through a2 and c2 to ground","reverse":"from lead A through a1, jumper a1-b2, b2 and c2 to ground"},"nodes":{},"elements":[{"id":"feed","title":"feed wire","kind":"wire","a":"rig.feed","b":"c1","role":"feed"},{"id":"ground","title":"ground wire","kind":"wire","a":"c2","b":"rig.ground","role":"ground"},{"id":"switch","title":"switch","kind":"switch","position":"rest","poles":[{"id":"pole-1","common":"c1","throws":{"forward":"a1","reverse":"b1"}},{"id":"pole-2","common":"c2","throws":{"forward":"a2","reverse":"b2"}}],"contactResistanceOhm":0.005,"transferS":0.004,"delayS":0.003},{"id":"jumper-a1-b2","title":"jumper a1-b2","kind":"wire","a":"a1","b":"b2","lengthM":0.1,"role":"jumper"},{"id":"jumper-a2-b1","title":"jumper a2-b1","kind":"wire","a":"a2","b":"b1","lengthM":0.1,"role":"jumper"},{"id":"lead-a","title":"motor lead A","kind":"wire","a":"a1","b":"rig.lead-a","role":"lead"},{"id":"lead-b","title":"motor lead B","kind":"wire","a":"a2","b":"rig.lead-b","role":"lead"},{"id":"motor","kind":"motor","a":"rig.motor-a","b":"rig.motor-b"}],"positions":{"rest":{"switch":"rest"},"forward":{"switch":"forward"},"reverse":{"switch":"reverse"}},"stations":{},"asks":{},"sense":{"feedCurrentA":{"current":"rig.feed-shunt"},"motorCurrentA":{"current":"rig.motor-shunt"},"coilCurrentA":{"current":"rig.coil-shunt"},"leadAVoltageV":{"voltage":"rig.motor-a"},"leadBVoltageV":{"voltage":"rig.motor-b"},"supplyVoltageV":{"voltage":"rig.supply"}}},"motor":{"id":"roof-vent","title":"Roof vent motor","kind":"motor","nominalVoltageV":12,"origin":"generic","resistanceOhm":{"nominal":2.2,"tolerancePercent":10},"inductanceH":{"nominal":0.0033,"tolerancePercent":12},"backEmfVsPerRad":{"nominal":0.0325,"tolerancePercent":8},"torqueNmPerA":{"nominal":0.0315,"tolerancePercent":8},"inertiaKgM2":{"nominal":0.000011,"tolerancePercent":10},"viscousNms":{"nominal":0.000051,"tolerancePercent":12},"coulombNm":{"nominal":0.016,"tolerancePercent":22},"family":{"runningA":{"least":0.2,"most":2},"heldA":{"least":2,"most":6}},"brushDropV":0.3,"brushKneeA":0.2,"longestHoldS":5},"rig":{"id":"reference-rig","title":"Reference rig","kind":"rig","scales":{"feedCurrentA":{"atZeroCount":-8,"perCount":0.078125,"gainUncertaintyPercent":0.5,"offsetUncertainty":0.03},"motorCurrentA":{"atZeroCount":-40,"perCount":0.078125,"gainUncertaintyPercent":0.5,"offsetUncertainty":0.03},"coilCurrentA":{"atZeroCount":0,"perCount":0.0009765625,"gainUncertaintyPercent":0.5,"offsetUncertainty":0.001},"leadAVoltageV":{"atZeroCount":-10,"perCount":0.029296875,"gainUncertaintyPercent":0.3,"offsetUncertainty":0.015},"leadBVoltageV":{"atZeroCount":-10,"perCount":0.029296875,"gainUncertaintyPercent":0.3,"offsetUncertainty":0.015},"supplyVoltageV":{"atZeroCount":0,"perCount":0.01953125,"gainUncertaintyPercent":0.3,"offsetUncertainty":0.01}},"adcBits":10,"clockUncertaintyPercent":0.15,"supply":{"voltageV":{"nominal":13,"tolerancePercent":2},"sourceResistanceOhm":0.04},"feedShuntOhm":0.00125,"motorShuntOhm":0.00125,"feedContactOhm":0.02875,"limitedFeedOhm":12,"leadLoadOhm":22000,"leadClampV":30,"deadTimeS":0.3,"longestHoldS":5,"trip":{"motorCurrentA":30,"feedCurrentA":30,"samples":3}},"plan":{"id":"throw-both-ways","title":"Limited feed first, then throw both ways","kind":"plan","steps":[{"position":"rest","durationS":0.2,"feed":"limited"},{"position":"forward","durationS":0.2,"feed":"limited"},{"position":"rest","durationS":0.35,"feed":"limited"},{"position":"reverse","durationS":0.2,"feed":"limited"},{"position":"rest","durationS":0.1,"feed":"limited"},{"position":"rest","durationS":0.3,"feed":"full"},{"position":"forward","durationS":0.9,"feed":"full"},{"position":"rest","durationS":0.7,"feed":"full"},{"position":"reverse","durationS":0.9,"feed":"full"},{"position":"rest","durationS":0.7,"feed":"full"}]}}','{"rigId":"bench-1","model":"reference-rig","firmwareVersion":"1.0.0","protocolVersion":"1","port":"virtual"}','0.1.0','fail','Runs 1.5 A both ways and coasts when released.','{"verdict":"fail","sentence":"Runs 1.5 A both ways and coasts when released.","checks":[{"id":"running-current-forward","sentence":"Running current forward 1.52 A, expected 1.2 to 1.8 A.","value":1.52,"unit":"A","expandedUncertainty":0.03,"lower":1.2,"upper":1.8,"outcome":"pass","required":true,"origin":"model"},{"id":"coil-current","sentence":"Coil current not tested.","outcome":"not-tested","required":false,"origin":"model"}],"findings":[{"id":"motor-open","likelihood":0.1,"sentence":"Unlikely.","nextProbe":"None."}],"measured":{"runningCurrentForwardA":{"value":1.52,"unit":"A","standardUncertainty":0.015,"degreesOfFreedom":{"$number":"Infinity"},"expandedUncertainty":0.03}}}',NULL,'{}',NULL,'vm',10211,'2026-11-29T15:37:09.106Z');
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
INSERT INTO checks VALUES('2024-06-11-0001',0,'running-current-forward','pass',1,'model','Running current forward 1.52 A, expected 1.2 to 1.8 A.',1.5200000000000000177,'A',0.029999999999999998889,1.1999999999999999555,1.8000000000000000444);
INSERT INTO checks VALUES('2024-06-11-0001',1,'coil-current','not-tested',0,'model','Coil current not tested.',NULL,NULL,NULL,NULL,NULL);
INSERT INTO checks VALUES('2024-06-11-0002',0,'running-current-forward','pass',1,'model','Running current forward 1.52 A, expected 1.2 to 1.8 A.',1.5200000000000000177,'A',0.029999999999999998889,1.1999999999999999555,1.8000000000000000444);
INSERT INTO checks VALUES('2024-06-11-0002',1,'coil-current','not-tested',0,'model','Coil current not tested.',NULL,NULL,NULL,NULL,NULL);
CREATE TABLE captures (
    run_id TEXT PRIMARY KEY REFERENCES runs (id),
    samples INTEGER NOT NULL,
    blob BLOB NOT NULL
  ) STRICT;
INSERT INTO captures VALUES('2024-06-11-0001',60,X'5442433164000000785eab562a4ecc2dc8492d56b23233d0514ace48cccb4bcd2956b28a56cacd2fc92f722e2d2a4acd2b7154d251ca494d4c710ccbcf29494c4f0d538ad5514a4f2c00298cd5819a11945892ea51a564656a6060a0a394975f0232353ab69641573751f74fe271dd497ff413a71cffa51b3fe9e81f517d8fc4ea29eb8e3ff825aceb165f3969cdd17b7f384595f4ad3d4213f3aa3ba62c5cb7ebf895076f199c9d8d9c571aed723ebd32cfe8dbae3a67f6d3fd2b7bf2028c44beddd835a72ed15995fde5e9b5fd852ba57bfee6dd0f3868b458a4f55bfa0dcf5dda737819646442653e86ee90a9ffb838946d4796ccb97ac38f5e8bff84ae638bdf21987558a6f49c5afd0dc3ae8ff3bcbe2df6ffb32294715d14dbe6789e1da982fb185ebf36787dc9a0f7b5c7254683f8de3daf253dca2fbd629430708f2feb5dbae7f26b2649438ff8f2be4b71af4a197b259618ec71bf1cffaa8ca95772a901c3a3475a8f7cb5d81eedf7dda33583ade451e07e5d5f963dc55a0f67f8b3ed2dd17e342b90637f99ee135f4d96077ba617fb69b13edc33a3d85f9bedd1de990c66662bcd92567e30ab4d625de9f361b2d9ad5ac52413d6eb2bab7ce43e1c9c9c6ac6716b4dadbfe2a7a4d3267358f3ae3bac14aa7aecb355aefd43c4412d062d2b67af80e0b0a8d884a4e4d4b48cacecdcfc82c2a2a2e292d2b2b2f28acaaaeaea9adabafafa8686c6c6a6a6a6e6e6969696d6d6b6b6b6f6f60e067bf201c328181ca0010f3c70e1c683272fde7cf8f4e5db8f5f7ffe31303231b3b0b2b173707271f3f0f2f10b08080a0a09090b8b88888a8a89898b4b48484a4a49494bcbc8c8caa2a70d071200ba13470105003d4e91e18603272e5cb971e7c1a327cf5ebc7af3eec3c74f9fbf7cfdf6fdc7cf5fbffffcfdf79f8181919189899999858595958d8d9d9d838393938b8b9b9b878797b7613f7e70000f000006646a61');
INSERT INTO captures VALUES('2024-06-11-0002',60,X'5442433164000000785eab562a4ecc2dc8492d56b23233d0514ace48cccb4bcd2956b28a56cacd2fc92f722e2d2a4acd2b7154d251ca494d4c710ccbcf29494c4f0d538ad5514a4f2c00298cd5819a11945892ea51a564656a6060a0a394975f0232353ab69641573751f74fe271dd497ff413a71cffa51b3fe9e81f517d8fc4ea29eb8e3ff825aceb165f3969cdd17b7f384595f4ad3d4213f3aa3ba62c5cb7ebf895076f199c9d8d9c571aed723ebd32cfe8dbae3a67f6d3fd2b7bf2028c44beddd835a72ed15995fde5e9b5fd852ba57bfee6dd0f3868b458a4f55bfa0dcf5dda737819646442653e86ee90a9ffb838946d4796ccb97ac38f5e8bff84ae638bdf21987558a6f49c5afd0dc3ae8ff3bcbe2df6ffb32294715d14dbe6789e1da982fb185ebf36787dc9a0f7b5c7254683f8de3daf253dca2fbd629430708f2feb5dbae7f26b2649438ff8f2be4b71af4a197b259618ec71bf1cffaa8ca95772a901c3a3475a8f7cb5d81eedf7dda33583ade451e07e5d5f963dc55a0f67f8b3ed2dd17e342b90637f99ee135f4d96077ba617fb69b13edc33a3d85f9bedd1de990c66662bcd92567e30ab4d625de9f361b2d9ad5ac52413d6eb2bab7ce43e1c9c9c6ac6716b4dadbfe2a7a4d3267358f3ae3bac14aa7aecb355aefd43c4412d062d2b67af80e0b0a8d884a4e4d4b48cacecdcfc82c2a2a2e292d2b2b2f28acaaaeaea9adabafafa8686c6c6a6a6a6e6e6969696d6d6b6b6b6f6f60e067bf201c328181ca0010f3c70e1c683272fde7cf8f4e5db8f5f7ffe31303231b3b0b2b173707271f3f0f2f10b08080a0a09090b8b88888a8a89898b4b48484a4a49494bcbc8c8caa2a70d071200ba13470105003d4e91e18603272e5cb971e7c1a327cf5ebc7af3eec3c74f9fbf7cfdf6fdc7cf5fbffffcfdf79f8181919189899999858595958d8d9d9d838393938b8b9b9b878797b7613f7e70000f000006646a61');
CREATE TABLE capture_chunks (
    run_id TEXT NOT NULL REFERENCES runs (id),
    place INTEGER NOT NULL,
    blob BLOB NOT NULL,
    PRIMARY KEY (run_id, place)
  ) STRICT;
CREATE TABLE chain (
    place INTEGER PRIMARY KEY,
    run_id TEXT NOT NULL UNIQUE REFERENCES runs (id),
    previous_hash TEXT NOT NULL,
    hash TEXT NOT NULL
  ) STRICT;
INSERT INTO chain VALUES(1,'2024-06-11-0001','0000000000000000000000000000000000000000000000000000000000000000','3ea2f66de029c847545b50749061544eddbac8cbdea1cc80b46efaa44dc80478');
INSERT INTO chain VALUES(2,'2024-06-11-0002','3ea2f66de029c847545b50749061544eddbac8cbdea1cc80b46efaa44dc80478','bbc788f2c42854c223fb449944aec280cf4467e14268aab9a9360039f909608b');
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
COMMIT;
