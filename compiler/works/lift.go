package works

// liftWorks are the works cited by the figures of lifting.
var liftWorks = []Work{
	{Key: "NAVEDTRA 14080", Author: "US Naval Education and Training Center",
		Title: "Equipment Operator Basic / Construction Mechanic, nonresident training course: rigging and slings", Year: "1994"},
}
