package grid

// ReadWithin reads with limits small enough for a test.
func ReadWithin(text []byte, o Options, rows, columns, field int) (*Grid, error) {
	return read(text, o, limits{rows: rows, columns: columns, field: field})
}
