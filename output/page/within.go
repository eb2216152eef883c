package page

import (
	"errors"
	"fmt"
	"io/fs"
	"net/http"
	"os"
	"path/filepath"
)

// read returns a file of the shop's folder. What lies outside is refused, even where a symbolic
// link leads there.
func (s *Server) read(path string) (data []byte, err error) {
	err = s.within(path, func(root *os.Root, name string) error {
		data, err = root.ReadFile(name)
		return err
	})
	return data, err
}

// free reports whether a file may be made at path, and makes its folder.
func (s *Server) free(path string) (free bool, err error) {
	err = s.within(path, func(root *os.Root, name string) error {
		if err := root.MkdirAll(filepath.Dir(name), 0o755); err != nil {
			return err
		}
		_, err := root.Lstat(name)
		free = errors.Is(err, fs.ErrNotExist)
		return nil
	})
	return free, err
}

// within does something at a path that must not lead out of the shop's folder.
func (s *Server) within(path string, do func(root *os.Root, name string) error) error {
	root, err := os.OpenRoot(s.root)
	if err != nil {
		return err
	}
	defer root.Close()
	name, err := filepath.Rel(s.root, path)
	if err == nil {
		err = do(root, name)
	}
	var why *fs.PathError
	if errors.As(err, &why) {
		return &refusal{http.StatusUnprocessableEntity, fmt.Sprintf("%s cannot be used within the shop's folder: %v", filepath.ToSlash(name), why.Err)}
	}
	return err
}
