package register

import (
	"database/sql"
	"fmt"
)

// application marks the file as a register among SQLite files: "SAWB".
const application = 0x53415742

// steps make the schema, each from that before it; a register's version is how many it has gone through. A step that has
// been released never changes.
var steps = []string{
	// 1: stock. Quantities are in thousandths, lengths in nanometres, prices in minor units.
	`CREATE TABLE entries (
		seq INTEGER PRIMARY KEY CHECK (seq > 0),
		time TEXT NOT NULL, user TEXT NOT NULL, reason TEXT NOT NULL,
		kind TEXT NOT NULL, body TEXT NOT NULL,
		previous TEXT NOT NULL UNIQUE, digest TEXT NOT NULL UNIQUE
	) STRICT;
	CREATE TABLE lots (
		lot INTEGER PRIMARY KEY, seq INTEGER NOT NULL REFERENCES entries, body TEXT NOT NULL,
		label TEXT UNIQUE, -- of an offcut
		left INTEGER NOT NULL DEFAULT 0 CHECK (left >= 0)
	) STRICT;
	CREATE TABLE moves (
		seq INTEGER NOT NULL REFERENCES entries, lot INTEGER NOT NULL REFERENCES lots, quantity INTEGER NOT NULL
	) STRICT;
	CREATE INDEX moves_lot ON moves (lot);
	CREATE TABLE taken (digest TEXT PRIMARY KEY, seq INTEGER NOT NULL UNIQUE REFERENCES entries) STRICT;
	CREATE TABLE undone (seq INTEGER PRIMARY KEY REFERENCES entries, by INTEGER NOT NULL UNIQUE REFERENCES entries) STRICT;`,
	// 2: builds.
	`CREATE TABLE files (digest TEXT PRIMARY KEY, bytes BLOB NOT NULL) STRICT; -- of the bytes before they were compressed
	CREATE TABLE builds (
		serial TEXT NOT NULL, batch TEXT NOT NULL, seq INTEGER NOT NULL REFERENCES entries, PRIMARY KEY (serial, batch)
	) STRICT;
	CREATE TABLE built_files (
		seq INTEGER NOT NULL REFERENCES entries, digest TEXT NOT NULL REFERENCES files, PRIMARY KEY (seq, digest)
	) STRICT;`,
	// 3: what is cut at the saw.
	`CREATE TABLE cuttings (
		cutting TEXT NOT NULL, revision INTEGER NOT NULL, seq INTEGER NOT NULL UNIQUE REFERENCES entries, PRIMARY KEY (cutting, revision)
	) STRICT;
	CREATE TABLE ticks ( -- as they are now
		cutting TEXT NOT NULL, item TEXT NOT NULL, ticked INTEGER NOT NULL CHECK (ticked IN (0, 1)),
		seq INTEGER NOT NULL REFERENCES entries, PRIMARY KEY (cutting, item)
	) STRICT;
	CREATE TABLE asked ( -- what was asked for is done once
		id TEXT PRIMARY KEY, seq INTEGER NOT NULL UNIQUE REFERENCES entries
	) STRICT;`,
	// 4: no other tables, but entries that add recuts to a batch that was booked out before. A sawbook that does not know
	// them would take back what they add to.
	``,
}

// migrate takes the register through the steps that it lacks. A newer register is refused.
func (r *Register) migrate() error {
	fresh := true
	err := r.read(func(tx *sql.Tx) error {
		version, err := r.version(tx)
		fresh = version < len(steps)
		return err
	})
	if err != nil || !fresh {
		return err
	}
	for step := range steps {
		err := r.change(func(tx *sql.Tx) error {
			version, err := r.version(tx)
			if err != nil || version != step { // another process may have been first
				return err
			}
			_, err = tx.Exec(steps[step] + fmt.Sprintf("PRAGMA application_id = %d; PRAGMA user_version = %d;", application, step+1))
			return err
		})
		if err != nil {
			return err
		}
	}
	return nil
}

// version returns how many steps the register has gone through.
func (r *Register) version(tx *sql.Tx) (version int, err error) {
	var owner, tables int
	for query, into := range map[string]*int{
		"PRAGMA user_version": &version, "PRAGMA application_id": &owner, "SELECT count(*) FROM sqlite_schema": &tables,
	} {
		if err := tx.QueryRow(query).Scan(into); err != nil {
			return 0, err
		}
	}
	switch {
	case version > len(steps) && owner == application:
		return 0, fmt.Errorf("%s: is a register of version %d, and this sawbook knows up to %d\nhint: use the sawbook that wrote it, or a newer one; nothing was changed", r.path, version, len(steps))
	case owner != application && tables > 0:
		return 0, fmt.Errorf("%s: belongs to another program\nhint: move it away; nothing was changed", r.path)
	}
	return version, nil
}
