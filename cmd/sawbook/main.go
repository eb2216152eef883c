// Command sawbook turns cabinet designs into cut sheets: see the README.
package main

import (
	"context"
	"os"
	"os/signal"
	"runtime/debug"
)

// garbage is the share of the memory in use, in percent, that lies until it is collected: there is
// little in use, and collecting it sooner costs a tenth of a cut's time, a third of a page's answer's.
const garbage = 400

func main() {
	debug.SetGCPercent(garbage)
	ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt)
	defer stop()
	os.Exit(run(ctx, os.Args[1:], os.Stdin, os.Stdout, os.Stderr))
}
