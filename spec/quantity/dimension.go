package quantity

import "strconv"

// A Dimension says what a quantity measures: the exponents of the SI base units
// m, kg, s, K, A, and of the radian, which is kept apart from plain numbers.
type Dimension struct {
	Length, Mass, Time, Temperature, Angle, Current int8
}

// The dimensions of a machine spec.
var (
	Ratio               = Dimension{}
	Length              = Dimension{Length: 1}
	Area                = Dimension{Length: 2}
	Volume              = Dimension{Length: 3}
	SecondMoment        = Dimension{Length: 4}
	WarpingConstant     = Dimension{Length: 6}
	Mass                = Dimension{Mass: 1}
	LinearDensity       = Dimension{Mass: 1, Length: -1}
	Density             = Dimension{Mass: 1, Length: -3}
	Inertia             = Dimension{Mass: 1, Length: 2}
	Time                = Dimension{Time: 1}
	Frequency           = Dimension{Time: -1} // cycles or revolutions per time
	Speed               = Dimension{Length: 1, Time: -1}
	Acceleration        = Dimension{Length: 1, Time: -2}
	Force               = Dimension{Mass: 1, Length: 1, Time: -2}
	Stress              = Dimension{Mass: 1, Length: -1, Time: -2}
	Pressure            = Stress
	Viscosity           = Dimension{Mass: 1, Length: -1, Time: -1}
	Stiffness           = Dimension{Mass: 1, Time: -2}
	Torque              = Dimension{Mass: 1, Length: 2, Time: -2}
	Moment              = Torque
	RotationalStiffness = Dimension{Mass: 1, Length: 2, Time: -2, Angle: -1}
	Power               = Dimension{Mass: 1, Length: 2, Time: -3}
	Angle               = Dimension{Angle: 1}
	Temperature         = Dimension{Temperature: 1}
	Expansion           = Dimension{Temperature: -1}
	Gradient            = Dimension{Temperature: 1, Length: -1} // of temperature
	Current             = Dimension{Current: 1}
	Voltage             = Dimension{Mass: 1, Length: 2, Time: -3, Current: -1}
)

// The dimensions that come up in mistakes only.
var (
	angularSpeed = Dimension{Angle: 1, Time: -1}
	massLength   = Dimension{Mass: 1, Length: 1} // lb·ft, where lbf·ft is meant
)

// A name is how a dimension is spoken of.
type name struct {
	dim           Dimension
	word, example string
}

var names = []name{
	{Ratio, "a plain number", "0.85"},
	{Length, "a length", "1600 mm"},
	{Area, "an area", "12.5 cm2"},
	{Volume, "a volume", "40 L"},
	{SecondMoment, "a second moment of area", "610 cm4"},
	{WarpingConstant, "a warping constant", "2100 cm6"},
	{Mass, "a mass", "85 kg"},
	{LinearDensity, "a mass per length", "25 kg/m"},
	{Density, "a density", "7850 kg/m3"},
	{Inertia, "a moment of inertia", "1.2 kg·cm2"},
	{Time, "a time", "30 s"},
	{Frequency, "a frequency or speed of rotation", "3000 rpm"},
	{Speed, "a speed", "6000 mm/min"},
	{Acceleration, "an acceleration", "2 m/s2"},
	{Force, "a force", "500 N"},
	{Stress, "a stress or modulus", "210 GPa"},
	{Viscosity, "a viscosity", "0.6 Pa·s"},
	{Stiffness, "a stiffness", "200 N/µm"},
	{Torque, "a torque", "2.4 N·m"},
	{RotationalStiffness, "a rotational stiffness", "50 kN·m/rad"},
	{Power, "a power", "2.2 kW"},
	{Angle, "an angle", "30 deg"},
	{Temperature, "a temperature", "20 °C"},
	{Expansion, "a thermal expansion", "12 µm/m/K"},
	{Gradient, "a temperature gradient", "0.5 K/m"},
	{Current, "a current", "4.5 A"},
	{Voltage, "a voltage", "230 V"},
	{angularSpeed, "an angular speed", "10 rad/s"},
}

// Word returns the dimension in words with its article: "a length".
func (d Dimension) Word() string {
	for _, n := range names {
		if n.dim == d {
			return n.word
		}
	}
	return "a value in " + d.String()
}

// Example returns a quoted value of the dimension: "\"1600 mm\"".
func (d Dimension) Example() string {
	for _, n := range names {
		if n.dim == d {
			return `"` + n.example + `"`
		}
	}
	return `"1 ` + d.String() + `"`
}

// String returns the dimension's SI unit in a form that Parse reads: "kg·m2/s2",
// "1/s", and "" for a plain number.
func (d Dimension) String() string {
	base := [...]struct {
		symbol string
		power  int8
	}{{"kg", d.Mass}, {"m", d.Length}, {"s", d.Time}, {"K", d.Temperature}, {"A", d.Current}, {"rad", d.Angle}}
	above, below := "", ""
	for _, b := range base {
		if b.power > 0 {
			if above != "" {
				above += "·"
			}
			above += raised(b.symbol, b.power)
		} else if b.power < 0 {
			below += "/" + raised(b.symbol, -b.power)
		}
	}
	if above == "" && below != "" {
		above = "1"
	}
	return above + below
}

func raised(symbol string, power int8) string {
	if power == 1 {
		return symbol
	}
	return symbol + strconv.Itoa(int(power))
}

// highest bounds the exponents of a dimension, so that they fit the type and
// their unit can be written with one digit.
const highest = 9

// times returns the dimension of a product with the power n of another; ok is
// false where an exponent is out of all reason.
func (d Dimension) times(e Dimension, n int) (product Dimension, ok bool) {
	ok = true
	add := func(a, b int8) int8 {
		sum := int(a) + n*int(b)
		if sum < -highest || sum > highest {
			ok = false
			return 0
		}
		return int8(sum)
	}
	product = Dimension{
		add(d.Length, e.Length), add(d.Mass, e.Mass), add(d.Time, e.Time),
		add(d.Temperature, e.Temperature), add(d.Angle, e.Angle), add(d.Current, e.Current),
	}
	return product, ok
}
