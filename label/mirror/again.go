package mirror

import "context"

// again sends what the mirror lost of what is before its last head.
func (s *sender) again(ctx context.Context) error {
	if err := s.list(ctx); err != nil {
		return err
	}
	if s.There == 0 {
		return nil
	}
	var files []named
	for n := 1; n <= s.There; n++ {
		files = append(files, namedBy(&s.Ledger.Lines[n-1], n)...)
	}
	if err := s.files(ctx, files); err != nil {
		return err
	}
	there := make([]bool, s.There+1)
	for e, err := range s.b.List(ctx, lines) {
		if err != nil {
			return err
		}
		if n, ok := numberOf(e.Key); ok && n <= s.There {
			there[n] = true
		}
	}
	for n := 1; n <= s.There; n++ {
		if !there[n] {
			if err := s.line(ctx, n); err != nil {
				return err
			}
		}
	}
	s.Again = s.Files + s.Sent
	return nil
}
