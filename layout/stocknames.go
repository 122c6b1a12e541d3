package layout

// StockNames are the names of the built-in stocks.
func StockNames() []string {
	var names []string
	for _, s := range Stocks() {
		names = append(names, s.Name)
	}
	return names
}
