//go:build race

package nest

func init() { hangFactor = 10 }
