package nest

import (
	"bufio"
	"encoding/csv"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"
)

// sharedFolder returns the folder of instances that SAWBOOK_BENCHMARKS names: text
// files with one instance a line, name;sheet length;sheet width;length,width,copies;...
// (from 2DPackLib, Iori et al. 2021), and bounds.csv with their proven least numbers of
// sheets. They are not part of this project.
func sharedFolder(t testing.TB) string {
	folder := os.Getenv("SAWBOOK_BENCHMARKS")
	if folder == "" {
		t.Skip("SAWBOOK_BENCHMARKS names no folder of instances")
	}
	return folder
}

// instance is one line of a file, and its least numbers by column of bounds.csv.
type instance struct {
	name    string
	problem Problem
	least   map[string]int
}

// instances reads the file of a set. Parts may turn or not.
func instances(t testing.TB, folder, set string, grain Grain) []instance {
	t.Helper()
	least := leastSheets(t, folder)
	file, err := os.Open(filepath.Join(folder, set+".txt"))
	if err != nil {
		t.Fatal(err)
	}
	defer file.Close()
	var all []instance
	lines := bufio.NewScanner(file)
	for lines.Scan() {
		fields := strings.Split(lines.Text(), ";")
		in := instance{name: fields[0], least: least[fields[0]]}
		in.problem.Sheets = []Sheet{sheet(number(t, fields[1]), number(t, fields[2]))}
		for _, f := range fields[3:] {
			v := append(strings.Split(f, ","), "1")
			in.problem.Parts = append(in.problem.Parts,
				Part{number(t, v[0]), number(t, v[1]), int(number(t, v[2])), grain})
		}
		all = append(all, in)
	}
	return all
}

func number(t testing.TB, text string) int64 {
	n, err := strconv.ParseInt(text, 10, 64)
	if err != nil {
		t.Fatal(err)
	}
	return n
}

func leastSheets(t testing.TB, folder string) map[string]map[string]int {
	file, err := os.Open(filepath.Join(folder, "bounds.csv"))
	if err != nil {
		t.Fatal(err)
	}
	defer file.Close()
	rows, err := csv.NewReader(file).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	least := map[string]map[string]int{}
	for _, row := range rows[1:] {
		least[row[0]] = map[string]int{}
		for i := 2; i < len(row); i++ {
			if n, err := strconv.Atoi(row[i]); err == nil {
				least[row[0]][rows[0][i]] = n
			}
		}
	}
	return least
}

// sharedSet is a file of instances, and by what rules they are cut.
type sharedSet struct {
	name, file string
	grain      Grain
	stages     int
	first      Direction
	column     string // of bounds.csv
}

// sets are those that the shared folder asks for.
var sets = []sharedSet{
	{"classes/fixed", "classes", Along, 0, NoCut, "least_fixed"},
	{"classes/turn", "classes", Any, 0, NoCut, "least_turn"},
	{"furniture/fixed", "furniture", Along, 0, NoCut, "least_fixed"},
	{"furniture/turn", "furniture", Any, 0, NoCut, "least_turn"},
	{"furniture/fixed/3", "furniture", Along, 3, NoCut, "least_fixed"},
	{"furniture/turn/3", "furniture", Any, 3, NoCut, "least_turn"},
	{"furniture/fixed/2", "furniture", Along, 2, Rip, "least_fixed_2stage"},
	{"furniture/turn/2", "furniture", Any, 2, Rip, "least_turn_2stage"},
}
