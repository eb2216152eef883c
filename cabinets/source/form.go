package source

import "fmt"

// Form is the form of a shop's files that this tool reads and writes. A key that gets another name
// makes a new one, and a step for cabinets/migrate.
const Form = 1

const formKey = "sawbook"

// Form returns the form that a file says it has under the key sawbook, 0 where it says nothing: it is
// then read as one of today, and may be older. A form that is newer than Form is a fault.
func (n Node) Form() int {
	if !n.IsMap() {
		return 0
	}
	for _, e := range n.pairs() {
		if e.Name != formKey {
			continue
		}
		form := int(e.Value.Whole(1, 1_000_000))
		if form > Form {
			c := n.file.collector
			before := c.Count()
			e.Value.Fault(fmt.Sprintf("this file has form %d, and this sawbook knows forms up to %d", form, Form), "use the sawbook that wrote it, or a newer one")
			c.newer = append(c.newer, c.faults[min(before, len(c.faults)):]...)
		}
		return form
	}
	return 0
}

// File is Map for the mapping of a whole file, which may tell its form. Of a newer form nothing but that is
// at fault: its keys are for a newer tool to judge.
func (n Node) File(keys ...string) Map {
	if n.Form() > Form {
		return Map{}
	}
	return n.mapping(keys, formKey)
}
