package table

import "sawbook/cabinets/batch"

// Finish lists what is finished, by part and role: the area of one coat, glue faces left
// out, and the litres that all coats take.
func Finish(job *batch.Job) *Table {
	type row = batch.Finished
	return build(job.Batch.Shop, "finish", "Finish by part", batch.Finishing(job),
		text("part", "Part", func(f row) string { return f.Piece.ID }),
		text("name", "Name", func(f row) string { return f.Piece.Name }),
		text("role", "Role", func(f row) string { return f.Role }),
		text("finish", "Finish", func(f row) string { return f.Finish.ID }),
		count("count", "Count", func(f row) int { return f.Count }),
		number("faces_m2", "Faces m²", 3, func(f row) float64 { return f.Faces }),
		number("edges_m2", "Edges m²", 3, func(f row) float64 { return f.Edges }),
		count("coats", "Coats", func(f row) int { return f.Finish.Coats }),
		number("litres", "Litres", 3, func(f row) float64 { return f.Litres() }))
}
