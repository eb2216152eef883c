package batch

import (
	"context"

	"sawbook/cabinets"
	"sawbook/cabinets/shop"
)

// WorkPieces plans pieces that are to be cut by themselves, from the sheets that there are of their materials.
func WorkPieces(ctx context.Context, name string, s *shop.Shop, pieces []*cabinets.Piece, stock map[*shop.Material][]shop.Sheet, o Options) (*Job, error) {
	return Work(ctx, &Batch{Name: name, Shop: s, List: pieces, stock: stock}, o)
}
