-- Schema 9: who may release, and the device that a session belongs to.
--
-- Written like 001_first.sql; the new columns as in 002_effluent.sql.

-- Site: whoever accepted a reading outside its limits does not release the lot
ALTER TABLE "site" ADD COLUMN "release_by_other" INTEGER CHECK ("release_by_other" IN (0, 1));

-- Sessions: of the key that the page at that device holds; '': bound to no device
ALTER TABLE "session" ADD COLUMN "device_sha256" TEXT NOT NULL DEFAULT ''
    CHECK (length("device_sha256") IN (0, 64));
