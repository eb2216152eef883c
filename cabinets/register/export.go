package register

import (
	"bufio"
	"bytes"
	"cmp"
	"database/sql"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
)

// exportFile holds the entries, one JSON value a line, after a line that names the format.
const (
	exportFile   = "register.jsonl"
	exportFormat = "sawbook-register-1"
	filesFolder  = "files" // of builds, named by their digests
)

type exportHead struct {
	Format string `json:"format"`
}

// Export writes all that the register holds as plain files, by calling create with each one's name.
func (r *Register) Export(create func(name string, content func(io.Writer) error) error) error {
	if err := r.exportFiles(create); err != nil {
		return err
	}
	return create(exportFile, func(w io.Writer) error {
		out := json.NewEncoder(w)
		out.SetEscapeHTML(false) // the bytes of a body are part of its digest
		return r.read(func(tx *sql.Tx) error {
			if err := out.Encode(exportHead{exportFormat}); err != nil {
				return err
			}
			return entries(tx, 1, func(e *Entry) error { return out.Encode(e) })
		})
	})
}

// exportFiles writes the files of builds, each under its digest.
func (r *Register) exportFiles(create func(name string, content func(io.Writer) error) error) error {
	builds, err := r.Builds()
	if err != nil {
		return err
	}
	written := map[string]bool{}
	for _, b := range builds {
		for _, f := range slices.Concat(b.Files, b.Sources) {
			if written[f.Digest] {
				continue
			}
			written[f.Digest] = true
			content, err := r.Bytes([]File{f})
			if err != nil {
				return err
			}
			if err := create(filesFolder+"/"+f.Digest, func(w io.Writer) error {
				_, err := w.Write(content[f.Name])
				return err
			}); err != nil {
				return err
			}
		}
	}
	return nil
}

// Rebuild makes the register of a shop's folder from an export, and returns the newest entry. A register that is there is
// never replaced.
func Rebuild(folder, export string) (last *Entry, err error) {
	f, err := os.Open(filepath.Join(export, exportFile))
	if errors.Is(err, fs.ErrNotExist) {
		return nil, fmt.Errorf("%s holds no %s\nhint: name the folder that sawbook stock export wrote", cmp.Or(export, "''"), exportFile)
	} else if err != nil {
		return nil, err
	}
	defer f.Close()
	err = create(folder, func(r *Register) error {
		last, err = r.enterAll(f, os.DirFS(export))
		return err
	})
	if errors.Is(err, fs.ErrExist) {
		err = fmt.Errorf("%w\nhint: move it away first; nothing was changed", err)
	}
	return last, err
}

// enterAll writes the entries of an export.
func (r *Register) enterAll(from io.Reader, export fs.FS) (last *Entry, err error) {
	last = &Entry{}
	err = r.change(func(tx *sql.Tx) error {
		lines := bufio.NewReader(from)
		for n := 0; ; n++ {
			line, err := lines.ReadBytes('\n')
			if len(bytes.TrimSpace(line)) == 0 && err == io.EOF {
				return nil
			}
			if err != nil && err != io.EOF {
				return err
			}
			if n == 0 {
				err = readHead(line)
			} else {
				last, err = enterLine(tx, last, line, export)
			}
			if err != nil {
				return fmt.Errorf("%s:%d: %w\nhint: take an older export; nothing was changed", exportFile, n+1, err)
			}
		}
	})
	return last, err
}

func readHead(line []byte) error {
	var head exportHead
	if err := json.Unmarshal(line, &head); err != nil || head.Format != exportFormat {
		return fmt.Errorf("the first line does not say %s", exportFormat)
	}
	return nil
}

func enterLine(tx *sql.Tx, last *Entry, line []byte, export fs.FS) (*Entry, error) {
	e := &Entry{}
	if err := json.Unmarshal(line, e); err != nil {
		return last, err
	}
	if err := e.follows(last); err != nil {
		return last, err
	}
	if e.Kind == Built {
		if err := e.keepFiles(tx, export); err != nil {
			return last, err
		}
	}
	return e, enter(tx, e)
}

// keepFiles stores the files of a build from an export.
func (e *Entry) keepFiles(tx *sql.Tx, export fs.FS) error {
	var record Record
	if err := json.Unmarshal(e.Body, &record); err != nil {
		return err
	}
	for _, f := range slices.Concat(record.Files, record.Sources) {
		content, err := fs.ReadFile(export, filesFolder+"/"+f.Digest)
		if err != nil {
			return err
		}
		if sumOf(content) != f.Digest {
			return fmt.Errorf("%w: %s/%s is not as it was exported", errDamaged, filesFolder, f.Digest)
		}
		if err := keep(tx, content); err != nil {
			return err
		}
	}
	return nil
}
