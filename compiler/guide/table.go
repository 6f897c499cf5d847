package guide

// A Table is a stiff table on two rails with two carriages on each. Its origin
// is the middle of the four carriages, at the height where they take side
// load.
type Table struct {
	Spread      float64 // distance between the rails [m]
	Pitch       float64 // distance between the carriages of one rail [m]
	DriveAcross float64 // place of screw or rack across the travel, positive to the left [m]
	DriveHeight float64 // its height above the origin, negative below [m]
}

// A Force is a force on the table, and where it acts.
type Force struct {
	X       float64 // along the travel [N]
	Y       float64 // to the left [N]
	Z       float64 // away from the rails [N]
	Along   float64 // place of attack along the travel [m]
	Across  float64 // place of attack across the travel [m]
	Height  float64 // place of attack above the origin [m]
	MomentX float64 // free moment about the travel [N·m]
	MomentY float64 // free moment about the axis across [N·m]
	MomentZ float64 // free moment about the axis away from the rails [N·m]
}

// sum returns one force at the origin that does the same as all of them: its
// moments are those of the forces about the origin.
func sum(forces []Force) Force {
	var s Force
	for _, f := range forces {
		s.X += f.X
		s.Y += f.Y
		s.Z += f.Z
		s.MomentX += f.Across*f.Z - f.Height*f.Y + f.MomentX
		s.MomentY += f.Height*f.X - f.Along*f.Z + f.MomentY
		s.MomentZ += f.Along*f.Y - f.Across*f.X + f.MomentZ
	}
	return s
}

// The order of the carriages in what [Table.Loads] returns.
const (
	FrontLeft = iota
	FrontRight
	RearLeft
	RearRight
)

// places returns x and y of each carriage.
func (t Table) places() [4][2]float64 {
	a, b := t.Spread/2, t.Pitch/2
	return [4][2]float64{FrontLeft: {b, a}, FrontRight: {b, -a}, RearLeft: {-b, a}, RearRight: {-b, -a}}
}

func (t Table) check(g *guard) {
	g.Positive("distance between the rails", t.Spread)
	g.Positive("distance between the carriages", t.Pitch)
	g.Finite("place of the drive", t.DriveAcross)
	g.Finite("height of the drive", t.DriveHeight)
}

// Loads returns what each carriage of a table carries under forces on it, and
// the force that the drive puts on the table along the travel.
//
//	lift of carriage i  = Fz/4 + Mx yi/a² - My xi/b²
//	lateral load of i      = Fy/4 + Mz xi/b²
//
// with F and M the sums of forces and moments about the origin, the drive's
// -Fx included, a the spread and b the pitch; Σyi² = a², Σxi² = b². Radial is
// the lift turned round. Inertia forces and weight are given among the forces.
//
// It holds for a table and rails that are stiff beside the carriages, and for
// four equal carriages, free of friction along the rails and without stiffness
// against turning of their own.
//
// Source: derived here, a rigid body on four equal springs each way.
func (t Table) Loads(forces []Force) (loads [4]Load, drive float64, err error) {
	var g guard
	t.check(&g)
	s := sum(forces)
	drive, err = g.Answer("drive force", -s.X)
	if err != nil {
		return loads, 0, err
	}
	s = sum(append([]Force{{X: drive, Across: t.DriveAcross, Height: t.DriveHeight}}, forces...))
	for i, at := range t.places() {
		x, y := at[0], at[1]
		loads[i].Radial, err = g.Answer("radial load", -(s.Z/4 + s.MomentX/t.Spread*(y/t.Spread) - s.MomentY/t.Pitch*(x/t.Pitch)))
		if err != nil {
			return [4]Load{}, 0, err
		}
		loads[i].Lateral, err = g.Answer("lateral load", s.Y/4+s.MomentZ/t.Pitch*(x/t.Pitch))
		if err != nil {
			return [4]Load{}, 0, err
		}
	}
	return loads, drive, nil
}

// A TableStiffness is how stiffly four carriages hold a table, about their
// middle.
type TableStiffness struct {
	Vertical float64 // against lift and press [N/m]
	Lateral  float64 // against lateral load [N/m]
	Roll     float64 // about the travel [N·m/rad]
	Pitch    float64 // about the axis across [N·m/rad]
	Yaw      float64 // about the axis away from the rails [N·m/rad]
}

// Stiffness returns how stiffly four equal carriages hold the table.
//
//	vertical 4 k, lateral 4 k', roll k a², pitch k b², yaw k' b²
//
// with k and k' the stiffness of one carriage, mounting surface included, radially and
// laterally [N/m]; the table as stiff as for [Table.Loads].
//
// Source: derived here, a rigid body on four equal springs each way.
func (t Table) Stiffness(radial, lateral float64) (TableStiffness, error) {
	var g guard
	t.check(&g)
	g.Positive("radial stiffness of a carriage", radial)
	g.Positive("lateral stiffness of a carriage", lateral)
	s := TableStiffness{
		Vertical: 4 * radial,
		Lateral:  4 * lateral,
		Roll:     radial * t.Spread * t.Spread,
		Pitch:    radial * t.Pitch * t.Pitch,
		Yaw:      lateral * t.Pitch * t.Pitch,
	}
	for _, v := range []float64{s.Vertical, s.Lateral, s.Roll, s.Pitch, s.Yaw} {
		g.Finite("stiffness of the table", v)
	}
	if g.Err != nil {
		return TableStiffness{}, g.Err
	}
	return s, nil
}
