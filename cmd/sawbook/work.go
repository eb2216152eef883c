package main

import (
	"context"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"regexp"
	"strings"

	"sawbook/cabinets"
	"sawbook/cabinets/batch"
	"sawbook/cabinets/source"
	"sawbook/output/book"
	"sawbook/output/folder"

	"github.com/schollz/progressbar/v3"
	"golang.org/x/term"
)

// open reads the shop in whose folder something stands.
func (c *call) open(what string) (*batch.Folder, error) {
	root, err := batch.FindFolder(what)
	if err != nil {
		return nil, err
	}
	faults := &source.Collector{}
	f := batch.OpenFolder(faults, root)
	if err := faults.Err(); err != nil {
		return nil, err
	}
	f.Shop.Style, err = c.style(f.Shop.Style)
	return f, err
}

// openNamed is open for a folder that was named: it must be there, lest another shop, above it, is taken for it.
func (c *call) openNamed(folder string) (*batch.Folder, error) {
	if err := isFolder(folder); err != nil {
		return nil, err
	}
	return c.open(folder)
}

func isFolder(path string) error {
	if info, err := os.Stat(path); err != nil || !info.IsDir() {
		return fmt.Errorf("%s is no folder\nhint: name the folder of a shop", path)
	}
	return nil
}

// load reads what a command is about, with the shop it stands in.
func (c *call) load(what string, options []string) (*batch.Folder, *batch.Batch, error) {
	f, err := c.open(what)
	if err != nil {
		return nil, nil, err
	}
	b := f.Load(what, options)
	return f, b, f.Err()
}

// work turns a batch into a job, with progress on a terminal.
func (c *call) work(ctx context.Context, b *batch.Batch) (*batch.Job, error) {
	return c.workRelease(ctx, b, "")
}

// workRelease turns one release of a batch into a job, or all of it where none is named.
func (c *call) workRelease(ctx context.Context, b *batch.Batch, release string) (*batch.Job, error) {
	o, err := c.search()
	if err != nil {
		return nil, err
	}
	var finish func()
	o.Progress, finish = progressOn(c.errs)
	defer finish()
	o.Explain = c.explain
	var j *batch.Job
	if release != "" {
		j, err = batch.WorkRelease(ctx, b, release, o)
	} else {
		j, err = batch.Work(ctx, b, o)
	}
	if err != nil {
		return nil, err
	}
	j.Findings = cabinets.SortFindings(append(j.Findings, book.Unprintable(j.Batch)...))
	return j, nil
}

// progressOn returns a progress callback for a terminal, nil for anything else, and what
// takes the bar away again.
func progressOn(w io.Writer) (tell func(done, of int64), finish func()) {
	f, ok := w.(*os.File)
	if !ok || !term.IsTerminal(int(f.Fd())) {
		return nil, func() {}
	}
	bar := progressbar.NewOptions64(1, progressbar.OptionSetWriter(f), progressbar.OptionSetDescription("nesting"),
		progressbar.OptionClearOnFinish(), progressbar.OptionSetElapsedTime(false), progressbar.OptionSetPredictTime(false))
	return func(done, of int64) {
		bar.ChangeMax64(max(of, 1))
		_ = bar.Set64(done) // a progress bar that cannot be drawn is no reason to stop
	}, func() { _ = bar.Finish() }
}

// folderName is what a job's folder is called. With books for the vehicles it holds more than
// without, and on a used sheet labels lie otherwise.
func (c *call) folderName(j *batch.Job) string {
	name := j.Batch.Name + "-" + j.Digest
	if c.binders {
		name += "-binders"
	}
	if j.LabelsFrom > 1 {
		name += fmt.Sprintf("-labels-from-%d", j.LabelsFrom)
	}
	return name
}

// folderExtras is what a folder's name says of more than the job.
var folderExtras = regexp.MustCompile(`^(-binders)?(-labels-from-\d+)?$`)

// isFolderOf reports whether a folder's name is one that folderName gives a job.
func isFolderOf(path string, j *batch.Job) bool {
	extras, ok := strings.CutPrefix(filepath.Base(path), j.Batch.Name+"-"+j.Digest)
	return ok && folderExtras.MatchString(extras)
}

// write writes the job's folder and says where it is.
func (c *call) write(j *batch.Job) (path string, err error) {
	path, fresh, err := folder.Write(c.folder, c.folderName(j), func(create folder.Create) error {
		if err := book.WriteFolder(j, create); err != nil || !c.binders {
			return err
		}
		return book.WriteBinders(j, create)
	})
	if err != nil {
		return "", fmt.Errorf("nothing was written: %w", err)
	}
	if !fresh {
		fmt.Fprintf(c.errs, "sawbook: %s is there already, with the same content\n", path)
	}
	return path, nil
}

// findings ends a run according to the gravest finding.
func findings(fs []cabinets.Finding) error {
	for _, f := range fs {
		if f.Level == cabinets.LevelError {
			return errFindings
		}
	}
	return nil
}
