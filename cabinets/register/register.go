// Package register is the shop's memory: what lies in stock, and what each vehicle was built from. It is one SQLite file
// beside the shop file. Every change is an entry with time, user and reason, in a chain of digests; all else in the file
// follows from the entries, and can be made again from them.
package register

import (
	"context"
	"database/sql"
	"errors"
	"fmt"
	"io/fs"
	"net/url"
	"os"
	"path/filepath"
	"runtime"
	"strings"

	"modernc.org/sqlite"
	sqlite3 "modernc.org/sqlite/lib"
)

// FileName is the name of a register in its shop's folder.
const FileName = "register.db"

// ErrNone means that the shop keeps no register yet.
var ErrNone = errors.New("the shop keeps no register yet")

// Register is an open register. It may be used by several goroutines and processes at once.
type Register struct {
	path string
	db   *sql.DB
}

// Open opens the register of a shop's folder, and brings an older one up to date. The error is ErrNone where there is
// none; a damaged, foreign or newer file is an error that says so, and stays as it is.
func Open(folder string) (*Register, error) {
	path := filepath.Join(folder, FileName)
	if _, err := os.Stat(path); errors.Is(err, fs.ErrNotExist) {
		return nil, fmt.Errorf("%s: %w\nhint: sawbook stock receive, or stock offcut, starts one", path, ErrNone)
	} else if err != nil {
		return nil, err
	}
	r, err := open(path)
	if err != nil {
		return nil, err
	}
	if err := r.migrate(); err != nil {
		return nil, errors.Join(err, r.Close())
	}
	return r, nil
}

// OpenOrCreate is Open that starts a register where there is none.
func OpenOrCreate(folder string) (*Register, error) {
	r, err := Open(folder)
	if !errors.Is(err, ErrNone) {
		return r, err
	}
	if err := create(folder, func(*Register) error { return nil }); err != nil && !errors.Is(err, fs.ErrExist) {
		return nil, err
	}
	return Open(folder)
}

// Close closes the register.
func (r *Register) Close() error { return r.db.Close() }

// create makes a register under another name, fills it, and gives it its own name, unless another process was first
// (fs.ErrExist). So there is a whole register or none.
func create(folder string, fill func(*Register) error) error {
	path := filepath.Join(folder, FileName)
	for _, beside := range []string{"", "-wal", "-shm", "-journal"} {
		if _, err := os.Lstat(path + beside); !errors.Is(err, fs.ErrNotExist) {
			return errors.Join(err, fmt.Errorf("%s%s: %w", path, beside, fs.ErrExist))
		}
	}
	partial, err := os.MkdirTemp(folder, "."+FileName+".partial-")
	if err != nil {
		return err
	}
	defer os.RemoveAll(partial) // a leftover hurts nobody
	made := filepath.Join(partial, FileName)
	if err := os.WriteFile(made, nil, 0o644); err != nil {
		return err
	}
	r, err := open(made)
	if err != nil {
		return err
	}
	if err = r.migrate(); err == nil {
		err = fill(r)
	}
	if err == nil {
		err = r.settle()
	}
	if err = errors.Join(err, r.Close()); err != nil {
		return err
	}
	err = os.Link(made, path) // unlike a renaming, it replaces nothing
	if err != nil && !errors.Is(err, fs.ErrExist) {
		err = os.Rename(made, path) // not every disk has links
	}
	return errors.Join(err, syncFolder(folder))
}

// settle moves all of a register into its one file. Closing does so too, but tells nobody when the disk refuses it.
func (r *Register) settle() error {
	var busy, pages, moved int
	if err := r.db.QueryRow("PRAGMA wal_checkpoint(TRUNCATE)").Scan(&busy, &pages, &moved); err != nil {
		return r.explain(err)
	}
	if busy != 0 {
		return fmt.Errorf("%s: is in use", r.path)
	}
	return nil
}

// syncFolder brings a new name in a folder to the disk, where the system can.
func syncFolder(folder string) error {
	if runtime.GOOS == "windows" {
		return nil
	}
	f, err := os.Open(folder)
	if err != nil {
		return err
	}
	return errors.Join(f.Sync(), f.Close())
}

// open opens a file that is there.
func open(path string) (*Register, error) {
	abs, err := filepath.Abs(path)
	if err != nil {
		return nil, err
	}
	abs = filepath.ToSlash(abs)
	if !strings.HasPrefix(abs, "/") { // a drive letter
		abs = "/" + abs
	}
	// A transaction that may write locks at its begin, so that it decides on what it changes. FULL: what was booked is on
	// the disk before the command says so.
	name := url.URL{Scheme: "file", Path: abs, RawQuery: "mode=rw&_txlock=immediate&_dqs=0" +
		"&_pragma=busy_timeout(10000)&_pragma=journal_mode(wal)&_pragma=synchronous(full)&_pragma=foreign_keys(1)"}
	db, err := sql.Open("sqlite", name.String())
	if err != nil {
		return nil, err
	}
	db.SetMaxOpenConns(1)
	return &Register{path, db}, nil
}

// read runs what only reads, on one state of the register.
func (r *Register) read(run func(*sql.Tx) error) error {
	return r.within(&sql.TxOptions{ReadOnly: true}, run)
}

// change runs what changes the register: all of it comes to be, or nothing.
func (r *Register) change(run func(*sql.Tx) error) error {
	return r.within(nil, func(tx *sql.Tx) error {
		if err := sound(tx); err != nil {
			return err
		}
		return run(tx)
	})
}

func (r *Register) within(o *sql.TxOptions, run func(*sql.Tx) error) error {
	tx, err := r.db.BeginTx(context.Background(), o)
	if err != nil {
		return r.explain(err)
	}
	defer tx.Rollback() // nothing is left to roll back once it is committed
	if err := run(tx); err != nil {
		return r.explain(err)
	}
	return r.explain(tx.Commit())
}

// errDamaged means that the file holds what no sawbook wrote.
var errDamaged = errors.New("damaged")

// sound reports what SQLite finds wrong with the file, before it is changed.
func sound(tx *sql.Tx) error {
	var said string
	if err := tx.QueryRow("PRAGMA quick_check(1)").Scan(&said); err != nil {
		return err
	}
	if said != "ok" {
		return fmt.Errorf("%w: %s", errDamaged, strings.ReplaceAll(said, "\n", " "))
	}
	return nil
}

// explain says what an error of the library means for the shop.
func (r *Register) explain(err error) error {
	var lib *sqlite.Error
	if errors.Is(err, errDamaged) {
		return r.damaged(err.Error())
	}
	if !errors.As(err, &lib) {
		return err
	}
	switch lib.Code() & 0xff { // the rest tells variants apart
	case sqlite3.SQLITE_BUSY, sqlite3.SQLITE_LOCKED:
		return fmt.Errorf("%s: another sawbook has been booking for 10 s\nhint: try again; nothing was changed", r.path)
	case sqlite3.SQLITE_NOTADB, sqlite3.SQLITE_CORRUPT:
		return r.damaged(lib.Error())
	case sqlite3.SQLITE_READONLY, sqlite3.SQLITE_CANTOPEN, sqlite3.SQLITE_PERM:
		return fmt.Errorf("%s: cannot be written or opened\nhint: check the permissions of the file and of its folder; nothing was changed", r.path)
	case sqlite3.SQLITE_FULL, sqlite3.SQLITE_IOERR:
		return fmt.Errorf("%s: the disk is full or failing (%w)\nhint: make room and try again; nothing was changed", r.path, lib)
	}
	return fmt.Errorf("%s: %w", r.path, lib)
}

func (r *Register) damaged(what string) error {
	return fmt.Errorf("%s: is no register, or a damaged one (%s)\nhint: move it away with what stands beside it under its name, and run sawbook stock rebuild FOLDER with the newest export; nothing was changed", r.path, what)
}
