package main

import (
	"errors"
	"fmt"
	"io"
	"os"
	"runtime/pprof"

	"sawbook/cabinets/shop"
	"sawbook/nest"
	"sawbook/output/table"
)

// explainTo returns what prints a line for every better plan or bound.
func explainTo(w io.Writer) func(string, nest.Moment) {
	first := true
	return func(_ string, m nest.Moment) {
		if first {
			fmt.Fprintf(w, "%9s  %-7s %7s %7s %12s %8s %12s %12s %9s  %s\n", "step", "better", "missing", "sheets", "cost", "at least", "least cost", "in fractions", "patterns", "proven by")
			first = false
		}
		fmt.Fprintf(w, "%9d  %-7s %7d %7d %12s %8d %12s %12s %9d  %s\n", m.Step, m.What, m.Missing, m.Sheets, table.Amount(shop.Money(m.Cost)),
			m.Bound.Sheets, table.Amount(shop.Money(m.Bound.Cost)), table.Amount(shop.Money(m.Relaxed)), m.Patterns, m.Bound.Method)
	}
}

// profiled runs f, and writes where its time went to a file, where one is named.
func profiled(file string, f func() error) error {
	if file == "" {
		return f()
	}
	w, err := os.Create(file)
	if err != nil {
		return err
	}
	if err := pprof.StartCPUProfile(w); err != nil {
		return errors.Join(err, w.Close())
	}
	err = f()
	pprof.StopCPUProfile()
	return errors.Join(err, w.Close())
}
