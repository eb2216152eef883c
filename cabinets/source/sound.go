package source

import (
	"fmt"

	"gopkg.in/yaml.v3"
)

// sound reports whether the document can be read safely: not recursive, too large or
// too deep. Then it refuses what YAML allows and a shop's files do not hold: tags, merge
// keys, keys that are no plain words, duplicate keys; the rest stays readable.
func (f *file) sound(root *yaml.Node) bool {
	s := sizer{file: f, done: map[*yaml.Node]size{}, open: map[*yaml.Node]bool{}, fit: true}
	s.visit(root)
	if s.fit {
		f.plain(root)
	}
	return s.fit
}

// size is how large a node is with its aliases expanded.
type size struct {
	values, levels int
}

// sizer measures a document in one step a node and alias, however far those expand.
type sizer struct {
	file *file
	done map[*yaml.Node]size
	open map[*yaml.Node]bool // on the way down
	fit  bool
}

// unfit reports the first reason for not reading the document.
func (s *sizer) unfit(n *yaml.Node, text, hint string) {
	if s.fit {
		s.file.fault(s.file.place(n), text, hint)
	}
	s.fit = false
}

func (s *sizer) visit(n *yaml.Node) size {
	if n.Kind == yaml.AliasNode {
		if s.open[n.Alias] {
			s.unfit(n, fmt.Sprintf("the alias *%s stands inside what it names", cut(n.Value)), "write the value out")
			return size{}
		}
		return s.visit(n.Alias)
	}
	if total, ok := s.done[n]; ok {
		return total
	}
	s.open[n] = true
	total := size{values: 1}
	for _, child := range n.Content {
		inner := s.visit(child)
		total.values = min(total.values+inner.values, mostValues+1)
		total.levels = max(total.levels, inner.levels)
	}
	total.levels++
	if total.values > mostValues {
		s.unfit(n, fmt.Sprintf("more than %d values, aliases counted as often as used", mostValues), "use fewer aliases, or split the file")
	}
	if total.levels > deepest {
		s.unfit(n, fmt.Sprintf("more than %d levels below this", deepest), "nest less deeply")
	}
	delete(s.open, n)
	s.done[n] = total
	return total
}

// plain refuses tags and unfit keys. What an alias names stands in the document itself
// and is not visited again.
func (f *file) plain(n *yaml.Node) {
	if n.Style&yaml.TaggedStyle != 0 {
		f.fault(f.place(n), "a tag in YAML", "delete the word that begins with !")
	}
	if n.Kind == yaml.MappingNode {
		f.keys(n)
	}
	for _, child := range n.Content {
		f.plain(child)
	}
}

func (f *file) keys(n *yaml.Node) {
	lines := map[string]int{}
	for i := 0; i < len(n.Content); i += 2 {
		key := n.Content[i]
		at := f.place(key)
		line, double := lines[key.Value]
		switch {
		case key.Kind != yaml.ScalarNode:
			f.fault(at, "a key that is no plain word", "write the key out as one word")
		case key.Tag == mergeTag:
			f.fault(at, "a merge key (<<)", "write the keys out")
		case double:
			f.fault(at, "duplicate key "+quote(key.Value), fmt.Sprintf("it stands in line %d already; delete one", line))
		default:
			lines[key.Value] = key.Line
		}
	}
}

const mergeTag = "!!merge"
