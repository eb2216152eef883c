package page

import (
	"net/http"
	"net/url"
	"os"
	"path/filepath"
	"strings"
	"testing"
)

// Links that lead out of the shop's folder are not followed, neither to read nor to write.
func TestLinksLeadNowhere(t *testing.T) {
	root, outside := shop(t), t.TempDir()
	write(t, filepath.Join(outside, "stray.yaml"), strings.Replace(tiny, "Tiny", "Stray", 1))
	link := func(to, from string) {
		if err := os.Symlink(to, from); err != nil {
			t.Skip("no symbolic links here: ", err)
		}
	}
	link(filepath.Join(outside, "stray.yaml"), filepath.Join(root, "layouts", "stray.yaml"))
	s := New(root, ownHost, "")
	code, body := get(s, "/work?layout=stray")
	if code != http.StatusUnprocessableEntity || !strings.Contains(body, "layouts/stray.yaml cannot be used within the shop's folder") || strings.Contains(body, outside) {
		t.Errorf("a layout by a link out of the folder: %d %s", code, body)
	}

	// Within the folder they are as good as the file.
	link("tiny.yaml", filepath.Join(root, "layouts", "same.yaml"))
	if code, body := get(s, "/work?layout=same"); code != http.StatusOK {
		t.Errorf("a layout by a link within the folder: %d %s", code, body)
	}

	if err := os.RemoveAll(filepath.Join(root, "cabinets")); err != nil {
		t.Fatal(err)
	}
	link(outside, filepath.Join(root, "cabinets"))
	code, body = post(s, "/cabinet", url.Values{"layout": {"tiny"}, "cabinet": {"can"}, "size.can.width": {"300"}, "name": {"wider"}})
	if _, err := os.Lstat(filepath.Join(outside, "wider.yaml")); code != http.StatusUnprocessableEntity || err == nil {
		t.Errorf("a cabinet saved by a link out of the folder: %d %s", code, body)
	}
}
