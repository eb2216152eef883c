// Package library holds the built-in cabinet definitions, one YAML file each. Nothing
// in Go knows any of them by name.
package library

import "embed"

// Files holds the definitions as <name>.yaml.
//
//go:embed *.yaml
var Files embed.FS
