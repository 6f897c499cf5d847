package works

// liftWorks are the works cited by the figures of lifting.
var liftWorks = []Work{
	{Key: "NAVEDTRA 14080", Author: "US Naval Education and Training Center",
		Title: "Nonresident training course 14080, chapter 3: rigging", Year: "undated"},
}
