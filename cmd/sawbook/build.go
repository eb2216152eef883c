package main

import (
	"bytes"
	"cmp"
	"context"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"maps"
	"os"
	"path"
	"path/filepath"
	"slices"
	"strings"

	"sawbook/cabinets"
	"sawbook/cabinets/batch"
	"sawbook/cabinets/register"
	"sawbook/cabinets/shop"
	"sawbook/cabinets/source"
	"sawbook/output/book"
	"sawbook/output/folder"
	"sawbook/output/table"

	"github.com/spf13/cobra"
)

func newBuild(c *call) *cobra.Command {
	cmd := &cobra.Command{
		Use:   "build",
		Short: "what each vehicle was cut from",
		Long: `build keeps what each vehicle was cut from, in the register: every file of the book that was printed and of the shop, cabinets
by revision, sizes, prices, and the version of the tool. A record stays as it is; notes can be added.`,
		Example: `  sawbook build record batches/spring.yaml
  sawbook build where 37 "fuse box"`,
		Args: noArguments,
		RunE: func(cmd *cobra.Command, _ []string) error { return cmd.Help() },
	}
	c.registerFlags(cmd)
	cmd.AddCommand(c.buildRecord(), c.buildList(), c.buildShow(), c.buildWhere(), c.buildDiff(), c.buildRemake(), c.buildNote(), c.buildVerify())
	return cmd
}

func (c *call) buildRecord() *cobra.Command {
	return c.withRelease(&cobra.Command{
		Use:   "record BATCH [FOLDER]",
		Short: "freeze what a batch's vehicles were cut from",
		Long: `record keeps every byte of the folder that was printed and of the shop's files, as long as they still belong together. FOLDER is
the folder that was cut from; it is needed where stock has come or gone since it was written.`,
		Example: `  sawbook build record batches/spring.yaml out/spring-0e09cbe8`,
		Args:    arguments("the batch file, and the folder that was cut from", "sawbook build record batches/spring.yaml", 1, 2),
		RunE:    func(cmd *cobra.Command, args []string) error { return c.doRecord(cmd, args) },
	})
}

func (c *call) doRecord(cmd *cobra.Command, args []string) error {
	f, j, printed, err := c.asCut(cmd, args)
	if err != nil {
		return err
	}
	files, err := filesIn(os.DirFS(printed), ".")
	if err != nil {
		return err
	}
	if !bytes.Equal(files["plan.json"], j.Written) {
		return fmt.Errorf("%s is not as it was written: plan.json differs\nhint: cut the batch again under another --out, and compare", printed)
	}
	sources, err := sourcesOf(f, j, args[0])
	if err != nil {
		return err
	}
	record, err := register.RecordOf(j, versionLine(), func(d *cabinets.Definition) (string, error) {
		return register.Revision(d, f.Catalogue.Text)
	})
	if err != nil {
		return err
	}
	return within(f.Root, register.OpenOrCreate, func(r *register.Register) error {
		e, err := r.Build(c.by("cut"), record, files, sources)
		if err != nil {
			return err
		}
		return c.tell("entry %d: %s of %s-%s recorded, %d files\nthe newest digest is %s\n", e.Sequence, (register.One * register.Quantity(len(record.Vehicles))).With("vehicles"), record.Batch, record.Digest, len(files)+len(sources), e.Digest)
	})
}

// filesIn reads all files below a folder.
func filesIn(in fs.FS, below string) (register.Bytes, error) {
	all := register.Bytes{}
	err := fs.WalkDir(in, below, func(name string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() {
			return err
		}
		all[name], err = fs.ReadFile(in, name)
		return err
	})
	return all, err
}

// sourcesOf reads what a batch is made from: the shop's files, the batch, and the built-in cabinets that it uses.
func sourcesOf(f *batch.Folder, j *batch.Job, batchFile string) (register.Bytes, error) {
	all := register.Bytes{}
	root := os.DirFS(f.Root)
	for _, pattern := range []string{"shop.yaml", "cabinets/*.yaml", "layouts/*.yaml"} {
		names, err := fs.Glob(root, pattern)
		if err != nil {
			return nil, err
		}
		for _, name := range names {
			if all[name], err = fs.ReadFile(root, name); err != nil {
				return nil, err
			}
		}
	}
	text, err := os.ReadFile(batchFile)
	if err != nil {
		return nil, err
	}
	all["batches/"+filepath.Base(batchFile)] = text
	var add func(d *cabinets.Definition) error
	add = func(d *cabinets.Definition) error {
		if own := "cabinets/" + d.Name + ".yaml"; all[own] == nil {
			text, err := f.Catalogue.Text(d.Name)
			if err != nil {
				return err
			}
			all["library/"+d.Name+".yaml"] = []byte(text)
		}
		for _, u := range d.Uses {
			if u.Cabinet != nil {
				if err := add(u.Cabinet); err != nil {
					return err
				}
			}
		}
		return nil
	}
	interiors, _ := j.Batch.Interiors()
	for _, in := range interiors {
		for i := range in.Cabinets {
			if err := add(in.Cabinets[i].Solid.Definition); err != nil {
				return nil, err
			}
		}
	}
	return all, nil
}

func (c *call) buildList() *cobra.Command {
	var cabinet string
	cmd := &cobra.Command{
		Use: "list", Short: "the vehicles that are recorded", Args: noArguments,
		Long:    `list shows every build; with --cabinet, which vehicles have which revision of it: the digest of its definition.`,
		Example: "  sawbook build list --cabinet pantry",
		RunE: func(*cobra.Command, []string) error {
			return c.inRecords(func(r *register.Register, s *shop.Shop) error {
				all, err := r.Builds()
				if err != nil {
					return err
				}
				return c.print(table.Builds(s, all, cabinet), "nothing found")
			})
		},
	}
	cmd.Flags().StringVar(&cabinet, "cabinet", "", "a cabinet, by the name of its definition")
	return cmd
}

func (c *call) buildShow() *cobra.Command {
	var sources bool
	cmd := &cobra.Command{
		Use:   "show SERIAL",
		Short: "write a vehicle's book again, byte for byte",
		Long: `show writes the folder that a vehicle was cut from again, to OUT, as it was printed, whatever has changed since. With --sources it
writes the shop's files as they were.`,
		Example: "  sawbook build show 37 --out again",
		Args:    oneArgument("a vehicle's serial", "sawbook build show 37"),
		RunE: func(_ *cobra.Command, args []string) error {
			return c.builds(args[0], func(r *register.Register, _ *shop.Shop, all []register.Build) error {
				for _, b := range all {
					name, files := b.Batch+"-"+b.Record.Digest, b.Files
					if sources {
						name, files = name+"-sources", b.Sources
					}
					if err := c.restore(r, name, files); err != nil {
						return err
					}
				}
				return c.tellNotes(all)
			})
		},
	}
	cmd.Flags().BoolVar(&sources, "sources", false, "write the shop's files as they were instead")
	return cmd
}

// tellNotes prints what was noted of a vehicle, whose builds these are.
func (c *call) tellNotes(all []register.Build) error {
	for _, n := range all[0].Notes {
		if err := c.tell("noted %s by %s: %s\n", n.Time, n.User, n.Text()); err != nil {
			return err
		}
	}
	return nil
}

// restore writes kept files as a folder.
func (c *call) restore(r *register.Register, name string, files []register.File) error {
	all, err := r.Bytes(files)
	if err != nil {
		return err
	}
	written, fresh, err := folder.Write(c.folder, name, func(create folder.Create) error { return writeAll(create, "", all) })
	if err == nil && !fresh {
		err = fmt.Errorf("%s is there already\nhint: give another --out", written)
	}
	if err != nil {
		return err
	}
	return c.tell("written to %s\n", written)
}

// writeAll writes files below a name, in their order.
func writeAll(create folder.Create, below string, all register.Bytes) error {
	for _, name := range slices.Sorted(maps.Keys(all)) {
		if err := create(path.Join(below, name), func(w io.Writer) error {
			_, err := w.Write(all[name])
			return err
		}); err != nil {
			return err
		}
	}
	return nil
}

func (c *call) buildWhere() *cobra.Command {
	return &cobra.Command{
		Use:   "where SERIAL [WORD ...]",
		Short: "what a vehicle keeps where, as it was built",
		Long: `where lists what is kept in the cabinets of a vehicle as built, and how to get at it, then all that was noted of the vehicle since.
Words pick out what holds all of them.`,
		Example: `  sawbook build where 37 "fuse box"`,
		Args:    arguments("a vehicle's serial, and words", `sawbook build where 37 "fuse box"`, 1, 100),
		RunE: func(_ *cobra.Command, args []string) error {
			return c.builds(args[0], func(_ *register.Register, s *shop.Shop, all []register.Build) error {
				if err := c.print(table.BuiltWhere(s, all, args[1:]...), "nothing found"); err != nil || c.json {
					return err // history --json has the notes
				}
				return c.tellNotes(all)
			})
		},
	}
}

func (c *call) buildDiff() *cobra.Command {
	return &cobra.Command{
		Use:     "diff SERIAL SERIAL",
		Short:   "what two vehicles do not have alike",
		Long:    `diff compares two builds: definitions, places, sizes, materials, parts, hardware, contents, prices, files and the tool.`,
		Example: "  sawbook build diff 31 37",
		Args:    arguments("two serials", "sawbook build diff 31 37", 2, 2),
		RunE: func(_ *cobra.Command, args []string) error {
			return c.builds(args[0], func(r *register.Register, s *shop.Shop, one []register.Build) error {
				two, err := r.BuildsOf(args[1])
				if err != nil {
					return err
				}
				return c.print(table.BuildDiff(s, &one[len(one)-1], &two[len(two)-1]), "they are alike")
			})
		},
	}
}

func (c *call) buildNote() *cobra.Command {
	return &cobra.Command{
		Use:     "note SERIAL TEXT",
		Short:   "add to what is known of a vehicle",
		Long:    `note adds what was changed on the bench, or later. The record itself stays as it is.`,
		Example: `  sawbook build note 37 "left door planed 1 mm"`,
		Args:    arguments("a vehicle's serial and a text", `sawbook build note 37 "left door planed 1 mm"`, 2, 2),
		RunE: func(_ *cobra.Command, args []string) error {
			if strings.TrimSpace(args[1]) == "" {
				return usageError{errors.New("TEXT: it is empty\nhint: say what was changed")}
			}
			return c.inRecords(func(r *register.Register, _ *shop.Shop) error {
				e, err := r.Note(c.by("noted"), args[0], args[1])
				if err != nil {
					return err
				}
				return c.tell("entry %d: noted of vehicle %s\n", e.Sequence, args[0])
			})
		},
	}
}

func (c *call) buildVerify() *cobra.Command {
	return &cobra.Command{
		Use:   "verify [DIGEST]",
		Short: "find a record that was altered",
		Long: `verify reads every entry and file of the register: each entry carries the digest of the one before. Who could write the file could
make all digests anew; so give the digest that a printed book names, and verify tells whether its entry is still there.`,
		Example: "  sawbook build verify",
		Args:    arguments("a digest from a book, or nothing", "sawbook build verify", 0, 1),
		RunE: func(_ *cobra.Command, args []string) error {
			return c.inRecords(func(r *register.Register, _ *shop.Shop) error { return c.doVerify(r, args) })
		},
	}
}

func (c *call) doVerify(r *register.Register, digests []string) error {
	last, err := r.Verify()
	if err != nil {
		return err
	}
	for _, digest := range digests {
		found, err := r.Has(digest)
		if err == nil && !found {
			err = fmt.Errorf("no entry has the digest %s\nhint: check the digits; if they are right, entries were altered since that book was printed", digest)
		}
		if err != nil {
			return err
		}
	}
	return c.tell("entries 1 to %d are as they were written; the newest is %s\n", last.Sequence, last.Digest)
}

func (c *call) buildRemake() *cobra.Command {
	return &cobra.Command{
		Use:   "remake SERIAL PART",
		Short: "plan one piece again, exactly as built",
		Long: `remake plans one piece of a vehicle by itself, on a sheet, with the shop file of then: its cut size, material and saw. PART is its number or
its place. The folder holds the machining drawings of the build as well.`,
		Example: `  sawbook build remake 37 D-009
  sawbook build remake 37 pantry.left-side`,
		Args: arguments("a vehicle's serial and a part", "sawbook build remake 37 D-009", 2, 2),
		RunE: func(cmd *cobra.Command, args []string) error {
			return c.builds(args[0], func(r *register.Register, _ *shop.Shop, all []register.Build) error {
				var first error
				for i := range all {
					p, err := all[i].Piece(args[1])
					if err == nil {
						return c.remake(cmd.Context(), r, &all[i], p)
					}
					first = cmp.Or(first, err)
				}
				return first
			})
		},
	}
}

func (c *call) remake(ctx context.Context, r *register.Register, b *register.Build, p *register.Piece) error {
	s, err := shopOf(r, b)
	if err != nil {
		return err
	}
	m := s.Material(p.Material)
	piece := &cabinets.Piece{ID: p.Number, Name: p.Name, Material: m, Length: p.Length, Width: p.Width, Turns: p.Turns, Count: 1}
	j, err := c.work(ctx, &batch.Batch{Name: "remake-" + b.Serial + "-" + p.Number, About: "As built in " + b.Batch, Shop: s, List: []*cabinets.Piece{piece}})
	if err != nil {
		return err
	}
	drawings, err := r.Bytes(slices.DeleteFunc(slices.Clone(b.Files), func(f register.File) bool {
		return !strings.HasPrefix(f.Name, "machining/"+p.Number+".") && !strings.HasPrefix(f.Name, "machining/"+p.Number+"-")
	}))
	if err != nil {
		return err
	}
	written, _, err := folder.Write(c.folder, j.Batch.Name+"-"+j.Digest, func(create folder.Create) error {
		return errors.Join(book.WriteFolder(j, create), writeAll(create, "as-built", drawings), create("as-built.csv", table.Remade(s, p).WriteCSV))
	})
	if err != nil {
		return err
	}
	return c.report(j, written)
}

// shopOf reads the shop file of a build.
func shopOf(r *register.Register, b *register.Build) (*shop.Shop, error) {
	for _, f := range b.Sources {
		if f.Name != "shop.yaml" {
			continue
		}
		text, err := r.Bytes([]register.File{f})
		if err != nil {
			return nil, err
		}
		faults := &source.Collector{}
		s := shop.Read(faults, source.Read(faults, "shop.yaml of "+b.Batch, bytes.NewReader(text[f.Name])))
		return s, faults.Err()
	}
	return nil, fmt.Errorf("the record of %s holds no shop file\nhint: sawbook build verify finds what was altered", b.Batch)
}

// inRecords is inRegister for records, which are told whatever has become of the shop's files: what can still be read of the
// shop file says in which units, and without it they are in the folder that --shop names.
func (c *call) inRecords(do func(*register.Register, *shop.Shop) error) error {
	root := c.register.shop
	if _, err := os.Stat(filepath.Join(root, register.FileName)); err != nil {
		if root, err = batch.FindFolder(root); err != nil {
			return err
		}
	}
	s := batch.OpenFolder(&source.Collector{}, root).Shop
	var err error
	if s.Style, err = c.style(s.Style); err != nil {
		return err
	}
	return within(root, register.Open, func(r *register.Register) error { return do(r, s) })
}

// builds opens the register and finds the builds of a vehicle.
func (c *call) builds(serial string, do func(*register.Register, *shop.Shop, []register.Build) error) error {
	return c.inRecords(func(r *register.Register, s *shop.Shop) error {
		all, err := r.BuildsOf(serial)
		if err != nil {
			return err
		}
		return do(r, s, all)
	})
}
