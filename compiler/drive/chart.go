package drive

// A SpeedPoint is one point of a screw's speed-length chart.
type SpeedPoint struct {
	Length   float64 // unsupported length [m]
	Critical float64 // critical speed of the screw [rad/s]
	Allowed  float64 // that speed with the margin [rad/s]
	ByValue  float64 // speed by the speed value DN, the same at each length [rad/s]
}

// SpeedCurve returns a screw's critical speed against its unsupported length, as
// count points evenly spread from one length to another. The speed that may be
// used is the lower of Allowed and ByValue.
//
// The formulas are those of [CriticalSpeed] and [SpeedAtValue].
//
// Source: derived here, CriticalSpeed at each length.
func SpeedCurve(s Screw, ends Ends, limits Limits, from, to float64, count int) ([]SpeedPoint, error) {
	var g guard
	limits.check(&g)
	g.Positive("shortest length", from)
	g.Demand(to > from, "longest length", to, "more than the shortest")
	g.Demand(count >= 2 && count <= 10000, "number of points", float64(count), "2 to 10000")
	if g.Err != nil {
		return nil, g.Err
	}
	ballCircle := s.BallCircle
	if ballCircle == 0 {
		ballCircle = s.NominalDiameter
	}
	byValue, err := SpeedAtValue(limits.SpeedValue, ballCircle)
	if err != nil {
		return nil, err
	}
	points := make([]SpeedPoint, count)
	for i := range points {
		length := from + (to-from)*float64(i)/float64(count-1)
		critical, err := CriticalSpeed(ends, s.RootDiameter, length, s.Material)
		if err != nil {
			return nil, err
		}
		points[i] = SpeedPoint{Length: length, Critical: critical, Allowed: limits.CriticalSpeedMargin * critical, ByValue: byValue}
	}
	return points, nil
}
