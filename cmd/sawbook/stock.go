package main

import (
	"encoding/json"
	"errors"
	"fmt"
	"io/fs"
	"math"
	"os"
	"os/user"
	"path/filepath"
	"slices"
	"strconv"
	"strings"

	"sawbook/cabinets/batch"
	"sawbook/cabinets/measure"
	"sawbook/cabinets/register"
	"sawbook/cabinets/shop"
	"sawbook/output/folder"
	"sawbook/output/table"

	"github.com/spf13/cobra"
)

// registerFlags are those of the commands that read or change the register.
type registerFlags struct {
	shop, user, reason string
	size, grain        string
	price, thickness   string
	place, release     string
}

// newestEntry asks for the register as it is now.
const newestEntry = math.MaxInt64

func newStock(c *call) *cobra.Command {
	cmd := &cobra.Command{
		Use:   "stock",
		Short: "what is on hand: sheets, offcuts, rolls, hardware",
		Long: `stock keeps book of what the shop has, in the file register.db beside its shop file. Every change is an
entry with time, user and reason. cut plans with what is on hand; only stock take books it out.`,
		Example: `  sawbook stock receive birch-12 10 --price 72.50 --thickness 11.8
  sawbook stock low batches/spring.yaml`,
		Args: noArguments,
		RunE: func(cmd *cobra.Command, _ []string) error { return cmd.Help() },
	}
	c.registerFlags(cmd)
	cmd.AddCommand(c.stockList(), c.stockHistory(), c.stockReceive(), c.stockCount(), c.stockOffcut(), c.stockTake(), c.stockUndo(), c.stockLow(), c.stockExport(), c.stockRebuild())
	return cmd
}

// registerFlags adds the flags that all commands of the register share.
func (c *call) registerFlags(cmd *cobra.Command) {
	flags := cmd.PersistentFlags()
	flags.StringVar(&c.register.shop, "shop", ".", "the shop's folder, or something in it")
	flags.StringVar(&c.register.user, "user", "", "who changes the register (default: SAWBOOK_USER, else who is logged in)")
	flags.StringVar(&c.register.reason, "reason", "", "why it is changed")
}

func (c *call) stockList() *cobra.Command {
	return &cobra.Command{
		Use: "list", Short: "what is on hand", Example: "  sawbook stock list", Args: noArguments,
		Long: `list shows every delivery and offcut of which something is left.`,
		RunE: func(*cobra.Command, []string) error {
			return c.reading(func(r *register.Register, f *batch.Folder) (*table.Table, error) {
				s, err := r.Stock()
				if err != nil {
					return nil, err
				}
				left := slices.DeleteFunc(s.Lots, func(h register.Held) bool { return h.Left == 0 })
				return table.Stock(f.Shop, left), nil
			})
		},
	}
}

func (c *call) stockHistory() *cobra.Command {
	return &cobra.Command{
		Use: "history", Short: "every change, with time, user and reason", Example: "  sawbook stock history --json", Args: noArguments,
		Long: `history lists the entries of the register but single ticks at the saw. They are ordered by number; a clock may be wrong.`,
		RunE: func(*cobra.Command, []string) error {
			return c.reading(func(r *register.Register, f *batch.Folder) (*table.Table, error) {
				entries, err := r.Entries()
				entries = slices.DeleteFunc(entries, func(e register.Entry) bool { return e.Kind == register.Ticked })
				return table.History(f.Shop, entries), err
			})
		},
	}
}

func (c *call) stockReceive() *cobra.Command {
	cmd := &cobra.Command{
		Use:   "receive ITEM COUNT",
		Short: "book a delivery in",
		Long: `receive books sheets of a material, or rolls, tins and packs of an item, in: COUNT is what the delivery note says.
Hardware that comes in lengths is named with its length in mm: slide-45-300. The measured thickness of sheets
stays with the delivery, and cut warns where it is not what the shop file says.`,
		Example: `  sawbook stock receive birch-12 10 --size 2500x1250 --price 72.50 --thickness 11.8
  sawbook stock receive latch 2 --reason "delivery note 4711"`,
		Args: arguments("an item and a count", "sawbook stock receive birch-12 10", 2, 2),
		RunE: func(_ *cobra.Command, args []string) error {
			return c.item(args[0], func(found register.Found, p *flagParser) (func(*register.Register) error, error) {
				count := p.count("COUNT", args[1], 1)
				if err := p.err(); err != nil {
					return nil, err
				}
				if found.Kind == register.Offcut {
					return nil, errors.New("an offcut is one piece\nhint: sawbook stock offcut books one in")
				}
				q := found.Pack * register.Quantity(count)
				return func(r *register.Register) error {
					e, err := r.Receive(c.by("received"), found.Lot, q)
					if err != nil {
						return err
					}
					return c.tell("entry %d: %s of %s received\n", e.Sequence, q.With(found.Unit), found.Item)
				}, nil
			})
		},
	}
	c.lotFlags(cmd)
	return cmd
}

func (c *call) stockCount() *cobra.Command {
	cmd := &cobra.Command{
		Use:   "count ITEM QUANTITY",
		Short: "book what was counted",
		Long: `count sets what is left of an item, in sheets, metres, litres or pieces; of an offcut, by its label, 0 or 1.
What is missing goes from the oldest deliveries. A reason is needed.`,
		Example: `  sawbook stock count oak-05 87.5 --reason "yearly count"
  sawbook stock count OC-17 0 --reason "dropped"`,
		Args: arguments("an item and a quantity", "sawbook stock count oak-05 87.5", 2, 2),
		RunE: func(_ *cobra.Command, args []string) error {
			return c.item(args[0], func(found register.Found, p *flagParser) (func(*register.Register) error, error) {
				counted := p.quantity("QUANTITY", args[1], found.Kind)
				p.needReason(c.register.reason)
				if err := p.err(); err != nil {
					return nil, err
				}
				return func(r *register.Register) error {
					e, err := r.Count(c.by(""), found.Lot, counted)
					if err != nil {
						return err
					}
					return c.tell("entry %d: %s of %s counted\n", e.Sequence, counted.With(found.Unit), args[0])
				}, nil
			})
		},
	}
	c.lotFlags(cmd)
	return cmd
}

func (c *call) stockOffcut() *cobra.Command {
	cmd := &cobra.Command{
		Use:   "offcut LABEL MATERIAL SIZE",
		Short: "book an offcut in",
		Long: `offcut books in a piece of a material under a label of its own. SIZE is length x width; --grain says which way the
face grain runs. Without a price it counts what a square metre of offcut counts in the shop file.`,
		Example: `  sawbook stock offcut OC-18 birch-12 1180x640 --place "rack 3"
  sawbook stock offcut OC-19 birch-18 900x400 --grain width`,
		Args: arguments("a label, a material and a size", "sawbook stock offcut OC-18 birch-12 1180x640", 3, 3),
		RunE: func(_ *cobra.Command, args []string) error { return c.doOffcut(args[0], args[1], args[2]) },
	}
	c.lotFlags(cmd)
	cmd.Flags().StringVar(&c.register.place, "place", "", "where it lies")
	return cmd
}

func (c *call) doOffcut(label, material, size string) error {
	f, err := c.open(c.register.shop)
	if err != nil {
		return err
	}
	m := f.Shop.Material(material)
	p := flagParser{unit: f.Shop.Unit}
	l := register.Lot{Key: register.Key{Kind: register.Offcut, Item: material, Label: strings.TrimSpace(label)}, Place: c.register.place}
	l.Length, l.Width = p.size("SIZE", size)
	c.lot(&l, &p)
	switch {
	case m == nil || m.Press != nil && !m.Press.Sheets:
		p.wrong("MATERIAL", material, "no sheet material of the shop", "see materials in shop.yaml")
	case l.Label == "":
		p.wrong("LABEL", "", "a label is missing", "give what is written on the piece")
	}
	if err := p.err(); err != nil {
		return err
	}
	return within(f.Root, register.OpenOrCreate, func(r *register.Register) error {
		e, err := r.Keep(c.by("kept"), l)
		if err != nil {
			return err
		}
		return c.tell("entry %d: offcut %s of %s, %s\n", e.Sequence, l.Label, material, f.Shop.Style.Size(l.Length, l.Width))
	})
}

func (c *call) stockTake() *cobra.Command {
	return c.withRelease(&cobra.Command{
		Use:   "take BATCH [FOLDER]",
		Short: "book a batch out when it is cut, and its new offcuts in",
		Long: `take books out what a batch takes, once, and brings the offcuts worth keeping in with a label for each: write it on the piece.
FOLDER is the folder that was printed and cut from; it is needed where stock has come or gone since it was written. Nothing
is booked unless all of it is on hand. What the register never saw is left out, and told; a size of sheets of which the shop
file alone kept count is taken over from there. Where parts were planned anew at the saw, the sheets are those that were used;
after recuts that come later, take the batch again, which books them alone.`,
		Example: `  sawbook stock take batches/spring.yaml
  sawbook stock take batches/spring.yaml out/spring-0e09cbe8`,
		Args: arguments("the batch file, and the folder that was cut from", "sawbook stock take batches/spring.yaml", 1, 2),
		RunE: func(cmd *cobra.Command, args []string) error { return c.doTake(cmd, args) },
	})
}

// withRelease adds the flag that chooses a release of a batch.
func (c *call) withRelease(cmd *cobra.Command) *cobra.Command {
	cmd.Flags().StringVar(&c.register.release, "release", "", "one release of the batch")
	return cmd
}

func (c *call) doTake(cmd *cobra.Command, args []string) error {
	f, j, _, err := c.asCut(cmd, args)
	if err != nil {
		return err
	}
	var t *register.Taken
	if err := within(f.Root, register.Open, func(r *register.Register) (err error) {
		t, err = r.Take(c.by("cut"), j)
		return err
	}); err != nil {
		return err
	}
	how := "booked out"
	switch recuts := (register.One * register.Quantity(t.Recuts)).With("recuts"); {
	case t.Again:
		how += " before, now with " + recuts + " since"
	case t.Recuts > 0:
		how += ", as it was cut with " + recuts
	}
	if err := c.tell("entry %d: %s-%s %s\n", t.Sequence, j.Batch.Name, j.Digest, how); err != nil {
		return err
	}
	style := f.Shop.Style
	for _, n := range t.Out {
		fmt.Fprintf(c.out, "  %s\n", amountOf(n, style))
	}
	for _, n := range t.Back {
		fmt.Fprintf(c.out, "  back, not needed after all: %s\n", amountOf(n, style))
	}
	for _, l := range t.Gone {
		fmt.Fprintf(c.out, "  offcut %s is used, or not left after all\n", l.Label)
	}
	for _, l := range t.In {
		fmt.Fprintf(c.out, "  new offcut %s of %s, %s\n", l.Label, l.Item, style.Size(l.Length, l.Width))
	}
	if len(t.Unknown) > 0 {
		var names []string
		for _, n := range t.Unknown {
			names = append(names, n.Title(style))
		}
		fmt.Fprintf(c.out, "not booked, since none of it was ever received or counted: %s\n", strings.Join(names, ", "))
	}
	return nil
}

// amountOf says how much of what.
func amountOf(n register.Need, style measure.Style) string {
	if n.Kind == register.Offcut {
		return n.Title(style)
	}
	return n.Quantity.With(n.Unit) + " of " + n.Title(style)
}

// asCut works a batch out as it was when its folder was written: with the stock of then. Without a folder it is the one
// that cut would write now.
func (c *call) asCut(cmd *cobra.Command, args []string) (f *batch.Folder, j *batch.Job, path string, err error) {
	f, b, err := c.load(args[0], nil)
	if err != nil {
		return nil, nil, "", err
	}
	after := int64(newestEntry)
	if len(args) > 1 {
		if after, err = plannedAfter(args[1]); err != nil {
			return nil, nil, "", err
		}
	}
	if err := onHand(f, b, after); err != nil {
		return nil, nil, "", err
	}
	if j, err = c.workRelease(cmd.Context(), b, c.register.release); err != nil {
		return nil, nil, "", err
	}
	name := j.Batch.Name + "-" + j.Digest
	if path = filepath.Join(c.folder, name); len(args) > 1 {
		path = filepath.Clean(args[1])
	}
	switch info, err := os.Stat(path); {
	case !isFolderOf(path, j):
		return nil, nil, "", fmt.Errorf("%s was not written from the files as they are: they now give %s\nhint: bring back the files, and the --effort, --seed and --units, that it was written with", path, name)
	case err != nil || !info.IsDir():
		return nil, nil, "", fmt.Errorf("%s was never written: files or stock have changed since the batch was cut\nhint: name the folder that was cut from: %s BATCH FOLDER", path, cmd.CommandPath())
	}
	return f, j, path, nil
}

// plannedAfter returns the entry up to which the register counted when a folder was written.
func plannedAfter(path string) (int64, error) {
	if _, err := os.Stat(filepath.Join(path, "plan.json")); err != nil {
		return 0, fmt.Errorf("%s is no folder that cut has written\nhint: name it as cut did, such as out/spring-0e09cbe8", path)
	}
	text, err := os.ReadFile(filepath.Join(path, "register.json"))
	if errors.Is(err, fs.ErrNotExist) {
		return 0, nil // there was no register yet
	} else if err != nil {
		return 0, err
	}
	var m batch.Memory
	if err := json.Unmarshal(text, &m); err != nil {
		return 0, fmt.Errorf("%s: %w", filepath.Join(path, "register.json"), err)
	}
	return m.Sequence, nil
}

// onHand plans a batch with what the shop's register had on hand after an entry; 0 is before there was a register.
func onHand(f *batch.Folder, b *batch.Batch, after int64) error {
	if after == 0 {
		return nil
	}
	err := within(f.Root, register.Open, func(r *register.Register) (err error) {
		b.Memory, err = r.Plan(f.Shop, after)
		return err
	})
	if errors.Is(err, register.ErrNone) {
		return nil
	}
	return err
}

func (c *call) stockUndo() *cobra.Command {
	return &cobra.Command{
		Use:   "undo [ENTRY]",
		Short: "take an entry back",
		Long: `undo takes back what an entry booked, by a new entry; without a number the newest that was not taken back.
What came in by it must still be there. A reason is needed.`,
		Example: `  sawbook stock undo --reason "counted the wrong rack"
  sawbook stock undo 1 --reason "not cut after all"`,
		Args: arguments("the number of an entry", "sawbook stock undo 12", 0, 1),
		RunE: func(_ *cobra.Command, args []string) error {
			p, number := flagParser{}, 0
			if len(args) == 1 {
				number = p.count("ENTRY", args[0], 1)
			}
			p.needReason(c.register.reason)
			if err := p.err(); err != nil {
				return err
			}
			return c.inRegister(func(r *register.Register, f *batch.Folder) error {
				undone, err := r.Undo(c.by(""), int64(number))
				if err != nil {
					return err
				}
				return c.tell("entry %d (%s %s) is undone\n", undone.Sequence, undone.Kind, undone.About(f.Shop.Style))
			})
		},
	}
}

func (c *call) stockLow() *cobra.Command {
	return c.withRelease(&cobra.Command{
		Use:   "low BATCH",
		Short: "what to order before a batch can be cut",
		Long: `low plans a batch with what is on hand and lists what it takes beyond that, in the sheets, rolls and packs that are bought.
What the register has no entry of counts as not there.`,
		Example: "  sawbook stock low batches/spring.yaml",
		Args:    oneArgument("the batch file", "sawbook stock low batches/spring.yaml"),
		RunE: func(cmd *cobra.Command, args []string) error {
			f, b, err := c.load(args[0], nil)
			if err != nil {
				return err
			}
			if err := within(f.Root, register.Open, func(r *register.Register) (err error) {
				b.Memory, err = r.Plan(f.Shop, newestEntry)
				return err
			}); err != nil {
				return err
			}
			j, err := c.workRelease(cmd.Context(), b, c.register.release)
			if err != nil {
				return err
			}
			return c.print(table.Low(j), "everything is on hand")
		},
	})
}

func (c *call) stockExport() *cobra.Command {
	return &cobra.Command{
		Use:   "export FOLDER",
		Short: "write the register as plain files",
		Long: `export writes a new folder: register.jsonl holds every entry, one JSON value a line, and is what rebuild reads;
stock.csv and history.csv are the lists. Keep it on another disk.`,
		Example: "  sawbook stock export backup/2026-11",
		Args:    oneArgument("the folder to write", "sawbook stock export backup"),
		RunE:    func(_ *cobra.Command, args []string) error { return c.doExport(args[0]) },
	}
}

func (c *call) doExport(path string) error {
	return c.inRegister(func(r *register.Register, f *batch.Folder) error { return c.export(r, f, path) })
}

func (c *call) export(r *register.Register, f *batch.Folder, path string) error {
	s, err := r.Stock()
	if err != nil {
		return err
	}
	entries, err := r.Entries()
	if err != nil {
		return err
	}
	path, fresh, err := folder.Write(filepath.Dir(path), filepath.Base(path), func(create folder.Create) error {
		if err := r.Export(create); err != nil {
			return err
		}
		return errors.Join(create("stock.csv", table.Stock(f.Shop, s.Lots).WriteCSV), create("history.csv", table.History(f.Shop, entries).WriteCSV))
	})
	if err == nil && !fresh {
		err = fmt.Errorf("%s is there already\nhint: name a new folder", path)
	}
	if err != nil {
		return err
	}
	return c.tell("%d entries written to %s\n", len(entries), path)
}

func (c *call) stockRebuild() *cobra.Command {
	return &cobra.Command{
		Use:   "rebuild FOLDER",
		Short: "make the register again from an export",
		Long: `rebuild makes register.db from what export wrote, after it was lost or damaged. It replaces nothing: move what is left
of the old register away first.`,
		Example: "  sawbook stock rebuild backup/2026-11",
		Args:    oneArgument("the folder that export wrote", "sawbook stock rebuild backup"),
		RunE: func(_ *cobra.Command, args []string) error {
			f, err := c.open(c.register.shop)
			if err != nil {
				return err
			}
			last, err := register.Rebuild(f.Root, args[0])
			if err != nil {
				return err
			}
			return c.tell("%d entries, the newest %s\n", last.Sequence, last.Digest)
		},
	}
}

// within does something in the register of a shop's folder, as open opens it.
func within(root string, open func(root string) (*register.Register, error), do func(*register.Register) error) error {
	r, err := open(root)
	if err != nil {
		return err
	}
	defer r.Close()
	return do(r)
}

// inRegister does something in the register of the shop that --shop names.
func (c *call) inRegister(do func(*register.Register, *batch.Folder) error) error {
	f, err := c.open(c.register.shop)
	if err != nil {
		return err
	}
	return within(f.Root, register.Open, func(r *register.Register) error { return do(r, f) })
}

// reading prints a list of what the register holds.
func (c *call) reading(list func(*register.Register, *batch.Folder) (*table.Table, error)) error {
	return c.inRegister(func(r *register.Register, f *batch.Folder) error {
		t, err := list(r, f)
		if err != nil {
			return err
		}
		return c.print(t, "nothing found")
	})
}

// print prints a list, or what to say where it is empty.
func (c *call) print(t *table.Table, empty string) error {
	switch {
	case c.json:
		return t.WriteJSON(c.out)
	case len(t.Rows) == 0:
		return c.tell("%s\n", empty)
	}
	return t.WriteText(c.out)
}

func (c *call) tell(format string, args ...any) error {
	_, err := fmt.Fprintf(c.out, format, args...)
	return err
}

// by says who changes the register, and why where no reason is given.
func (c *call) by(reason string) register.By {
	who := c.register.user
	if who == "" {
		who = os.Getenv("SAWBOOK_USER")
	}
	if who == "" {
		if u, err := user.Current(); err == nil {
			who = u.Username
		}
	}
	if c.register.reason != "" {
		reason = c.register.reason
	}
	return register.By{User: who, Reason: reason, Time: c.now()}
}

// lotFlags adds the flags that describe what comes in.
func (c *call) lotFlags(cmd *cobra.Command) {
	flags := cmd.Flags()
	if !strings.HasPrefix(cmd.Use, "offcut") {
		flags.StringVar(&c.register.size, "size", "", "of sheets, length x width (default: the first that the shop buys)")
	}
	flags.StringVar(&c.register.grain, "grain", "length", "the face grain runs along the length or the width")
	flags.StringVar(&c.register.price, "price", "", "of one sheet, roll or pack, as bought (default: that of the shop file)")
	flags.StringVar(&c.register.thickness, "thickness", "", "as measured on this delivery")
}

// lot reads the flags that describe what comes in.
func (c *call) lot(l *register.Lot, p *flagParser) {
	switch c.register.grain {
	case "length":
	case "width":
		l.Across = true
	default:
		p.wrong("grain", c.register.grain, "neither length nor width", "say along which side the face grain runs")
	}
	if c.register.price != "" {
		price := p.money("price", c.register.price)
		l.Price = &price
	}
	if c.register.thickness != "" {
		if l.Thickness = p.length("thickness", c.register.thickness); l.Thickness > 100*measure.Millimetre {
			p.wrong("thickness", c.register.thickness, "thicker than any sheet", "check the unit and the digits")
		}
	}
}

// item finds what the shop buys by its name and the flags. What is to be booked of it is booked in the register, which is
// started where there is none, but not for what is refused.
func (c *call) item(name string, read func(register.Found, *flagParser) (book func(*register.Register) error, err error)) error {
	f, err := c.open(c.register.shop)
	if err != nil {
		return err
	}
	p := flagParser{unit: f.Shop.Unit}
	var told register.Lot
	c.lot(&told, &p)
	size := register.Size{Across: told.Across}
	if c.register.size != "" {
		size.Length, size.Width = p.size("size", c.register.size)
	}
	if err := p.err(); err != nil {
		return err
	}
	s, err := stockIn(f.Root)
	if err != nil {
		return err
	}
	found, err := s.Find(f.Shop, name, size)
	if err != nil {
		return err
	}
	if told.Price != nil {
		found.Price = told.Price
	}
	if told.Thickness > 0 {
		found.Thickness = told.Thickness
	}
	book, err := read(found, &p)
	if err != nil {
		return err
	}
	return within(f.Root, register.OpenOrCreate, book)
}

// stockIn is what a shop has, nothing where it keeps no register.
func stockIn(root string) (s *register.Stock, err error) {
	err = within(root, register.Open, func(r *register.Register) (err error) {
		s, err = r.Stock()
		return err
	})
	if errors.Is(err, register.ErrNone) {
		return &register.Stock{}, nil
	}
	return s, err
}

// most is the greatest count that is booked at once.
const most = 1_000_000

func (p *flagParser) count(name, text string, least int) int {
	n, err := strconv.Atoi(text)
	if err != nil || n < least || n > most {
		p.wrong(name, text, fmt.Sprintf("no whole number from %d to %d", least, most), "count sheets, rolls, tins or packs")
	}
	return n
}

// quantity reads what was counted.
func (p *flagParser) quantity(name, text string, kind register.Kind) register.Quantity {
	amount, err := strconv.ParseFloat(text, 64)
	switch {
	case err != nil || !(amount >= 0 && amount <= most):
		p.wrong(name, text, fmt.Sprintf("no number from 0 to %d", most), "give sheets, metres, litres or pieces")
	case kind != register.Item && amount != math.Trunc(amount) || kind == register.Offcut && amount > 1:
		p.wrong(name, text, "sheets are counted whole, and an offcut is 1 or 0", "book what is left of a sheet as an offcut")
	}
	return register.Of(amount)
}

func (p *flagParser) money(name, text string) shop.Money {
	amount, err := strconv.ParseFloat(text, 64)
	if err != nil || !(amount >= 0 && amount <= 1e9) {
		p.wrong(name, text, "no amount of 0 or more", "give for example 74 or 74.50")
	}
	return shop.Money(math.Round(amount * 100))
}

func (p *flagParser) needReason(reason string) {
	if strings.TrimSpace(reason) == "" {
		p.wrong("reason", "", "a reason is needed", `add for example --reason "yearly count"`)
	}
}

// arguments wants so many arguments.
func arguments(what, example string, least, most int) cobra.PositionalArgs {
	return func(_ *cobra.Command, args []string) error {
		if least <= len(args) && len(args) <= most {
			return nil
		}
		return usageError{fmt.Errorf("%d arguments where this is needed: %s\nhint: %s", len(args), what, example)}
	}
}
