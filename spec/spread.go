package spec

import "reflect"

// A Spread is how a value is spread over its bounds.
type Spread int

// The spreads.
const (
	AboutTheMiddle Spread = iota // normal: the bounds are two standard deviations from the middle
	Anywhere                     // uniform between the bounds
	ByFactors                    // log-normal: the bounds are two standard deviations from the middle, as factors
)

// An Uncertainty is what is known of a value.
type Uncertainty struct {
	Origin            string // where its number is written, or the rule that supplies it: values of one origin move together
	Path              string // where it stands in a spec: "axes.x.rapid"
	Text              string // as the spec has it, or as a rule supplies it
	At                Place
	Low, Middle, High float64
	Spread            Spread
	WorseLow          bool // less of it makes a worse machine
}

// Uncertainty is what is known of a value: what a range says lies anywhere in it, loss factors and how stiff a joint is are
// spread by factors, all else about the middle.
func (v Value) Uncertainty() Uncertainty {
	u := Uncertainty{Origin: v.origin, Path: v.path, Text: v.Text, At: v.At, Low: v.q.Low, Middle: v.q.Value, High: v.q.High, WorseLow: v.less}
	switch {
	case v.q.Range:
		u.Spread = Anywhere
	case v.log && v.q.Low > 0:
		u.Spread = ByFactors
	}
	return u
}

// Uncertain reports whether the value has bounds apart from its middle.
func (u Uncertainty) Uncertain() bool { return u.Low < u.High }

// Uncertainties are the values that have bounds apart from their middles, those that rules supply among them, by
// where they stand.
func (m *Machine) Uncertainties() map[string]Uncertainty {
	list := map[string]Uncertainty{}
	uncertain(reflect.ValueOf(m).Elem(), list)
	return list
}

func uncertain(v reflect.Value, list map[string]Uncertainty) {
	switch {
	case !v.CanInterface():
		return // ours alone
	case v.Type() == valueType:
		if value := v.Interface().(Value); value.Uncertain() && value.path != "" {
			list[value.path] = value.Uncertainty()
		}
		return
	case v.Type() == reflect.TypeFor[[]Assumption]():
		return // they point at what is met where it stands
	}
	switch v.Kind() {
	case reflect.Pointer:
		if !v.IsNil() {
			uncertain(v.Elem(), list)
		}
	case reflect.Array, reflect.Slice:
		for i := range v.Len() {
			uncertain(v.Index(i), list)
		}
	case reflect.Struct:
		for i := range v.NumField() {
			uncertain(v.Field(i), list)
		}
	}
}
