package report

import (
	"vouchmark/assess"
	"vouchmark/assess/feeds"
)

// net holds a site's feeds and ties for the picture.
type net struct {
	index map[string]int
	usual [][]int      // the feeds of the usual case of each location
	every *feeds.Graph // those of all cases
	ties  [][]int
}

func newNet(s *assess.Site) *net {
	index := s.Index()
	return &net{index: index, usual: assess.FeedsIn(s, index, ""), every: assess.Feeds(s, index), ties: assess.Ties(s, index)}
}

// among is the graph of the feeds between some places, numbered as given: the
// usual feeds, and those of other cases that make no loop with them. The start of
// a branch has no feed, unless it is on a loop.
func (n *net) among(members []int, root int) *feeds.Graph {
	number := make(map[int]int, len(members))
	for k, i := range members {
		number[i] = k
	}
	within := func(up [][]int) [][]int {
		in := make([][]int, len(members))
		for k, i := range members {
			for _, u := range up[i] {
				if j, ok := number[u]; ok {
					in[k] = append(in[k], j)
				}
			}
		}
		return in
	}
	usual, every := within(n.usual), within(n.every.Up)
	if root != none && !feeds.New(usual).OnLoop(number[root]) {
		usual[number[root]], every[number[root]] = nil, nil
	}
	return feeds.New(feeds.With(usual, every))
}

// unknown returns the ids that are not locations.
func (n *net) unknown(ids []string) []string {
	var all []string
	for _, id := range ids {
		if _, ok := n.index[id]; !ok {
			all = append(all, id)
		}
	}
	return all
}
