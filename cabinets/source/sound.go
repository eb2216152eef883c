package source

import (
	"fmt"

	"gopkg.in/yaml.v3"
)

// extent is how large a node is with its aliases expanded.
type extent struct {
	leaves, levels int
}

// sounder walks a document once and refuses what YAML allows and a shop's files do not.
type sounder struct {
	file *file
	done map[*yaml.Node]extent
	open map[*yaml.Node]bool // on the way down
	fit  bool
}

// sound refuses tags, merge keys, keys that are no plain words and duplicate keys. It
// reports false where the document cannot be read safely: recursive, too large, too deep.
func (f *file) sound(root *yaml.Node) bool {
	s := &sounder{file: f, done: map[*yaml.Node]extent{}, open: map[*yaml.Node]bool{}, fit: true}
	s.visit(root)
	return s.fit
}

func (s *sounder) fault(n *yaml.Node, text, hint string) {
	s.file.fault(s.file.place(n), text, hint)
}

// unfit reports a fault that makes the document unreadable, once.
func (s *sounder) unfit(n *yaml.Node, text, hint string) {
	if s.fit {
		s.fault(n, text, hint)
	}
	s.fit = false
}

// visit costs one step a node and alias, however far those expand.
func (s *sounder) visit(n *yaml.Node) extent {
	if n.Kind == yaml.AliasNode {
		if s.open[n.Alias] {
			s.unfit(n, fmt.Sprintf("the alias *%s stands inside what it names", n.Value), "write the value out")
			return extent{}
		}
		return s.visit(n.Alias)
	}
	if e, ok := s.done[n]; ok {
		return e
	}
	s.open[n] = true
	if n.Style&yaml.TaggedStyle != 0 {
		s.fault(n, "a tag in YAML", "delete the word that begins with !")
	}
	if n.Kind == yaml.MappingNode {
		s.keys(n)
	}
	e := extent{leaves: 1}
	for _, child := range n.Content {
		inner := s.visit(child)
		e.leaves += inner.leaves
		e.levels = max(e.levels, inner.levels)
	}
	e.levels++
	if e.leaves > mostLeaf {
		s.unfit(n, fmt.Sprintf("more than %d values, aliases counted as often as used", mostLeaf), "use fewer aliases, or split the file")
	}
	if e.levels > deepest {
		s.unfit(n, fmt.Sprintf("more than %d levels below this", deepest), "nest less deeply")
	}
	delete(s.open, n)
	s.done[n] = e
	return e
}

func (s *sounder) keys(n *yaml.Node) {
	first := map[string]int{}
	for i := 0; i < len(n.Content); i += 2 {
		key := n.Content[i]
		line, double := first[key.Value]
		switch {
		case key.Kind != yaml.ScalarNode:
			s.fault(key, "a key that is no plain word", "write the key out as one word")
			continue
		case key.Tag == "!!merge":
			s.fault(key, "a merge key (<<)", "write the keys out")
			continue
		case double:
			s.fault(key, fmt.Sprintf("duplicate key %s", quote(key.Value)), fmt.Sprintf("it stands in line %d already; delete one", line))
			continue
		}
		first[key.Value] = key.Line
	}
}
