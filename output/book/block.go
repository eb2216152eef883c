package book

import (
	"html/template"
	"strings"
	"unicode"

	"sawbook/output/diagram"
	"sawbook/output/draw"
	"sawbook/output/table"
)

// section is a chapter of the pack. The book on paper and the page in a browser are both written from the
// same sections, so that one holds what the other holds.
type section struct {
	Title  string
	Blocks []*block
}

// block is what stands together in a section: drawings with the lists that belong to them, a list, several that share
// pages, or paragraphs.
type block struct {
	Section     string
	Name, About string // what is drawn: "A-1", "Birch plywood 12 mm"
	Note        string
	Paragraphs  [][2]string // a word or two, and what there is to say
	Facts       []string
	Template    string // the file of a drawing at full size
	id          string
	drawings    []drawn
	lists       []*table.Table
	cuts        *table.Table // what a sheet's drawing tells, to be read on a screen
}

// newSection makes a section of the blocks that hold anything.
func newSection(title string, blocks ...*block) section {
	s := section{Title: title}
	for _, b := range blocks {
		if !b.empty() {
			b.Section = title
			s.Blocks = append(s.Blocks, b)
		}
	}
	return s
}

// filled leaves out the sections that hold nothing.
func filled(all ...section) (list []section) {
	for _, s := range all {
		if len(s.Blocks) > 0 {
			list = append(list, s)
		}
	}
	return list
}

func (b *block) empty() bool {
	rows := 0
	for _, t := range b.lists {
		rows += len(t.Rows)
	}
	return rows+len(b.drawings)+len(b.Paragraphs)+len(b.Facts) == 0
}

func listBlock(t *table.Table, note string) *block {
	return &block{Note: note, lists: []*table.Table{t}}
}

// ID is what a link on the page leads to.
func (s section) ID() string { return slug(strings.ToLower(s.Title)) }

// Drawn reports that the section begins with a drawing, which takes a page for itself.
func (s section) Drawn() bool { return len(s.Blocks[0].drawings) > 0 }

// pages are what the section takes of the book.
func (s section) pages(width, height float64) (pages []draw.Drawing) {
	for _, b := range s.Blocks {
		pages = append(pages, b.pages(width, height)...)
	}
	return pages
}

func (b *block) pages(width, height float64) []draw.Drawing {
	pages := diagram.Prose(b.Section, b.Paragraphs, width, height)
	for _, d := range b.drawings {
		pages = append(pages, d.Drawing)
	}
	if len(b.drawings) > 0 {
		return append(pages, diagram.Stacked(b.Name+", to put together", b.Facts, b.lists, width, height)...)
	}
	if len(b.lists) == 1 {
		return append(pages, diagram.List(b.lists[0], b.Note, width, height)...)
	}
	return append(pages, diagram.Stacked(b.Section, b.Facts, b.lists, width, height)...)
}

// ID is what a link on the page leads to, "" of what has no name.
func (b *block) ID() string {
	if b.Name == "" {
		return ""
	}
	return b.id + "-" + slug(b.Name)
}

// slug makes a word of a title.
func slug(title string) string {
	return strings.Join(strings.FieldsFunc(title, func(r rune) bool { return !unicode.IsLetter(r) && !unicode.IsDigit(r) }), "-")
}

// Drawings are the drawings, to stand in the page.
func (b *block) Drawings() (list []template.HTML) {
	for _, d := range b.drawings {
		list = append(list, template.HTML(draw.Inline(d.svg))) // what is not ours in it is escaped
	}
	return list
}

// Lists are the lists that have rows.
func (b *block) Lists() (lists []list) {
	for _, t := range b.lists {
		if len(t.Rows) > 0 {
			lists = append(lists, listOf(t))
		}
	}
	return lists
}

// Cuts are the rows of a sheet's cuts.
func (b *block) Cuts() *list {
	if b.cuts == nil {
		return nil
	}
	l := listOf(b.cuts)
	return &l
}
