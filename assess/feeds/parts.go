package feeds

// Parts numbers the connected parts of so many places, whichever way a join
// leads: two places have the same number where joins lead from one to the
// other.
func Parts(n int, joins ...[][]int) []int {
	part := make([]int, n)
	for i := range part {
		part[i] = i
	}
	root := func(i int) int {
		for part[i] != i {
			part[i] = part[part[i]]
			i = part[i]
		}
		return i
	}
	for _, join := range joins {
		for i, others := range join {
			for _, o := range others {
				if a, b := root(i), root(o); a != b {
					part[max(a, b)] = min(a, b)
				}
			}
		}
	}
	for i := range part {
		part[i] = root(i)
	}
	return part
}
