package drive

// someBelt is a steel-corded belt of 10 mm pitch and 32 mm width.
func someBelt() Belt {
	return Belt{
		Run: Omega, Pitch: 0.010, Teeth: 24, Width: 0.032, Length: 1.8, StrandFrom: 0.2, StrandTo: 1.6,
		Specific: 40e6, MassPerMetre: 0.2, Pretension: 1500, AllowedTension: 4500, ToothForce: 4000, Meshing: 12,
		TopFeed: 5, PulleyInertia: 2e-4, IdlerInertia: 3e-4, Efficiency: 0.95, Drag: 0.3, Bracket: 80e6, Play: 1e-4, PitchError: 2e-4,
	}
}

// someRack is a pinion of 20 teeth of module 2.
func someRack() Rack {
	return Rack{
		Teeth: 20, Module: 0.002, Helix: 0.3, Face: 0.02, PinionInertia: 1e-4, Efficiency: 0.95, Drag: 0.5,
		Mesh: 400e6, Shaft: 100e6, Bracket: 200e6, Play: 2e-5, PitchError: 4e-5, AllowedStress: 150e6,
	}
}

// someNut is a nut that turns on the same screw as someScrew, stretched.
func someNut() TurningNut {
	s := someScrew()
	s.Ends, s.Tension = FixedFixed, 3000
	return TurningNut{Screw: s.Screw, Supports: s.Supports, NutInertia: 8e-4, PulleyInertia: 6e-4, NutTopSpeed: 300}
}

func everyMechanism() map[string]Mechanism {
	return map[string]Mechanism{"turning screw": someScrew(), "turning nut": someNut(), "rack": someRack(), "belt": someBelt()}
}
