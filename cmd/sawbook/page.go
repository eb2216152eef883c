package main

import (
	"context"
	"crypto/rand"
	"errors"
	"fmt"
	"net"

	"sawbook/output/page"

	"github.com/spf13/cobra"
)

func newPage(c *call) *cobra.Command {
	var address string
	var open bool
	cmd := &cobra.Command{
		Use:   "page [FOLDER]",
		Short: "the local page: change sizes and see sheets, parts and cost",
		Long: `page serves a web page for the shop in a folder, the one at hand unless another is named: choose a
layout and a cabinet, change sizes and materials, see drawings, sheets, parts, cost and findings, and save
what you keep. It ends with Ctrl-C.

It listens on this machine alone. To let others of the shop's network in, name another address and say
--others: the address that is printed then holds a token, and who has it may save as well.`,
		Example: `  sawbook page
  sawbook page shop --listen 127.0.0.1:8200`,
		Args: func(_ *cobra.Command, args []string) error {
			if len(args) > 1 {
				return usageError{errors.New("more than one folder\nhint: sawbook page FOLDER")}
			}
			return nil
		},
		RunE: func(cmd *cobra.Command, args []string) error {
			return c.doPage(cmd.Context(), append(args, ".")[0], address, open)
		},
	}
	cmd.Flags().StringVar(&address, "listen", "127.0.0.1:8017", "address and port; port 0 takes a free one")
	cmd.Flags().BoolVar(&open, "others", false, "let other machines in, with a token")
	return cmd
}

func (c *call) doPage(ctx context.Context, folder, address string, others bool) error {
	f, err := c.openNamed(folder)
	if err != nil {
		return err
	}
	host, _, err := net.SplitHostPort(address)
	if err != nil {
		return usageError{fmt.Errorf("%q is no address and port\nhint: --listen 127.0.0.1:8017", address)}
	}
	ip := net.ParseIP(host)
	loopback := host == "localhost" || ip != nil && ip.IsLoopback()
	if !loopback && !others {
		return usageError{fmt.Errorf("%s is reached from other machines\nhint: say --others, or listen on 127.0.0.1", address)}
	}
	l, err := net.Listen("tcp", address)
	if err != nil {
		return fmt.Errorf("%w\nhint: choose another port with --listen", err)
	}
	query, token := "", ""
	if !loopback {
		token = rand.Text()
		query = "?token=" + token
	}
	fmt.Fprintf(c.out, "http://%s/%s\n", l.Addr(), query)
	return page.New(f.Root, l.Addr().String(), token).Serve(ctx, l)
}
