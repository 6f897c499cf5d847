package guide

// A Pair is two carriages on one rail. The two share all forces and bend the
// rail's moments into a couple, but each must carry its half of the roll
// moment itself.
type Pair struct {
	Pitch       float64 // distance between the carriages [m]
	DriveAcross float64 // place of screw or rack across the travel, positive to the left [m]
	DriveHeight float64 // its height above where the carriages take side load [m]
}

// The order of the carriages in what [Pair.Loads] returns.
const (
	Front = iota
	Rear
)

// Loads returns what each of the two carriages carries, and the force that the
// drive puts on the table along the travel.
//
//	lift      = Fz/2 ∓ My/b
//	side load = Fy/2 ± Mz/b
//	roll      = Mx/2
//
// front above, rear below, with F and M the sums of forces and moments about
// the middle of the two, the drive's -Fx included, and b the pitch. Radial is
// the lift turned round; Roll is the moment of the table on the carriage. Table
// and rail are stiff beside the carriages.
//
// Source: derived here, a rigid body on two springs each way, and Mx, which has no other support.
func (p Pair) Loads(forces []Force) (loads [2]Load, drive float64, err error) {
	var g guard
	g.Positive("distance between the carriages", p.Pitch)
	g.Finite("place of the drive", p.DriveAcross)
	g.Finite("height of the drive", p.DriveHeight)
	s := sum(forces)
	drive, err = g.Answer("drive force", -s.X)
	if err != nil {
		return loads, 0, err
	}
	s = sum(append([]Force{{X: drive, Across: p.DriveAcross, Height: p.DriveHeight}}, forces...))
	for i, side := range [2]float64{Front: 1, Rear: -1} {
		loads[i] = Load{
			Radial:  -(s.Z/2 - side*s.MomentY/p.Pitch),
			Lateral: s.Y/2 + side*s.MomentZ/p.Pitch,
			Roll:    s.MomentX / 2,
		}
		g.Finite("radial load", loads[i].Radial)
		g.Finite("lateral load", loads[i].Lateral)
		g.Finite("roll moment", loads[i].Roll)
	}
	if g.Err != nil {
		return [2]Load{}, 0, g.Err
	}
	return loads, drive, nil
}
