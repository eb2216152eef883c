package batch

import (
	"context"
	"path/filepath"
	"testing"

	"sawbook/nest"
)

// BenchmarkLayout plans one layout at quick effort, all materials side by side: what the
// solver takes of the time in which a changed size has to show its sheets.
func BenchmarkLayout(b *testing.B) {
	for _, name := range []string{"curlew", "dunlin"} {
		b.Run(name, func(b *testing.B) {
			all := load(b, filepath.Join(demo, "layouts", name+".yaml"))
			j := List(all)
			j.Materials = materials(all, j.Pieces)
			for b.Loop() {
				if err := j.plan(context.Background(), Options{Effort: nest.Quick}); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}
