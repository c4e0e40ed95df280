-- Schema 7: people who sign in, what they are, where they are signed in, and how often it failed.
--
-- Secrets are never here: a password or PIN as an Argon2id text, the code of a badge and the token of
-- a session as SHA-256. Nobody is ever deleted, so that a name under a record keeps its meaning.
-- Written like 001_first.sql.

-- People
CREATE TABLE "person" (
    "person_id"                TEXT NOT NULL CHECK (length("person_id") BETWEEN 2 AND 32 AND
        ltrim("person_id", 'abcdefghijklmnopqrstuvwxyz0123456789-_.') = ''),
    "name"                     TEXT NOT NULL CHECK (length("name") BETWEEN 1 AND 80),
    "active"                   INTEGER NOT NULL DEFAULT 1 CHECK ("active" IN (0, 1)),
    "password_hash"            TEXT CHECK ("password_hash" LIKE '$argon2id$%'),
    "badge_hash"               TEXT CHECK (length("badge_hash") = 64),
    "pin_hash"                 TEXT CHECK ("pin_hash" LIKE '$argon2id$%'),
    "created_utc_ms"           INTEGER NOT NULL
        CHECK ("created_utc_ms" BETWEEN 946684800000 AND 4102358400000),
    PRIMARY KEY ("person_id"),
    CHECK (("badge_hash" IS NULL) = ("pin_hash" IS NULL))
) STRICT;

CREATE UNIQUE INDEX "person_of_badge" ON "person" ("badge_hash");

-- What they are
CREATE TABLE "person_role" (
    "person_id"                TEXT NOT NULL REFERENCES "person" ("person_id"),
    "role"                     TEXT NOT NULL
        CHECK ("role" IN ('technologist', 'lab', 'weigh-room', 'operator', 'finisher', 'planner',
            'quality', 'manager')),
    PRIMARY KEY ("person_id", "role")
) STRICT;

-- Where they are signed in
CREATE TABLE "session" (
    "token_sha256"             TEXT NOT NULL CHECK (length("token_sha256") = 64),
    "person_id"                TEXT NOT NULL REFERENCES "person" ("person_id"),
    "by_pin"                   INTEGER NOT NULL CHECK ("by_pin" IN (0, 1)),
    "device"                   TEXT NOT NULL CHECK (length("device") <= 200),
    "address"                  TEXT NOT NULL CHECK (length("address") <= 64),
    "created_utc_ms"           INTEGER NOT NULL,
    "last_seen_utc_ms"         INTEGER NOT NULL,
    "expires_utc_ms"           INTEGER NOT NULL CHECK ("expires_utc_ms" > "created_utc_ms"),
    "locked"                   INTEGER NOT NULL DEFAULT 0 CHECK ("locked" IN (0, 1)),
    PRIMARY KEY ("token_sha256")
) STRICT;

CREATE INDEX "session_of_person" ON "session" ("person_id");

-- Failures of late, for the wait before the next try
CREATE TABLE "sign_in_try" (
    "account"                  TEXT NOT NULL CHECK (length("account") <= 64),
    "address"                  TEXT NOT NULL CHECK (length("address") <= 64),
    "failures"                 INTEGER NOT NULL CHECK ("failures" >= 1),
    "last_utc_ms"              INTEGER NOT NULL,
    PRIMARY KEY ("account", "address")
) STRICT;
