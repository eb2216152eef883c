package batch

import (
	"context"
	"path/filepath"
	"strings"
	"testing"

	"sawbook/nest"
)

// A release has labels for its own parts alone, under its own name.
func TestLabelsOfARelease(t *testing.T) {
	b := load(t, filepath.Join(demo, "batches/spring.yaml"))
	b.Releases = []Release{{Name: "carcasses", Rest: true}, {Name: "fronts", Roles: []string{"front"}}}
	j, err := WorkRelease(context.Background(), b, "fronts", Options{Effort: nest.Quick})
	if err != nil {
		t.Fatal(err)
	}
	labels := Labels(j)
	for _, l := range labels {
		if l.Piece.Role != "front" && !l.IsBlank {
			t.Errorf("%s is a %s", l.ID, l.Piece.Role)
		}
		if !strings.HasPrefix(l.ID, "spring-fronts-"+j.Digest+"/") {
			t.Errorf("%s does not name its release", l.ID)
		}
	}
	want := 0
	for _, p := range j.Pieces {
		want += p.Count
	}
	if want == 0 || len(labels) < want {
		t.Errorf("%d labels for %d parts", len(labels), want)
	}
}

// The copies of a part bear their numbers whatever the plan is: the same part has the same id.
func TestCopiesKeepTheirPlaces(t *testing.T) {
	places := map[string]string{}
	for seed := range uint64(2) {
		j, err := Work(context.Background(), load(t, filepath.Join(demo, "batches/spring.yaml")), Options{Effort: nest.Quick, Seed: seed})
		if err != nil {
			t.Fatal(err)
		}
		for _, l := range Labels(j) {
			if l.IsBlank {
				continue
			}
			id := l.ID[strings.IndexByte(l.ID, '/'):]
			place := l.Serial + " " + l.Place.Cabinet + " " + l.Place.Part
			if seed > 0 && places[id] != place {
				t.Errorf("%s goes to %s, with another plan to %s", id, places[id], place)
			}
			places[id] = place
		}
	}
}
