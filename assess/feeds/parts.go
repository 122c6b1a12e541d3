package feeds

// Parts divides n places into connected parts, and numbers them. Two places have the
// same number if joins connect them, directly or through others; the direction of a
// join does not matter.
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
