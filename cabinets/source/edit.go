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
	changed, err := e.set(root, path, value)
	if err != nil {
		return "", fmt.Errorf("%s: %w", strings.Join(path, "."), err)
	}
	if err := unchangedBut(text, changed, path, value); err != nil {
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

// unchangedBut makes sure that a changed text says what it said, but for one value.
func unchangedBut(before, after string, path []string, value string) error {
	var was, is map[string]any
	var want any
	err := errors.Join(yaml.Unmarshal([]byte(before), &was), yaml.Unmarshal([]byte(after), &is), yaml.Unmarshal([]byte(value), &want))
	if err != nil {
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
	into[path[len(path)-1]] = want
	if !reflect.DeepEqual(was, is) {
		return errByHand
	}
	return nil
}
