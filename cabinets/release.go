package cabinets

import (
	"slices"
	"strings"
)

// Share returns what one of several releases takes of an interior: of tells for each part of a
// cabinet in which release it is cut, from 0. What was sawn out of a part goes with it, and a
// matched group goes whole with the last of its parts, since it is one strip. Felt goes with the part that carries it,
// fixings with the later of the parts that they join, other hardware with the first part of its
// cabinet. So the shares of all releases are the interior, nothing left out and nothing twice.
func (in *Interior) Share(release int, of func(*Placed, *Part) int) *Interior {
	share := *in
	share.whole = in
	share.Cabinets, share.Contacts, share.Scribes = nil, nil, nil
	all := map[string]int{} // of "cabinet.part"
	for i := range in.Cabinets {
		p := in.Cabinets[i]
		releases := p.Solid.releases(func(part *Part) int { return of(&p, part) })
		for name, at := range releases {
			all[p.Name+"."+name] = at
		}
		p.Solid = p.Solid.share(release, releases)
		if len(p.Solid.Parts) > 0 {
			share.Cabinets = append(share.Cabinets, p)
		}
	}
	for _, c := range in.Contacts {
		if all[c.On] == release {
			share.Contacts = append(share.Contacts, c)
		}
	}
	for _, s := range in.Scribes {
		if all[s.Cabinet+"."+s.Part] == release {
			share.Scribes = append(share.Scribes, s)
		}
	}
	return &share
}

// releases tells for each part of a solid, by name, in which release it is cut.
func (s *Solid) releases(of func(*Part) int) map[string]int {
	at, last := map[string]int{}, map[string]int{} // last of each matched group
	for i := range s.Parts {
		p := &s.Parts[i]
		at[p.Name] = of(p)
		last[p.Match.Group] = max(last[p.Match.Group], at[p.Name])
	}
	for i := range s.Parts {
		if p := &s.Parts[i]; p.Match.Of > 0 {
			at[p.Name] = last[p.Match.Group]
		}
	}
	for i := range s.Parts {
		if p := &s.Parts[i]; p.SawnFrom != "" {
			at[p.Name] = at[p.SawnFrom]
		}
	}
	return at
}

// share returns what a release takes of a solid.
func (s *Solid) share(release int, of map[string]int) *Solid {
	share := *s
	share.Parts, share.Hardware, share.Joints, share.Contacts = nil, nil, nil, nil
	first := -1
	for _, at := range of {
		if first < 0 || at < first {
			first = at
		}
	}
	for _, p := range s.Parts {
		if of[p.Name] == release {
			share.Parts = append(share.Parts, p)
		}
	}
	fixings := map[string]int{} // by joint
	for _, j := range s.Joints {
		n := 0
		if max(of[j.Through], of[j.Into]) == release {
			share.Joints, n = append(share.Joints, j), j.Fixings
		}
		fixings[j.How.ID] += n
	}
	for _, h := range s.Hardware {
		n, joins := fixings[h.Name]
		switch {
		case joins:
			h.Count = n
		case first != release:
			h.Count = 0
		}
		if h.Count > 0 {
			share.Hardware = append(share.Hardware, h)
		}
	}
	for _, c := range s.Contacts {
		if of[c.On] == release {
			share.Contacts = append(share.Contacts, c)
		}
	}
	return &share
}

// full returns the interior that this one is a share of.
func (in *Interior) full() *Interior {
	if in.whole != nil {
		return in.whole
	}
	return in
}

// Uncounted returns a path in a cabinet with its counters left out: "drawer-2.body" is
// "drawer.body".
func Uncounted(path string) string {
	parts := strings.Split(path, ".")
	for i, p := range parts {
		if at := strings.LastIndexByte(p, '-'); at > 0 && at+1 < len(p) && !slices.ContainsFunc([]byte(p[at+1:]), func(c byte) bool { return !digit(c) }) {
			parts[i] = p[:at]
		}
	}
	return strings.Join(parts, ".")
}
