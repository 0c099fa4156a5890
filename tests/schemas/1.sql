-- Schema 1: what is known of the loaded spec book.
PRAGMA user_version = 1;
CREATE TABLE book_meta (key TEXT PRIMARY KEY, value TEXT NOT NULL) STRICT, WITHOUT ROWID;
INSERT INTO book_meta VALUES ('content_hash', '00000000000000000000000000000000');
INSERT INTO book_meta VALUES ('origin', 'compiled-in');
