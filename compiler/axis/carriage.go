package axis

// A Carriages is computed in the sheets as yet.
type Carriages struct{}

func (s *Solution) carry() error { return nil }
