package main

// A mutation is one change in the physics.
type mutation struct {
	file    string // from the root of the project
	what    string // in words
	was, is string
	tests   string // the tests that have the rows, where the package has slow ones beside them
}

var mutations = []mutation{
	{"compiler/section/torsion.go", "the loss at the flange ends of a rolled I, sign", "2*alpha*cube(d)*d - 0.420*cube(tf)*tf", "2*alpha*cube(d)*d + 0.420*cube(tf)*tf", "Printed|CatalogueTables|FiniteElementsPlain|Pilkey"},
	{"compiler/section/torsion.go", "the series of a rectangle in torsion, 192 to 184", "192/math.Pow(math.Pi, 5)", "184/math.Pow(math.Pi, 5)", "Printed|Books|Rectangle|FiniteElementsPlain|Pilkey"},
	{"compiler/section/shear.go", "shear flow over the thickness, a sign in the rise", "here*x+rise*x*x/2", "here*x-rise*x*x/2", "FiniteElementsPlain|Pilkey"},
	{"compiler/section/shear.go", "shear of a round bar, 3 + 2ν to 3 + ν", "n, q := 3+2*poisson, 1-2*poisson", "n, q := 3+poisson, 1-2*poisson", "RoundShear"},
	{"compiler/section/held.go", "held ends, half of the length for both", "{1: 1, 2: 0.5}", "{1: 1, 2: 0.6}", "Held"},
	{"compiler/warping/solver.go", "Poisson's ratio in the shear functions, doubled", "field[i] = anticlastic(m.poisson(), q, k)", "field[i] = anticlastic(2*m.poisson(), q, k)", "Reference|Channel|Shear"},
	{"compiler/frame/member.go", "the shear parameter of a beam, 12 to 6", "return 12 * ei / (ga * length * length)", "return 6 * ei / (ga * length * length)", "Reference|Textbook|Beam|DeepBeam"},
	{"compiler/frame/member.go", "the far end's moment, sign of Φ", "c * (4 + phi), c * (2 - phi)", "c * (4 + phi), c * (2 + phi)", "Reference|Textbook|Beam|DeepBeam"},
	{"compiler/frame/action.go", "rotary inertia left out of bending", "bend(bendingY, s.EIz, s.GAy, s.RotaryZ)", "bend(bendingY, s.EIz, s.GAy, 0*s.RotaryZ)", "Reference|DeepBeam|OffCentre|Modes"},
	{"compiler/modal/receptance.go", "the sign of damping", "re, im := w2-above2, w2*m.Loss+below2", "re, im := w2-above2, -w2*m.Loss+below2", ""},
	{"compiler/modal/receptance.go", "the normalisation of modes, modal mass ½ in place of 1", "sums[i] += p * gain", "sums[i] += 2 * p * gain", ""},
	{"compiler/spindle/coupling.go", "coupling of shaft and housing, sign of the inertia", "= -w2 * (h[a][0]", "= w2 * (h[a][0]", ""},
	{"compiler/chatter/multi.go", "the phase between two teeth, sign", "return complex(1-cos, sin)", "return complex(1-cos, -sin)", "Stability|Turning|Truncation"},
	{"compiler/chatter/least.go", "process damping over the circumference, π left out", "c.velocity = c.m.Damping / (math.Pi * c.m.Diameter * speed)", "c.velocity = c.m.Damping / (c.m.Diameter * speed)", "ProcessDamping"},
	{"compiler/chatter/multi.go", "the same, by eigenvalues", "o.velocity = m.Damping / (math.Pi * m.Diameter * speed) * o.unit", "o.velocity = m.Damping / (m.Diameter * speed) * o.unit", "ProcessDamping"},
	{"compiler/chatter/zero.go", "the zero-order solution's 4π to 2π", "m.Tangential/(4*math.Pi)", "m.Tangential/(2*math.Pi)", "Stability|ZeroOrder|Turning|OneMode|Half"},
	{"compiler/cutting/law.go", "Kienzle's exponent, sign", "kc11 * math.Pow(h/unitChip, -mc)", "kc11 * math.Pow(h/unitChip, mc)", ""},
	{"compiler/cutting/chip.go", "the mean chip, 2 to 1", "return 2 / angle * widthRatio", "return 1 / angle * widthRatio", ""},
	{"compiler/drive/critical.go", "the critical speed's radius of gyration, d/4 to d/2", "k*k*rootDiameter/4*math.Sqrt(m.Modulus/m.Density)", "k*k*rootDiameter/2*math.Sqrt(m.Modulus/m.Density)", ""},
	{"compiler/drive/column.go", "buckling of a fixed and a supported end, 4.4934 to 4.7300", "4.4934094579090642", "4.7300407448627040", ""},
	{"compiler/drive/belt.go", "the two spans of a belt, in series", "specific*width*(1/first+1/second)", "specific*width/(first+second)", ""},
	{"compiler/drive/life.go", "the exponent of a screw's life, 3 to 10/3", "math.Pow(dynamicRating/meanLoad, 3)*1e6", "math.Pow(dynamicRating/meanLoad, 10.0/3)*1e6", ""},
	{"compiler/guide/guide.go", "the exponent of rollers, 10/3 to 3", "return 10.0 / 3", "return 3", ""},
	{"compiler/guide/round.go", "Hertz's exponent of balls, 3/2 to 1", "load := approach * math.Sqrt(approach)", "load := approach", ""},
	{"compiler/heat/expansion.go", "expansion of grey iron, that of steel", "{Low: 10e-6, Nominal: 10.5e-6, High: 11.5e-6}", "{Low: 10e-6, Nominal: 11.7e-6, High: 11.5e-6}", ""},
	{"compiler/heat/screw.go", "a held screw's force, bearings left out", "s.Length/s.Modulus/s.area()+s.Start+s.End", "s.Length/s.Modulus/s.area()", ""},
	{"compiler/heat/film.go", "radiation, the third power to the fourth", "4*emissivity*stefanBoltzmann*math.Pow(temperature, 3)", "4*emissivity*stefanBoltzmann*math.Pow(temperature, 4)", ""},
	{"compiler/fill/concrete.go", "drying shrinkage, the sign of the humidity", "(1-humidity*humidity*humidity)", "(1+humidity*humidity*humidity)", ""},
	{"compiler/fill/keys.go", "slip of a key, 4β³ to 2β³", "return 4 * beta * beta * beta", "return 2 * beta * beta * beta", ""},
	{"compiler/joint/thread.go", "the frustum's angle, 30° to 35°", "tan := 1 / math.Sqrt(3)", "tan := 0.7002", ""},
	{"compiler/motor/transmission.go", "acceleration, the motor's own inertia without the ratio", "in.Motor*t.Ratio*alpha", "in.Motor*alpha", ""},
	{"compiler/motor/duty.go", "RMS torque, the square root left out", "d.Peak*math.Sqrt(heating/d.Time)", "d.Peak*(heating/d.Time)", ""},
	{"compiler/motion/gain.go", "the limit of the position loop, 2ζω to ζω", "2*m.Damping*2*math.Pi*m.Frequency", "m.Damping*2*math.Pi*m.Frequency", ""},
	{"compiler/geometry/errors.go", "a turn about z, sign", "X: cos*v.X - sin*v.Y, Y: sin*v.X + cos*v.Y", "X: cos*v.X + sin*v.Y, Y: cos*v.Y - sin*v.X", ""},
	{"compiler/budget/budget.go", "the likely total, the upper bound", "s.upper()/2 + s.lower()/2", "s.upper()", ""},
	{"compiler/acceptance/positioning.go", "the deviation of n readings, n - 1 to n", "float64(len(list)-1)", "float64(len(list))", ""},
	{"compiler/cable/chain.go", "a chain's span with its load, the square root left out", "stated*math.Sqrt((chainMass+statedLoad)/(chainMass+load))", "stated*((chainMass+statedLoad)/(chainMass+load))", ""},
	{"compiler/reach/machine.go", "the largest deflection, its square", "deflection = math.Sqrt(square)", "deflection = square", "Hand|Worst|Spindle"},
	{"compiler/machine/warp.go", "what warping takes off from end to end, left in", "line.relief = adds / line.length", "line.relief = 0", "Turned"},
	{"compiler/section/held.go", "what warping adds within a line, π² to π", "return math.Pi * math.Pi * eiw / (length * length)", "return math.Pi * eiw / (length * length)", "Held"},
}
