package drive

// Steel returns the screw steel with which the trade's speed factors were
// made: E = 206 GPa, G = E/2.6, ρ = 7850 kg/m3, α = 12·10⁻⁶/K.
//
// Source: common practice.
func Steel() Material {
	return Material{Modulus: 206e9, ShearModulus: 206e9 / 2.6, Density: 7850, Expansion: 12e-6}
}
