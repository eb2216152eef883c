// Package folder writes a folder whole or not at all: under another name first, then
// renamed, so that no run leaves half of one.
package folder

import (
	"bufio"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"runtime"

	"github.com/moby/sys/atomicwriter"
)

// Create writes one file of a folder; its name may have folders of its own, with slashes.
type Create func(name string, content func(io.Writer) error) error

// Write makes the folder parent/name, filled by fill. One that is there already is left
// alone, and fresh is false. On an error nothing is left.
func Write(parent, name string, fill func(Create) error) (path string, fresh bool, err error) {
	path = filepath.Join(parent, name)
	if _, err := isFolder(parent); err != nil {
		return path, false, err
	}
	if isThere, err := isFolder(path); err != nil || isThere {
		return path, false, err
	}
	if err := os.MkdirAll(parent, 0o777); err != nil {
		return path, false, err
	}
	partial, err := os.MkdirTemp(parent, "."+name+".partial-")
	if err != nil {
		return path, false, err
	}
	defer os.RemoveAll(partial) // nothing is there any more once it is renamed
	if err := os.Chmod(partial, 0o755); err != nil {
		return path, false, err
	}
	if err := fill(createIn(partial)); err != nil {
		return path, false, err
	}
	if err := settle(partial); err != nil {
		return path, false, err
	}
	if err := os.Rename(partial, path); err != nil {
		// Another run may have been first; its folder has the same name and so the same files.
		if isThere, _ := isFolder(path); isThere {
			return path, false, nil
		}
		return path, false, err
	}
	return path, true, settleOne(parent)
}

// Replace writes a file whole or not at all, in place of one that may be there, whose mode it keeps. Once it
// returns, the file is there whenever the power fails.
func Replace(path, text string) error {
	mode := fs.FileMode(0o644)
	if info, err := os.Stat(path); err == nil {
		mode = info.Mode().Perm()
	}
	if err := atomicwriter.WriteFile(path, []byte(text), mode); err != nil {
		return err
	}
	return settleOne(filepath.Dir(path))
}

// settle brings the names in a folder and in all below it to the disk, so that a folder that has its own name is whole
// whenever the power fails.
func settle(root string) error {
	return filepath.WalkDir(root, func(path string, d fs.DirEntry, err error) error {
		if err != nil || !d.IsDir() {
			return err
		}
		return settleOne(path)
	})
}

func settleOne(folder string) error {
	if runtime.GOOS == "windows" { // folders cannot be opened for that there
		return nil
	}
	f, err := os.Open(folder)
	if err != nil {
		return err
	}
	return errors.Join(f.Sync(), f.Close())
}

func isFolder(path string) (bool, error) {
	info, err := os.Stat(path)
	switch {
	case errors.Is(err, fs.ErrNotExist):
		return false, nil
	case err != nil:
		return false, err
	case !info.IsDir():
		return false, fmt.Errorf("%s is in the way: it is no folder\nhint: move it away, or name another folder with --out", path)
	}
	return true, nil
}

func createIn(root string) Create {
	return func(name string, content func(io.Writer) error) error {
		path := filepath.Join(root, filepath.FromSlash(name))
		if err := os.MkdirAll(filepath.Dir(path), 0o755); err != nil {
			return err
		}
		f, err := os.Create(path)
		if err != nil {
			return err
		}
		w := bufio.NewWriter(f)
		if err := content(w); err != nil {
			return errors.Join(err, f.Close())
		}
		return errors.Join(w.Flush(), f.Sync(), f.Close())
	}
}
