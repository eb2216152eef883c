package formula

import (
	"errors"
	"fmt"
	"slices"
	"strings"
	"unicode/utf8"

	"github.com/expr-lang/expr/ast"
	"github.com/expr-lang/expr/builtin"
	"github.com/expr-lang/expr/checker"
	"github.com/expr-lang/expr/compiler"
	"github.com/expr-lang/expr/conf"
	"github.com/expr-lang/expr/file"
	"github.com/expr-lang/expr/parser"

	"sawbook/cabinets/source"
)

// kind is what a formula or a part of it yields.
type kind int

const (
	number kind = iota
	truth
)

func (k kind) String() string {
	if k == truth {
		return "a truth"
	}
	return "a number"
}

// disabled switches off every builtin of the library; the seven functions are ours.
var disabled = func() map[string]bool {
	names := map[string]bool{}
	for _, b := range builtin.Builtins {
		names[b.Name] = true
	}
	return names
}()

func config() *conf.Config {
	return &conf.Config{
		Disabled:     disabled,
		Functions:    table,
		Builtins:     conf.FunctionsTable{},
		Strict:       true,
		ShortCircuit: true,
		MaxNodes:     2 * longest, // more than the longest text can hold
	}
}

func compile(text string, scope Scope, want kind) (*Formula, error) {
	if err := scan(text); err != nil {
		return nil, err
	}
	c := config()
	tree, err := parser.ParseWithConfig(text, c)
	if err != nil {
		return nil, syntaxError(text, err)
	}
	b := builder{text: text, scope: scope, uses: map[string]int{}}
	node, got, fault := b.build(tree.Node)
	if fault != nil {
		return nil, fault
	}
	f := &Formula{text: text}
	if got != want {
		return nil, f.fault(fmt.Sprintf("%s where %s is needed", got, want), kindHint(want))
	}
	env := map[string]any{}
	for name, offset := range b.uses {
		env[name] = 0.0
		f.uses = append(f.uses, use{name, offset})
	}
	slices.SortFunc(f.uses, func(a, b use) int { return strings.Compare(a.name, b.name) })
	c.WithEnv(env)
	tree.Node = node
	if _, err := checker.Check(tree, c); err != nil {
		return nil, f.fault(err.Error(), "")
	}
	if f.program, err = compiler.Compile(tree, c); err != nil {
		return nil, f.fault(err.Error(), "")
	}
	if len(f.uses) == 0 { // its faults can be told now
		if _, err := f.run(nil); err != nil {
			return nil, err
		}
	}
	return f, nil
}

func kindHint(want kind) string {
	if want == truth {
		return "compare, for example width > 300"
	}
	return "choose with cond ? a : b"
}

// syntaxError words what the parser could not read.
func syntaxError(text string, err error) *Error {
	var at *file.Error
	if !errors.As(err, &at) {
		return &Error{Text: err.Error()}
	}
	from, to := byteOffset(text, at.From), byteOffset(text, at.To)
	if strings.Contains(at.Message, "token EOF") {
		return &Error{Offset: len(strings.TrimRight(text, space)), Text: "the formula ends too early", Hint: "a value or a closing parenthesis is missing"}
	}
	return &Error{Offset: from, Text: "unexpected " + text[from:to], Hint: "an operator, a value or a parenthesis is missing in front of it"}
}

// byteOffset turns the library's count of characters into one of bytes.
func byteOffset(text string, characters int) int {
	at := 0
	for ; characters > 0 && at < len(text); characters-- {
		_, size := utf8.DecodeRuneInString(text[at:])
		at += size
	}
	return at
}

// builder checks a syntax tree and builds the tree that is run: numbers are floats,
// dotted names single ones, operators calls of our own checked functions.
type builder struct {
	text  string
	scope Scope
	uses  map[string]int
}

func (b *builder) offset(n ast.Node) int { return byteOffset(b.text, n.Location().From) }

// begin returns the offset where the text of a node begins.
func (b *builder) begin(n ast.Node) int {
	for {
		switch m := n.(type) {
		case *ast.BinaryNode:
			n = m.Left
		case *ast.ConditionalNode:
			n = m.Cond
		case *ast.MemberNode:
			n = m.Node
		default:
			return b.offset(n)
		}
	}
}

func (b *builder) build(n ast.Node) (ast.Node, kind, *Error) {
	switch n := n.(type) {
	case *ast.IntegerNode:
		return located(&ast.FloatNode{Value: float64(n.Value)}, n), number, nil
	case *ast.FloatNode:
		return n, number, nil
	case *ast.BoolNode:
		return n, truth, nil
	case *ast.IdentifierNode:
		node, err := b.name(n, n.Value)
		return node, number, err
	case *ast.MemberNode:
		node, err := b.name(n, b.dotted(n))
		return node, number, err
	case *ast.UnaryNode:
		return b.unary(n)
	case *ast.BinaryNode:
		return b.binary(n)
	case *ast.ConditionalNode:
		return b.conditional(n)
	case *ast.CallNode:
		return b.call(n)
	}
	return nil, 0, &Error{Offset: b.offset(n), Text: "this is not part of formulas", Hint: plainHint}
}

func located(n ast.Node, like ast.Node) ast.Node {
	n.SetLocation(like.Location())
	return n
}

// operand builds a node that must be of a kind.
func (b *builder) operand(n ast.Node, want kind, of string) (ast.Node, *Error) {
	node, got, err := b.build(n)
	if err != nil {
		return nil, err
	}
	if got != want {
		return nil, &Error{Offset: b.begin(n), Text: fmt.Sprintf("%s where %s needs %s", got, of, want), Hint: "parentheses may be missing"}
	}
	return node, nil
}

func (b *builder) unary(n *ast.UnaryNode) (ast.Node, kind, *Error) {
	kind := number
	if n.Operator == "not" {
		kind = truth
	}
	node, err := b.operand(n.Node, kind, n.Operator)
	if err != nil {
		return nil, 0, err
	}
	return located(&ast.UnaryNode{Operator: n.Operator, Node: node}, n), kind, nil
}

func (b *builder) binary(n *ast.BinaryNode) (ast.Node, kind, *Error) {
	if n.Operator == "&&" { // the library writes a < b < c so; the text cannot
		return nil, 0, &Error{Offset: b.offset(n), Text: "a chain of comparisons", Hint: "write a < b and b < c"}
	}
	needs := number
	logical := n.Operator == "and" || n.Operator == "or"
	if logical {
		needs = truth
	}
	left, err := b.operand(n.Left, needs, n.Operator)
	if err != nil {
		return nil, 0, err
	}
	right, err := b.operand(n.Right, needs, n.Operator)
	if err != nil {
		return nil, 0, err
	}
	if logical {
		return located(&ast.BinaryNode{Operator: n.Operator, Left: left, Right: right}, n), truth, nil
	}
	yields := number
	if _, ok := comparisons[n.Operator]; ok {
		yields = truth
	}
	return b.calling(n, n.Operator, left, right), yields, nil
}

func (b *builder) calling(at ast.Node, function string, arguments ...ast.Node) ast.Node {
	callee := located(&ast.IdentifierNode{Value: function}, at)
	return located(&ast.CallNode{Callee: callee, Arguments: arguments}, at)
}

func (b *builder) conditional(n *ast.ConditionalNode) (ast.Node, kind, *Error) {
	cond, err := b.operand(n.Cond, truth, "?")
	if err != nil {
		return nil, 0, err
	}
	yes, kind, err := b.build(n.Exp1)
	if err != nil {
		return nil, 0, err
	}
	no, err := b.operand(n.Exp2, kind, "this ? :")
	if err != nil {
		return nil, 0, err
	}
	return located(&ast.ConditionalNode{Ternary: true, Cond: cond, Exp1: yes, Exp2: no}, n), kind, nil
}

func (b *builder) call(n *ast.CallNode) (ast.Node, kind, *Error) {
	name := n.Callee.(*ast.IdentifierNode).Value
	takes := functions[name]
	if count := len(n.Arguments); count < takes.least || count > takes.most {
		text := fmt.Sprintf("%s takes one number", name)
		if takes.most > 1 {
			text = fmt.Sprintf("%s takes %d to %d numbers", name, takes.least, takes.most)
		}
		return nil, 0, &Error{Offset: b.offset(n), Text: text, Hint: "put commas between numbers"}
	}
	arguments := make([]ast.Node, len(n.Arguments))
	for i, a := range n.Arguments {
		var err *Error
		if arguments[i], err = b.operand(a, number, name); err != nil {
			return nil, 0, err
		}
	}
	return b.calling(n, name, arguments...), number, nil
}

// dotted returns the name that a chain of members spells.
func (b *builder) dotted(n *ast.MemberNode) string {
	property := n.Property.(*ast.StringNode).Value
	if inner, ok := n.Node.(*ast.MemberNode); ok {
		return b.dotted(inner) + "." + property
	}
	return n.Node.(*ast.IdentifierNode).Value + "." + property
}

// name builds a name that the scope must hold.
func (b *builder) name(n ast.Node, name string) (ast.Node, *Error) {
	offset := b.begin(n)
	if !b.scope[name] {
		return nil, b.unknown(name, offset)
	}
	if first, ok := b.uses[name]; !ok || offset < first {
		b.uses[name] = offset
	}
	return located(&ast.IdentifierNode{Value: name}, n), nil
}

func (b *builder) unknown(name string, offset int) *Error {
	err := &Error{Offset: offset, Text: fmt.Sprintf("unknown name %q", name)}
	hyphened := leading(b.text[offset:], func(r rune) bool { return nameStart(r) || digit(r) || r == '.' || r == '-' })
	known := b.scope.names()
	_, function := functions[name]
	switch near := source.Nearest(name, known); {
	case function:
		err.Hint = "a function needs its numbers in parentheses"
	case b.scope[strings.ReplaceAll(hyphened, "-", "_")]:
		err.Hint = "write " + strings.ReplaceAll(hyphened, "-", "_") + ": in a formula a hyphen is a minus"
	case near != "":
		err.Hint = fmt.Sprintf("did you mean %q?", near)
	case len(known) == 0:
		err.Hint = "no names are known here"
	case len(known) <= 12:
		err.Hint = "known here: " + strings.Join(known, ", ")
	default:
		err.Hint = "known here: " + strings.Join(known[:12], ", ") + " and others"
	}
	return err
}
