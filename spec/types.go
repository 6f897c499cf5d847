package spec

import "ironbed/spec/quantity"

// A measure is a quantity's type in the schema: its dimension, and whether it
// must be above zero.
type measure struct {
	dimension quantity.Dimension
	positive  bool
}

// measures are the quantity definitions of the schema by name. The patterns in
// schema/machine/quantities.cue are generated from this table.
var measures = map[string]measure{
	"Length":              {quantity.Length, false},
	"Size":                {quantity.Length, true},
	"Angle":               {quantity.Angle, false},
	"Area":                {quantity.Area, true},
	"Volume":              {quantity.Volume, true},
	"SecondMoment":        {quantity.SecondMoment, true},
	"Ratio":               {quantity.Ratio, false},
	"Weight":              {quantity.Mass, true},
	"LinearDensity":       {quantity.LinearDensity, true},
	"Density":             {quantity.Density, true},
	"Inertia":             {quantity.Inertia, true},
	"Stress":              {quantity.Stress, true},
	"Viscosity":           {quantity.Viscosity, true},
	"Force":               {quantity.Force, false},
	"Moment":              {quantity.Torque, false},
	"Torque":              {quantity.Torque, true},
	"Stiffness":           {quantity.Stiffness, true},
	"RotationalStiffness": {quantity.RotationalStiffness, true},
	"Frequency":           {quantity.Frequency, true},
	"Speed":               {quantity.Speed, true},
	"Acceleration":        {quantity.Acceleration, true},
	"Duration":            {quantity.Time, true},
	"Warming":             {quantity.Temperature, false},
	"Expansion":           {quantity.Expansion, true},
	"Gradient":            {quantity.Gradient, false},
	"Power":               {quantity.Power, true},
	"Current":             {quantity.Current, true},
	"Voltage":             {quantity.Voltage, true},
}
