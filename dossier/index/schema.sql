-- The index of one office folder. The folders are the truth; this file is a convenience that can be thrown
-- away and made again from them. It holds addresses and telephones of owners: it is the office's own.
--
-- Days are text, YYYY-MM-DD. Blank means: the record does not say. Quantities are text as exact numbers,
-- since a lot's count is copied, never added up here. No figure that depends on today is kept.

-- complete: yes, once every folder of the office has been looked at.
CREATE TABLE about (name TEXT PRIMARY KEY, value TEXT NOT NULL) WITHOUT ROWID;

-- One row a folder that holds a job.yaml.
CREATE TABLE job (
    id INTEGER PRIMARY KEY,              -- Made from contract day and folder, so that later jobs come later.
    folder TEXT NOT NULL UNIQUE,         -- From the office folder, with forward slashes.
    stamp TEXT NOT NULL,                 -- Size and time of the files this row was made from.
    number TEXT NOT NULL,                -- The office's number; the folder's name where the record is unreadable.
    address TEXT NOT NULL,
    locality TEXT NOT NULL,
    permit TEXT NOT NULL,
    contract_on TEXT NOT NULL,
    last_shingle_on TEXT NOT NULL,       -- Last day of the phases field and hip and ridge.
    completion_on TEXT NOT NULL,         -- The owner signed that the work is complete.
    redecked TEXT NOT NULL,              -- whole, part, overlaid or no: the most that any deck says; blank: none does.
    is_sealed INTEGER NOT NULL,          -- 1 where sealed/ holds a close-out.
    punch_list TEXT NOT NULL,            -- none, current, older than the record, older than the photos or papers,
                                         -- or unreadable; by times of files, not by what is in them.
    spare TEXT NOT NULL,                 -- Shingles left with the owner, as typed.
    fault TEXT NOT NULL                  -- What of this job could not be read; blank: nothing.
);

-- Who owned the house when the roof was laid, and who bought it later. till_on: the day it was sold on.
CREATE TABLE owner (
    job INTEGER NOT NULL, place INTEGER NOT NULL,
    name TEXT NOT NULL, phone TEXT NOT NULL, email TEXT NOT NULL, mailing_address TEXT NOT NULL,
    from_on TEXT NOT NULL, till_on TEXT NOT NULL,
    PRIMARY KEY (job, place)
) WITHOUT ROWID;

-- One row a line of a ticket. marked: all, some or none of its units have a lot on record.
CREATE TABLE product (
    job INTEGER NOT NULL, place INTEGER NOT NULL,
    role TEXT NOT NULL, product TEXT NOT NULL, product_key TEXT NOT NULL, maker TEXT NOT NULL,
    colour TEXT NOT NULL, quantity TEXT NOT NULL, returned TEXT NOT NULL, unit TEXT NOT NULL,
    ticket TEXT NOT NULL, supplier TEXT NOT NULL, delivered_on TEXT NOT NULL, marked TEXT NOT NULL,
    PRIMARY KEY (job, place)
) WITHOUT ROWID;
CREATE INDEX product_by_name ON product (product_key, marked);

-- One row a lot on a line, and one a mark that a correction after close-out took away, so that a recall finds
-- both. mark_key: in lower case without spaces; leading zeros stay. line: -1 where its product is on no line now.
-- Form 2 adds corrected: since when the mark stands, or until when it stood; blank where it was never corrected.
CREATE TABLE lot (
    job INTEGER NOT NULL, place INTEGER NOT NULL, line INTEGER NOT NULL,
    mark TEXT NOT NULL, mark_key TEXT NOT NULL, quantity TEXT NOT NULL, slopes TEXT NOT NULL,
    PRIMARY KEY (job, place)
) WITHOUT ROWID;
CREATE INDEX lot_by_mark ON lot (mark_key);

-- One row a warranty asked for. due_on: last day to register; blank where its first day or sheet is not known.
-- registered_on: the day that meets the terms (sent, received or accepted, as they ask).
CREATE TABLE registration (
    job INTEGER NOT NULL, place INTEGER NOT NULL,
    sheet TEXT NOT NULL, level TEXT NOT NULL, needed TEXT NOT NULL, -- needed: yes, no, cannot tell.
    due_on TEXT NOT NULL, registered_on TEXT NOT NULL, confirmation TEXT NOT NULL,
    PRIMARY KEY (job, place)
) WITHOUT ROWID;
CREATE INDEX registration_open ON registration (needed, due_on) WHERE registered_on = '';

-- One row a line of the punch list as build wrote it last.
CREATE TABLE item (
    job INTEGER NOT NULL, place INTEGER NOT NULL,
    rule TEXT NOT NULL, weight TEXT NOT NULL, verdict TEXT NOT NULL, party TEXT NOT NULL,
    holds TEXT NOT NULL, due_on TEXT NOT NULL, says TEXT NOT NULL, remedy TEXT NOT NULL,
    PRIMARY KEY (job, place)
) WITHOUT ROWID;

-- One row a deadline that is not met. what_kind: registration, punch list, transfer or claim.
CREATE TABLE deadline (
    job INTEGER NOT NULL, place INTEGER NOT NULL,
    due_on TEXT NOT NULL, what_kind TEXT NOT NULL, what TEXT NOT NULL,
    PRIMARY KEY (job, place)
) WITHOUT ROWID;
CREATE INDEX deadline_by_day ON deadline (due_on);

-- One row a later entry beside the sealed folder: registration confirmed, sold, claim, and so on.
CREATE TABLE entry (
    job INTEGER NOT NULL, place INTEGER NOT NULL,
    folder TEXT NOT NULL, kind TEXT NOT NULL, on_day TEXT NOT NULL, number TEXT NOT NULL, says TEXT NOT NULL,
    PRIMARY KEY (job, place)
) WITHOUT ROWID;

-- The words of a job for full-text search; rowid is the job's id.
CREATE VIRTUAL TABLE said USING fts5 (
    number, address, owner, phone, permit, claim, product, lot, note,
    tokenize = "unicode61 remove_diacritics 2", prefix = '3'
);

-- The words of addresses alone, so that a misspelt street is looked for among streets.
CREATE VIRTUAL TABLE street USING fts5 (
    address, tokenize = "unicode61 remove_diacritics 2", detail = none, columnsize = 0
);
CREATE VIRTUAL TABLE street_word USING fts5vocab (street, 'row');
