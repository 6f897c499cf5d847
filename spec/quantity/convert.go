package quantity

// In converts an SI value to a unit. An error means that the unit is not known or
// that the value is not finite; it is an *Error.
func In(si float64, text string) (float64, error) {
	u, err := unitNamed(text)
	if err != nil {
		return 0, err
	}
	x := u.of(si)
	if !finite(x) {
		return 0, &Error{Kind: OutOfRange, Found: text, Message: "the value in " + text + " is not finite"}
	}
	return x, nil
}

// unitNamed reads a text that is a unit and nothing else; "" is the unit of
// plain numbers.
func unitNamed(text string) (unit, *Error) {
	if text == "" {
		return none, nil
	}
	p := parser{text: text}
	if !p.unitStarts() {
		return none, p.unexpected("a unit is expected")
	}
	u, err := p.unit()
	if err != nil {
		return none, err
	}
	if err := p.end(); err != nil {
		return none, err
	}
	return u, nil
}
