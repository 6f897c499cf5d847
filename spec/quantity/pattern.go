package quantity

import (
	"fmt"
	"regexp"
)

// The pieces of a pattern, in RE2's syntax.
const (
	open   = `[-+−(\s\pZ]*`
	shut   = `[)\s\pZ]*`
	joiner = `(?:[-+−*×/±]|\+/[-−]|\.\.)`
	count  = `(?:\d+[\s\pZ]+\d+/)?\d*\.?\d+(?:[eE][-+]?\d+)?`

	lengths   = `(?:[mckµμu]?m|in|ft)`
	masses    = `(?:k?g|lb|t)`
	times     = `(?:s|min|h)`
	forces    = `(?:k?N|lbf|ozf)`
	stresses  = `[kMG]?Pa|[pk]si`
	angles    = `(?:deg|°|rad)`
	kelvins   = `(?:K|°C)`
	dot       = `\s*[·⋅.*×]\s*`
	per       = `\s*/\s*`
	onePer    = `1?\s*/\s*`
	inverse   = `(?:\^[-−]1|⁻¹)`
	torques   = `(?:k?Nm|Nmm|` + forces + dot + lengths + `|` + lengths + dot + forces + `)`
	perLength = `(?:` + per + lengths + `)`
)

// Pattern returns a regular expression (RE2, for CUE's =~) that the text of a
// value of the dimension matches, so that a schema can refuse a wrong unit
// without this package.
//
// It matches whatever ParseAs accepts as long as every unit in the text is one of
// the dimension itself, in a usual form: numbers, fractions, uncertainty, arithmetic
// with plain numbers, parentheses. It refuses a text without a unit (Ratio
// apart), with a unit of another dimension or none, and with two numbers or two
// units in a row. It cannot count parentheses, check that all parts of a sum have
// a unit, or multiply units: "100 mm * 20 mm" is an area to ParseAs alone.
func Pattern(d Dimension) string {
	u := unitPattern(d)
	if d == Ratio {
		u += "?"
	}
	return `^` + open +
		`(?:` + count + shut + `(?:%` + shut + `)?` + joiner + open + `)*` +
		count + shut + u +
		`(?:` + shut + joiner + open + count + shut + `(?:` + u + `|%)?)*` +
		shut + `$`
}

// unitPattern returns the alternatives for a unit of the dimension.
func unitPattern(d Dimension) string {
	alternatives := func(pieces string) string { return `(?:` + pieces + `)` }
	switch d {
	case Ratio:
		return alternatives(`%|ppm|` + lengths + perLength)
	case Length:
		return lengths
	case Area:
		return power(lengths, 2)
	case Volume:
		return alternatives(power(lengths, 3) + `|[lL]`)
	case SecondMoment:
		return power(lengths, 4)
	case WarpingConstant:
		return power(lengths, 6)
	case Mass:
		return masses
	case LinearDensity:
		return masses + perLength
	case Density:
		return masses + per + alternatives(power(lengths, 3)+`|[lL]`)
	case Inertia:
		return masses + dot + power(lengths, 2)
	case Time:
		return times
	case Frequency:
		return alternatives(`rpm|Hz|` + onePer + times + `|` + times + inverse)
	case Speed:
		return lengths + per + times
	case Acceleration:
		return lengths + per + alternatives(power(times, 2)+`|`+times+per+times)
	case Force:
		return forces
	case Stress:
		return alternatives(stresses + `|` + forces + per + power(lengths, 2))
	case Viscosity:
		return alternatives(stresses) + dot + times
	case Stiffness:
		return forces + perLength
	case Torque:
		return torques
	case RotationalStiffness:
		return torques + per + angles
	case Power:
		return alternatives(`k?W|hp|` + torques + per + times)
	case Angle:
		return angles
	case Temperature:
		return kelvins
	case Expansion:
		return alternatives(alternatives(`1?|ppm|`+lengths+perLength) + per + kelvins + `|K` + inverse)
	case Current:
		return `m?A`
	case Voltage:
		return `k?V`
	case Gradient:
		return kelvins + per + lengths
	}
	return alternatives(regexp.QuoteMeta(d.String()))
}

// power returns the pattern of a unit raised to 2, 3, 4 or 6: "mm2", "mm^2", "mm²".
func power(unit string, n int) string {
	raised := map[int]string{2: "²", 3: "³", 4: "⁴", 6: "⁶"}[n]
	return unit + fmt.Sprintf(`(?:\^?%d|%s)`, n, raised)
}
