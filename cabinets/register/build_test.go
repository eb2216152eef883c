package register

import (
	"fmt"
	"os"
	"path/filepath"
	"testing"

	"sawbook/cabinets"

	"github.com/google/go-cmp/cmp"
)

// builtOne records the small shop's batch with a few files of the test's own.
func builtOne(t *testing.T, folder string, r *Register, printed Bytes) (*Entry, error) {
	t.Helper()
	record, err := RecordOf(plan(t, folder, r, 0), "sawbook test", func(*cabinets.Definition) (string, error) { return sumOf(nil), nil })
	if err != nil {
		t.Fatal(err)
	}
	return r.Build(someone("cut"), record, printed, Bytes{"shop.yaml": []byte("shop: Small shop\n")})
}

func TestBuiltAndShownAgain(t *testing.T) {
	folder, r := started(t)
	printed := Bytes{"index.html": []byte("<p>a book</p>"), "diagrams/A-1.svg": {0, 255, 13, 10}, "empty.txt": {}}
	if _, err := builtOne(t, folder, r, printed); err != nil {
		t.Fatal(err)
	}
	_, err := builtOne(t, folder, r, printed)
	says(t, err, "vehicle 1 of one is recorded already, by entry 1")
	done(t)(r.Note(someone("noted"), "2", "a side planed\n1 mm"))

	again, err := rebuilt(t, r)
	if err != nil {
		t.Fatal(err)
	}
	for _, r := range []*Register{r, again} {
		builds, err := r.BuildsOf("2")
		if err != nil {
			t.Fatal(err)
		}
		got, err := r.Bytes(builds[0].Files)
		if diff := cmp.Diff(printed, got); diff != "" || err != nil {
			t.Errorf("the files differ: %v\n%s", err, diff)
		}
		if len(builds) != 1 || len(builds[0].Notes) != 1 || builds[0].Notes[0].Text() != "a side planed 1 mm" {
			t.Errorf("builds %+v", builds)
		}
		if p, err := builds[0].Piece("first.shelf-1"); err != nil || p.Number != "A-004" {
			t.Errorf("piece %+v: %v", p, err)
		}
		if _, err := r.Verify(); err != nil {
			t.Error(err)
		}
	}
	if j := plan(t, folder, r, 2); j.Batch.Memory.Newest == "" || j.Batch.Memory.Newest == plan(t, folder, r, 1).Batch.Memory.Newest {
		t.Error("a book is to name the newest digest, of the note")
	}
}

// rebuilt rebuilds a register in another shop.
func rebuilt(t *testing.T, r *Register) (*Register, error) {
	t.Helper()
	fresh := newShop(t)
	if _, err := Rebuild(fresh, exported(t, r)); err != nil {
		return nil, err
	}
	again, err := Open(fresh)
	if err == nil {
		t.Cleanup(func() { again.Close() })
	}
	return again, err
}

func TestAlteredBuildsAreFound(t *testing.T) {
	for alter, want := range map[string]string{
		"UPDATE files SET bytes = (SELECT bytes FROM files ORDER BY digest LIMIT 1)":      "is not as it was kept",
		"PRAGMA foreign_keys = 0; DELETE FROM files":                                      "no rows",
		"UPDATE entries SET body = replace(body, '\"serial\":\"1\"', '\"serial\":\"9\"')": "entry 1 is not as it was written",
	} {
		folder, r := started(t)
		if _, err := builtOne(t, folder, r, Bytes{"a": []byte("one"), "b": []byte("two")}); err != nil {
			t.Fatal(err)
		}
		if _, err := r.Verify(); err != nil {
			t.Fatal(err)
		}
		if _, err := r.db.Exec(alter); err != nil {
			t.Fatal(err)
		}
		_, err := r.Verify()
		says(t, err, want)
	}
}

// A file of a build that is missing from an export, or differs, is found before there is a register.
func TestRebuildWantsEveryFile(t *testing.T) {
	folder, r := started(t)
	if _, err := builtOne(t, folder, r, Bytes{"a": []byte("one")}); err != nil {
		t.Fatal(err)
	}
	export := exported(t, r)
	kept := filepath.Join(export, filesFolder, sumOf([]byte("one")))
	write(t, kept, []byte("two"))
	fresh := newShop(t)
	_, err := Rebuild(fresh, export)
	says(t, err, "is not as it was exported")
	if err := os.Remove(kept); err != nil {
		t.Fatal(err)
	}
	_, err = Rebuild(fresh, export)
	says(t, err, "no such file")
	if _, err := os.Stat(filepath.Join(fresh, FileName)); err == nil {
		t.Error("a register came to be")
	}
}

// A register of the first schema goes through the steps that it lacks, and keeps what it has.
func TestMigrated(t *testing.T) {
	all := steps
	t.Cleanup(func() { steps = all })
	steps = all[:1]
	folder, r := started(t)
	done(t)(r.Receive(someone("note"), priced(birch, 7400), One))
	if err := r.Close(); err != nil {
		t.Fatal(err)
	}
	steps = all
	r, err := Open(folder)
	if err != nil {
		t.Fatal(err)
	}
	defer r.Close()
	if got := left(t, r, birch); got != One {
		t.Errorf("%s sheets after the migration, want 1", got)
	}
	if _, err := builtOne(t, folder, r, Bytes{"a": []byte("one")}); err != nil {
		t.Error(err)
	}
	steps = all[:1]
	_, err = Open(folder)
	says(t, err, fmt.Sprintf("is a register of version %d, and this sawbook knows up to 1", len(all)))
}
