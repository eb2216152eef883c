package source

import (
	"errors"
	"fmt"
	"reflect"
	"strings"

	"gopkg.in/yaml.v3"
)

// Set returns a YAML text with one value put in place: the scalar at the end of the path, or,
// where the path ends before it, a new key for what is left of it. All else stays as it is,
// comments and order included. What cannot be set so, such as a value in an alias, is an error
// and left to an editor.
func Set(text string, path []string, value string) (string, error) {
	var want any
	if err := yaml.Unmarshal([]byte(value), &want); err != nil {
		return "", fmt.Errorf("%s: %w", strings.Join(path, "."), errByHand)
	}
	return edit(text, path,
		func(e *editor, root *yaml.Node) (string, error) { return e.set(root, path, value) },
		func(into map[string]any, key string) { into[key] = want })
}

// Rename returns a YAML text in which the last key of the path, which is there, has another name;
// what else Set says holds here too.
func Rename(text string, path []string, name string) (string, error) {
	return edit(text, path,
		func(e *editor, root *yaml.Node) (string, error) { return e.rename(root, path, name) },
		func(into map[string]any, key string) {
			value := into[key]
			delete(into, key)
			into[name] = value
		})
}

// Delete returns a YAML text without the last key of the path, which is there and has a scalar, and
// without the comment behind it; what else Set says holds here too.
func Delete(text string, path []string) (string, error) {
	return edit(text, path,
		func(e *editor, root *yaml.Node) (string, error) { return e.delete(root, path) },
		func(into map[string]any, key string) { delete(into, key) })
}

// edit changes a text, and makes sure that it then says what it said but for what should change
// in the mapping that the path leads to.
func edit(text string, path []string, change func(*editor, *yaml.Node) (string, error), should func(into map[string]any, key string)) (string, error) {
	e := &editor{file: &file{collector: &Collector{}, text: text}}
	e.lines = []int{0}
	for i := range len(text) {
		if text[i] == '\n' {
			e.lines = append(e.lines, i+1)
		}
	}
	root := e.parse()
	if root == nil {
		return "", e.collector.Err()
	}
	changed, err := change(e, root)
	if err == nil {
		err = unchangedBut(text, changed, path, should)
	}
	if err != nil {
		return "", fmt.Errorf("%s: %w", strings.Join(path, "."), err)
	}
	return changed, nil
}

// errByHand is what an editor has to do.
var errByHand = errors.New("it is written in a way that only an editor can change")

// editor changes one text.
type editor struct{ *file }

func (e *editor) set(n *yaml.Node, path []string, value string) (string, error) {
	if n.Kind == yaml.AliasNode || n.Anchor != "" {
		return "", errByHand // it stands for several
	}
	if len(path) == 0 {
		return e.replace(n, value)
	}
	if n.Kind != yaml.MappingNode {
		return "", errByHand
	}
	for i := 0; i < len(n.Content); i += 2 {
		if n.Content[i].Value == path[0] {
			return e.set(n.Content[i+1], path[1:], value)
		}
	}
	return e.insert(n, path, value)
}

// replace writes another scalar.
func (e *editor) replace(n *yaml.Node, value string) (string, error) {
	if n.Kind != yaml.ScalarNode || n.Style&(yaml.LiteralStyle|yaml.FoldedStyle|yaml.TaggedStyle) != 0 {
		return "", errByHand
	}
	begin := e.begin(n)
	end, ok := begin+len(n.Value), true
	switch {
	case n.Style&(yaml.DoubleQuotedStyle|yaml.SingleQuotedStyle) != 0:
		quote := e.text[begin : begin+1]
		written := quote + n.Value + quote
		ok, end = strings.HasPrefix(e.text[begin:], written), begin+len(written)
	default:
		ok = strings.HasPrefix(e.text[begin:], n.Value)
	}
	if !ok || n.Value == "" {
		return "", errByHand
	}
	return e.text[:begin] + value + e.text[end:], nil
}

// insert puts a key at the beginning of a mapping.
func (e *editor) insert(n *yaml.Node, path []string, value string) (string, error) {
	last := len(path) - 1
	line := path[last] + ": " + value
	for last--; last >= 0; last-- {
		line = path[last] + ": {" + line + "}"
	}
	at := e.place(n)
	if n.Style&yaml.FlowStyle != 0 {
		if len(n.Content) > 0 {
			line += ", "
		}
		return e.text[:at+1] + line + e.text[at+1:], nil
	}
	if len(n.Content) == 0 {
		return "", errByHand
	}
	at = e.place(n.Content[0])
	return e.text[:at] + line + "\n" + strings.Repeat(" ", n.Content[0].Column-1) + e.text[at:], nil
}

// pair returns the mapping at the end of a path and where in it the last key stands.
func (e *editor) pair(n *yaml.Node, path []string) (*yaml.Node, int, error) {
	if n.Kind != yaml.MappingNode || n.Anchor != "" {
		return nil, 0, errByHand // it stands for several
	}
	for i := 0; i < len(n.Content); i += 2 {
		switch {
		case n.Content[i].Value != path[0]:
		case len(path) == 1:
			return n, i, nil
		default:
			return e.pair(n.Content[i+1], path[1:])
		}
	}
	return nil, 0, errByHand
}

func (e *editor) rename(n *yaml.Node, path []string, name string) (string, error) {
	m, i, err := e.pair(n, path)
	if err != nil {
		return "", err
	}
	return e.replace(m.Content[i], name)
}

func (e *editor) delete(n *yaml.Node, path []string) (string, error) {
	m, i, err := e.pair(n, path)
	if err != nil {
		return "", err
	}
	begin, last := e.place(m.Content[i]), i+2 == len(m.Content)
	if m.Style&yaml.FlowStyle == 0 {
		line := e.lines[m.Content[i].Line-1]
		if strings.TrimSpace(e.text[line:begin]) != "" || len(m.Content) == 2 {
			return "", errByHand // it begins an item of a list, or nothing would be left
		}
		return e.text[:line] + e.text[lineEnd(e.text, begin):], nil
	}
	if !last {
		return e.text[:begin] + e.text[e.place(m.Content[i+2]):], nil
	}
	end := strings.IndexByte(e.text[begin:], '}')
	if end < 0 {
		return "", errByHand
	}
	before := strings.TrimRight(e.text[:begin], " \n")
	return strings.TrimSuffix(before, ",") + e.text[begin+end:], nil
}

// unchangedBut makes sure that a changed text says what it said, but for what should change in the
// mapping that a path leads to.
func unchangedBut(before, after string, path []string, should func(into map[string]any, key string)) error {
	var was, is map[string]any
	if errors.Join(yaml.Unmarshal([]byte(before), &was), yaml.Unmarshal([]byte(after), &is)) != nil {
		return errByHand
	}
	into := was
	for _, key := range path[:len(path)-1] {
		next, ok := into[key].(map[string]any)
		if !ok {
			next = map[string]any{}
			into[key] = next
		}
		into = next
	}
	should(into, path[len(path)-1])
	if !reflect.DeepEqual(was, is) {
		return errByHand
	}
	return nil
}
